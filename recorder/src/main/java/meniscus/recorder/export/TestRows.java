package meniscus.recorder.export;

import java.time.ZoneOffset;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import meniscus.core.compare.ExternalCurve;
import meniscus.core.lift.Plan;
import meniscus.core.lift.PortKind;
import meniscus.recorder.archive.IndexEntry;
import meniscus.recorder.archive.TestArchive.Found;
import meniscus.recorder.archive.TestSummary;
import meniscus.recorder.file.TypedCurve;

/** One row a test: what the index knows, without opening any. */
public final class TestRows {

  private TestRows() {}

  /**
   * @param units of lift, flow and pressure, the same for all tests
   */
  public static Table of(List<Found> tests, Plan.Units units) {
    List<Column> columns =
        List.of(
            Column.text("test"),
            Column.text("stands"),
            Column.time("at"),
            Column.text("head"),
            Column.text("chamber"),
            Column.text("port"),
            Column.text("valve_job"),
            Column.text("customer_reference"),
            Column.text("port_kind"),
            Column.text("direction"),
            Column.text("changes"),
            Column.text("follows"),
            Column.number("test_pressure", units.pressure().symbol()),
            Column.count("points"),
            Column.count("doubtful"),
            Column.number("lowest_lift", units.lift().symbol()),
            Column.number("highest_lift", units.lift().symbol()),
            Column.number("highest_flow", units.flow().symbol()),
            Column.text("why"));
    List<List<Object>> rows = new ArrayList<>();
    for (Found test : tests) {
      IndexEntry entry = test.entry();
      rows.add(
          entry
              .known()
              .map(known -> row(entry, known, units))
              .or(() -> entry.typed().map(typed -> row(entry, typed.typed(), units)))
              .orElseGet(() -> bare(entry, columns.size())));
    }
    return new Table(columns, rows);
  }

  private static List<Object> row(IndexEntry entry, TestSummary known, Plan.Units units) {
    Plan.Part part = known.part();
    List<Double> lifts = known.liftsM();
    double lowest = lifts.isEmpty() ? Double.NaN : lifts.get(0);
    double highest = lifts.isEmpty() ? Double.NaN : lifts.get(lifts.size() - 1);
    return Arrays.asList(
        entry.name(),
        entry.stands(),
        known.at(),
        part.head(),
        part.chamber(),
        part.port(),
        part.valveJob(),
        part.customerReference(),
        known.port().word(),
        known.direction().word(),
        String.join("; ", known.changes()),
        known.follows().orElse(""),
        Table.number(units.pressure().fromSi(known.rungs().testPressurePa())),
        known.points(),
        known.doubtful(),
        Table.number(units.lift().fromSi(lowest)),
        Table.number(units.lift().fromSi(highest)),
        Table.number(units.flow().fromSi(known.highestFlowM3PerS())),
        "");
  }

  /** A curve from elsewhere: what nobody said is left empty. */
  private static List<Object> row(IndexEntry entry, TypedCurve typed, Plan.Units units) {
    Optional<Plan.Part> part = typed.part();
    List<ExternalCurve.Point> points = typed.curve().points();
    OptionalDouble pressure = typed.curve().testPressurePa();
    return Arrays.asList(
        entry.name(),
        entry.stands(),
        typed.on().map(day -> day.atStartOfDay(ZoneOffset.UTC).toInstant()).orElse(null),
        part.map(Plan.Part::head).orElse(""),
        part.map(Plan.Part::chamber).orElse(""),
        part.map(Plan.Part::port).orElse(""),
        part.map(Plan.Part::valveJob).orElse(""),
        part.map(Plan.Part::customerReference).orElse(""),
        typed.port().map(PortKind::word).orElse(""),
        "",
        "",
        "",
        pressure.isPresent() ? Table.number(units.pressure().fromSi(pressure.getAsDouble())) : null,
        points.size(),
        null,
        Table.number(units.lift().fromSi(points.get(0).liftM())),
        Table.number(units.lift().fromSi(points.get(points.size() - 1).liftM())),
        Table.number(units.flow().fromSi(typed.highestM3PerS())),
        TypedCurve.MARK);
  }

  private static List<Object> bare(IndexEntry entry, int columns) {
    Object[] row = new Object[columns];
    row[0] = entry.name();
    row[1] = entry.stands();
    row[columns - 1] = entry.why();
    return Arrays.asList(row);
  }
}
