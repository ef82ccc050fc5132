package meniscus.recorder.export;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import meniscus.core.lift.Plan;
import meniscus.core.quantity.Unit;
import meniscus.recorder.archive.PlateEntry;
import meniscus.recorder.archive.PlateSummary;
import meniscus.recorder.file.PlateMounted;

/** One row a reading of a plate: what the index knows, without opening any folder. */
public final class PlateRows {

  private PlateRows() {}

  /**
   * @param units of flow and pressure, the same for all
   */
  public static Table of(List<PlateEntry> plates, Plan.Units units) {
    List<Column> columns =
        List.of(
            Column.text("readings"),
            Column.time("at"),
            Column.text("bench"),
            Column.text("plate"),
            Column.text("serial"),
            Column.text("certificate"),
            Column.text("direction"),
            Column.text("range"),
            Column.number("test_pressure", units.pressure().symbol()),
            Column.number("flow", units.flow().symbol()),
            Column.number("flow_u95", units.flow().symbol()),
            Column.number("effective_area", Unit.SQUARE_MILLIMETRE.symbol()));
    List<List<Object>> rows = new ArrayList<>();
    for (PlateEntry each : plates) {
      each.known().flows().forEach(flow -> rows.add(row(each, flow, units)));
    }
    return new Table(columns, rows);
  }

  private static List<Object> row(PlateEntry each, PlateSummary.Flow flow, Plan.Units units) {
    PlateMounted plate = each.known().plate();
    return Arrays.asList(
        each.name(),
        each.known().at(),
        each.known().bench(),
        plate.name(),
        plate.papers().serial().orElse(""),
        plate.papers().certificate().orElse(""),
        plate.direction().word(),
        plate.asked().range(),
        Table.number(units.pressure().fromSi(flow.testPressurePa())),
        Table.number(units.flow().fromSi(flow.m3PerS())),
        flow.u95M3PerS().isPresent()
            ? Table.number(units.flow().fromSi(flow.u95M3PerS().getAsDouble()))
            : null,
        Table.number(Unit.SQUARE_MILLIMETRE.fromSi(flow.effectiveAreaM2())));
  }
}
