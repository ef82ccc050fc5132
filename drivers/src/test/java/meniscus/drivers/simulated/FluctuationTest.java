package meniscus.drivers.simulated;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.SplittableRandom;
import org.junit.jupiter.api.Test;

/** How large, how fast and how alike the fluctuations are. */
class FluctuationTest {

  private static final long SEED = 4711;
  private static final Scenario DEMO = Scenario.demo();
  private static final Mounted HEAD = new Mounted.Head(DEMO.before());
  private static final Mounted PLATE = DEMO.plates().get(3);

  @Test
  void aWanderHasItsSpreadAndForgetsInItsTime() {
    Wander wander = new Wander(new SplittableRandom(SEED), 0.5, 0.01);
    double[] values = new double[400_000];
    for (int i = 0; i < values.length; i++) {
      values[i] = wander.step();
    }
    // 4000 s of 0.5 s: some 4000 independent values, variance to 2.2 %, mean to 0.016.
    assertEquals(0, Stand.mean(values), 0.064, "seed " + SEED);
    assertEquals(1, Stand.deviation(values), 0.045);
    assertEquals(Math.exp(-1), Stand.correlation(values, 50), 0.06);
    assertEquals(Math.exp(-3), Stand.correlation(values, 150), 0.06);
  }

  @Test
  void aPortsFlowFluctuatesWithItsOwnSizeAndTime() {
    double[] areas = areas(Variants.only(DEMO, Effect.TURBULENCE, Effect.PORT_ROUGHNESS), HEAD);
    assertEquals(0.006, relative(areas), 0.0003, "seed " + SEED);
    assertEquals(Math.exp(-1), Stand.correlation(areas, 60), 0.06, "after 0.12 s");
  }

  @Test
  void aHealthyPortIsRougherThanAPlateUnlessThatIsSwitchedOff() {
    Scenario rough = Variants.only(DEMO, Effect.TURBULENCE, Effect.PORT_ROUGHNESS);
    assertEquals(0.0025, relative(areas(rough, PLATE)), 0.00015);
    assertEquals(0.0025, relative(areas(rough.without(Effect.PORT_ROUGHNESS), HEAD)), 0.00015);
    assertEquals(0, relative(areas(rough.without(Effect.TURBULENCE), HEAD)), 1e-9);
  }

  @Test
  void theBlowersWanderIsInBothPressures() {
    Scenario wandering = Variants.only(DEMO, Effect.WANDER);
    Stand stand = Stand.running(wandering, PLATE, 0, Stand.AIM, SEED);
    double[] test = new double[20_000];
    double[] drop = new double[test.length];
    for (int i = 0; i < test.length; i++) {
      stand.run(0.01);
      test[i] = stand.bench.truth().pressures().testPa();
      drop[i] = stand.bench.truth().pressures().elementDropPa();
    }
    // The plate lets most of the rise through to the test pressure: a little less than 0.8 %.
    assertEquals(0.008, relative(test), 0.0015, "seed " + SEED);
    assertEquals(1, correlation(test, drop), 1e-3);
  }

  @Test
  void theRippleHasItsFrequencyAndSizeEvenOnAShutBench() {
    Stand stand =
        Stand.running(Variants.only(DEMO, Effect.RIPPLE), new Mounted.Blank(), 0, Stand.AIM, SEED);
    double[] pressures = stand.follow(10, truth -> truth.pressures().testPa());
    assertEquals(0.003 / Math.sqrt(2), relative(pressures), 2e-4);
    double mean = Stand.mean(pressures);
    int rises = 0;
    for (int i = 1; i < pressures.length; i++) {
      rises += pressures[i - 1] < mean && pressures[i] >= mean ? 1 : 0;
    }
    assertEquals(1199, rises, 2);
  }

  @Test
  void turbulenceAtTheTapsMovesReadingsAndNoAir() {
    Stand stand =
        Stand.running(Variants.only(DEMO, Effect.TAP_TURBULENCE), HEAD, 5e-3, Stand.AIM, SEED);
    assertEquals(0, relative(stand.follow(5, truth -> truth.flows().portKgPerS())), 1e-9);
    stand.forget();
    double[] drops =
        stand.hear(SimulatedBench.MANOMETER, 60).stream()
            .mapToDouble(
                line ->
                    Double.parseDouble(line.substring(line.indexOf("P2,") + 3, line.indexOf('*'))))
            .toArray();
    assertEquals(0.008, relative(drops), 0.0008);
  }

  @Test
  void weatherDiffersFromSeedToSeedByItsSpread() {
    double[] temperatures = new double[400];
    double[] pressures = new double[temperatures.length];
    for (int i = 0; i < temperatures.length; i++) {
      Truth truth = new SimulatedBench(DEMO, SEED + i).truth();
      temperatures[i] = truth.air().roomTemperatureK();
      pressures[i] = truth.air().roomPressurePa();
    }
    assertEquals(294.65, Stand.mean(temperatures), 0.1);
    assertEquals(0.5, Stand.deviation(temperatures), 0.08);
    assertEquals(120, Stand.deviation(pressures), 18);
  }

  @Test
  void withinALiftPointTheWeatherHardlyMoves() {
    Stand stand = new Stand(DEMO, SEED);
    double[] temperatures = stand.follow(20, truth -> truth.air().roomTemperatureK());
    assertTrue(Stand.deviation(temperatures) < 0.1);
  }

  @Test
  void aHeadGoesBackALittleOffEachTime() {
    Scenario refixed = Variants.only(DEMO, Effect.REFIXING);
    Stand stand = new Stand(refixed, SEED);
    double[] areas = new double[300];
    for (int i = 0; i < areas.length; i++) {
      stand.bench.mount(HEAD);
      stand.bench.setLift(5e-3);
      stand.run(1.3);
      areas[i] = stand.bench.truth().area().meanM2();
    }
    assertEquals(0.002, relative(areas), 0.0004, "seed " + SEED);
    double[] kept = new double[2];
    for (int i = 0; i < kept.length; i++) {
      kept[i] = stand.bench.truth().area().meanM2();
      stand.run(10);
    }
    assertEquals(kept[0], kept[1], 1e-12, "mounted, it stays as it is");
  }

  private static double[] areas(Scenario scenario, Mounted mounted) {
    return Stand.running(scenario, mounted, 5e-3, Stand.AIM, SEED)
        .follow(200, truth -> truth.area().effectiveM2());
  }

  private static double relative(double[] values) {
    return Stand.deviation(values) / Stand.mean(values);
  }

  private static double correlation(double[] a, double[] b) {
    double meanA = Stand.mean(a);
    double meanB = Stand.mean(b);
    double sum = 0;
    for (int i = 0; i < a.length; i++) {
      sum += (a[i] - meanA) * (b[i] - meanB);
    }
    return sum / a.length / Stand.deviation(a) / Stand.deviation(b);
  }
}
