package meniscus.drivers.simulated;

import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import meniscus.core.flow.Direction;
import meniscus.core.lift.TestSetUp;

/**
 * The demo's invented job: an intake port of a two-valve head. Between the tests its bowl was
 * blended: low and middle lifts gain, 0.350 to 0.450 in stays as it was, and from 0.500 in on the
 * short side, now too sharp a turn for what arrives, gives up.
 */
final class DemoScenario {

  private static final double INCH = 0.0254;

  /**
   * Lift [in], discharge coefficients on suction and blowing, gain of attached flow by the blend.
   */
  private static final double[][] PORT = {
    {0.025, 0.560, 0.545, 1.025},
    {0.050, 0.578, 0.560, 1.030},
    {0.100, 0.601, 0.572, 1.040},
    {0.150, 0.632, 0.590, 1.050},
    {0.200, 0.648, 0.598, 1.050},
    {0.250, 0.652, 0.596, 1.040},
    {0.300, 0.648, 0.586, 1.025},
    {0.350, 0.634, 0.567, 1.000},
    {0.400, 0.610, 0.541, 1.000},
    {0.450, 0.578, 0.509, 1.000},
    {0.500, 0.544, 0.476, 1.000},
    {0.550, 0.509, 0.443, 1.000},
    {0.600, 0.476, 0.412, 1.000},
    {0.650, 0.446, 0.384, 1.000},
  };

  private static final SimulatedShortSide SOUND = shortSide(125);
  private static final SimulatedShortSide TOO_SHARP = shortSide(94);

  private DemoScenario() {}

  static Scenario scenario() {
    return new Scenario(
        new Scenario.Room(294.65, 99_800, 0.45, 0.5, 120, 0.03, 3600),
        new Scenario.Rig(
            new Blower(
                20_000,
                0.21,
                0.4,
                0.5,
                new Blower.Regulator(1.0, 0.4),
                new Blower.Unrest(0.008, 1.2, 0.003, 119.9),
                new Blower.Warmth(400, 0.015, 12, 0.6)),
            0.25,
            List.of(
                new Scenario.Element("large", 0.060, 0.025),
                new Scenario.Element("small", 0.030, 0.021),
                new Scenario.Element("leak", 0.006, 0.028)),
            List.of(plate(12.5), plate(20), plate(28), plate(36), plate(44), plate(50)),
            new Scenario.Leaks(9e-7, 1.5e-6, 5e-7, 0.6, 25e-6)),
        new Scenario.Instruments(
            new Scenario.Gauges(
                new Gauge(6.0, 0.4, 900, 0.0015, 0.025, 1.2, 0.5, 12_000, 0.0015, 0.04),
                new Gauge(-3.5, 0.25, 900, -0.0020, 0.025, 0.6, 0.25, 5_000, 0.008, 0.03),
                1.8e-4,
                0.0008),
            new Scenario.Dial(0.004e-3, 0.7e-9, 0.012e-3, 0.0015e-3, 0.005e-3, false),
            new Scenario.Station(0.15, 40, 0.015, 0.04)),
        new Scenario.TestedHead(
            new Scenario.ValveTrain(new TestSetUp.Spring(25, 4000, 0.11, 0.8), 4e6, 0.004),
            new Scenario.Fixing(0.0020, 0.004e-3, 0.4),
            port("as received", 0, SOUND),
            port("bowl blended", 1, TOO_SHARP)),
        Map.of());
  }

  private static Port port(String name, double blended, SimulatedShortSide shortSide) {
    List<Port.Step> steps = new ArrayList<>();
    for (double[] row : PORT) {
      double gain = 1 + blended * (row[3] - 1);
      steps.add(new Port.Step(row[0] * INCH, row[1] * gain, row[2] * gain));
    }
    return new Port(name, 1.94 * INCH, 1.5e-3, steps, shortSide, 0.006, 0.12);
  }

  static SimulatedShortSide shortSide(double criticalMPerS) {
    return new SimulatedShortSide(Direction.SUCTION, criticalMPerS, 2.0, 0.08, 0.3, 1.6, 0);
  }

  /** All of one maker, all 0.15 % above their certificate, which allows for 0.5 %. */
  private static Mounted.Plate plate(double boreMm) {
    return new Mounted.Plate(boreMm * 1e-3, 0.6110 * 1.0015, 0.6110, 0.005);
  }
}
