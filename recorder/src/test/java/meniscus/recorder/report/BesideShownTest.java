package meniscus.recorder.report;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Instant;
import java.util.List;
import java.util.OptionalDouble;
import meniscus.core.lift.Beside;
import meniscus.core.lift.InventedBench;
import meniscus.core.lift.LiftPoint;
import meniscus.core.lift.Plan;
import meniscus.core.lift.TestCurve;
import meniscus.core.quantity.Unit;
import meniscus.core.steadiness.Band;
import meniscus.recorder.cli.Called;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** What was measured beside the flow, as its reader sees it. */
class BesideShownTest {

  private static final double INCH_OF_WATER = 249.08891;

  private static final Plan.Units INCH =
      new Plan.Units(Unit.INCH_LENGTH, Unit.CUBIC_FOOT_PER_MINUTE, Unit.INCH_OF_WATER);

  @TempDir private Path temp;

  private static Beside beside(String name, Unit unit, double value, double u95) {
    return new Beside(name, unit, value, OptionalDouble.of(u95));
  }

  private static List<LiftPoint> points() {
    LiftPoint first = InventedBench.point(1, 2.54e-3, 0.03, List.of());
    LiftPoint second = InventedBench.point(2, 5.08e-3, 0.05, List.of());
    return List.of(
        first.withBeside(
            List.of(
                beside(Band.LOW.word(), Unit.PASCAL, 0.1 * INCH_OF_WATER, 0.01 * INCH_OF_WATER),
                beside(Beside.PROBE_VELOCITY, Unit.METRE_PER_SECOND, 30.48, 3.048),
                beside("board.oil", Unit.KELVIN, 293.15, 1),
                beside("board.swirl", Unit.ONE, -0.25, 0))),
        second.withBeside(
            List.of(
                beside(Band.LOW.word(), Unit.PASCAL, 0.2 * INCH_OF_WATER, 0.01 * INCH_OF_WATER),
                new Beside("board.swirl", Unit.ONE, -0.5, OptionalDouble.empty()))));
  }

  @Test
  void eachKindHasATableInTheUnitsOfThePlan() {
    List<BesideShown.Table> tables = BesideShown.tables(points(), INCH);
    assertEquals(
        List.of(
            "Fast channel, root mean square in each band",
            "Velocity at the probe",
            "Channels without a use"),
        tables.stream().map(BesideShown.Table::title).toList());
    assertEquals(List.of("lift", "test pressure", "20 to 100 Hz, inH2O"), tables.get(0).columns());
    assertEquals(
        List.of(
            List.of("0.100 in", "28.0 inH2O", "0.100 ± 0.010"),
            List.of("0.200 in", "28.0 inH2O", "0.200 ± 0.010")),
        tables.get(0).rows());
    assertEquals("velocity, ft/s", tables.get(1).columns().get(2));
    assertEquals("100 ± 10", tables.get(1).rows().get(0).get(2));
    assertEquals("–", tables.get(1).rows().get(1).get(2), "not measured there");
    assertEquals(
        List.of("lift", "test pressure", "board.oil, degF", "board.swirl"),
        tables.get(2).columns().stream().map(name -> name.replace("°F", "degF")).toList());
    assertEquals("68.0 ± 1.8", tables.get(2).rows().get(0).get(2));
    assertEquals("-0.25 ± 0", tables.get(2).rows().get(0).get(3));
    assertEquals("-0.5, interval unknown", tables.get(2).rows().get(1).get(3));
  }

  @Test
  void metricReadersGetMetresAndDegreesCelsius() {
    Plan.Units metric = new Plan.Units(Unit.MILLIMETRE, Unit.CUBIC_METRE_PER_HOUR, Unit.KILOPASCAL);
    List<BesideShown.Table> tables = BesideShown.tables(points(), metric);
    assertEquals("velocity, m/s", tables.get(1).columns().get(2));
    assertEquals("30.5 ± 3.0", tables.get(1).rows().get(0).get(2));
    assertEquals("20.0 ± 1.0", tables.get(2).rows().get(0).get(2));
  }

  @Test
  void theReportHasThemAndAReportWithoutAnyHasNoHeading() throws IOException {
    String with = report("with", InventedFolders.beside(InventedFolders.plain("with"), 2));
    assertTrue(with.contains("Beside the flow"), with);
    assertTrue(with.contains("20 to 100 Hz, inH2O"), "the fast channel");
    assertTrue(with.contains("board.&lt;b&gt;swirl"), "a name is text, whatever it is");
    assertFalse(with.contains("<b>swirl"));
    assertFalse(report("without", InventedFolders.plain("without")).contains("Beside the flow"));
  }

  private String report(String name, TestCurve test) throws IOException {
    Path folder =
        InventedFolders.write(
            temp.resolve(name), test, true, Instant.parse("2031-05-06T07:08:09Z"));
    Path out = temp.resolve(name + ".html");
    Called called = Called.with("report", folder, "--out", out);
    assertEquals(0, called.code(), called.err());
    return Files.readString(out);
  }
}
