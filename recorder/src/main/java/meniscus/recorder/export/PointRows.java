package meniscus.recorder.export;

import java.io.IOException;
import java.nio.file.Path;
import java.time.Instant;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Map;
import java.util.OptionalDouble;
import meniscus.core.lift.LiftPoint;
import meniscus.core.lift.Plan;
import meniscus.core.quantity.Dimension;
import meniscus.core.quantity.Unit;
import meniscus.core.quantity.UnitSystem;
import meniscus.recorder.archive.NotesOfTest;
import meniscus.recorder.archive.TestArchive.Found;
import meniscus.recorder.archive.TestSummary;
import meniscus.recorder.folder.BadTestFolder;
import meniscus.recorder.folder.TestFolder;

/** One row a kept rung, of any number of tests. */
public final class PointRows {

  private final Plan.Units units;
  private final Unit area;
  private final Unit temperature;
  private final Unit airPressure;
  private final List<List<Object>> rows = new ArrayList<>();

  private PointRows(Plan.Units units) {
    this.units = units;
    UnitSystem system = UnitSystem.of(units.lift());
    area = system.unit(Dimension.AREA);
    temperature = system.unit(Dimension.TEMPERATURE);
    airPressure = system == UnitSystem.INCH ? Unit.INCH_OF_MERCURY : Unit.HECTOPASCAL;
  }

  /**
   * @param units of lift, flow and pressure, the same for all tests; areas and the reference air
   *     are in units of the system that the lift's unit is of
   * @throws IOException when a test folder is damaged; the message names the file
   */
  public static Table of(List<Found> tests, Plan.Units units) throws IOException {
    PointRows points = new PointRows(units);
    for (Found test : tests) {
      points.add(test.entry().name(), whole(test.folder()));
    }
    return new Table(points.columns(), points.rows);
  }

  private List<Column> columns() {
    String lift = units.lift().symbol();
    String flow = units.flow().symbol();
    String pressure = units.pressure().symbol();
    return List.of(
        Column.text("test"),
        Column.time("kept_at"),
        Column.text("head"),
        Column.text("chamber"),
        Column.text("port"),
        Column.text("valve_job"),
        Column.text("customer_reference"),
        Column.text("port_kind"),
        Column.text("direction"),
        Column.text("changes"),
        Column.count("rung"),
        Column.number("lift", lift),
        Column.text("sweep"),
        Column.number("flow", flow),
        Column.number("flow_u95", flow),
        Column.number("flow_repeat_u95", flow),
        Column.number("test_pressure", pressure),
        Column.flag("pressure_as_asked"),
        Column.number("effective_area", area.symbol()),
        Column.number("cd_curtain", ""),
        Column.text("verdict"),
        Column.number("unsteadiness", ""),
        Column.number("seconds", "s"),
        Column.number("effective_samples", ""),
        Column.number("lift_read", lift),
        Column.number("lift_u95", lift),
        Column.count("attempt"),
        Column.text("range"),
        Column.count("segment"),
        Column.text("remarks"),
        Column.text("set_aside"),
        Column.number("reference_temperature", temperature.symbol()),
        Column.number("reference_pressure", airPressure.symbol()),
        Column.number("reference_humidity", Unit.PERCENT.symbol()),
        Column.number("reference_test_pressure", pressure));
  }

  /** Nothing of a damaged folder is passed on, be the damage in what the table does not show. */
  private static TestFolder whole(Path folder) throws IOException {
    try {
      return TestFolder.open(folder);
    } catch (BadTestFolder e) {
      throw new BadTestFolder(folder + " is damaged: " + e.getMessage(), e);
    }
  }

  private void add(String name, TestFolder test) throws IOException {
    NotesOfTest notes = NotesOfTest.of(test);
    Plan plan = notes.plan();
    Map<Integer, Instant> keptAt = test.keptAt();
    Plan.Part part = plan.part();
    Plan.Reference reference = plan.reference();
    String changes = String.join("; ", TestSummary.changes(plan));
    for (LiftPoint p : notes.points()) {
      rows.add(
          Arrays.asList(
              name,
              keptAt.get(p.rung()),
              part.head(),
              part.chamber(),
              part.port(),
              part.valveJob(),
              part.customerReference(),
              plan.port().word(),
              plan.direction(p.sweep()).word(),
              changes,
              p.rung(),
              in(units.lift(), p.liftM()),
              p.sweep().word(),
              in(units.flow(), p.flowM3PerS()),
              in(units.flow(), p.flowU95()),
              in(units.flow(), p.flowRepeatU95()),
              in(units.pressure(), p.testPressurePa()),
              p.pressureAsAsked(),
              in(area, p.effectiveAreaM2()),
              in(Unit.ONE, p.flow().cdCurtain()),
              p.verdict().word(),
              in(Unit.ONE, p.unsteadiness()),
              Table.number(p.average().seconds()),
              Table.number(p.average().effectiveSamples()),
              in(units.lift(), p.setting().liftReadM()),
              in(units.lift(), p.setting().liftU95()),
              p.attempt(),
              p.range(),
              p.taken().segment(),
              String.join("; ", p.remarkSentences()),
              p.setAsideBecause(),
              in(temperature, reference.temperatureK()),
              in(airPressure, reference.pressurePa()),
              in(Unit.PERCENT, reference.relativeHumidity()),
              in(units.pressure(), reference.testPressurePa())));
    }
  }

  private static Object in(Unit unit, double si) {
    return Table.number(unit.fromSi(si));
  }

  private static Object in(Unit unit, OptionalDouble si) {
    return in(unit, si.orElse(Double.NaN));
  }
}
