package meniscus.core.calibrate;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Random;
import meniscus.core.bench.Accuracy;
import meniscus.core.bench.Source;
import meniscus.core.calibrate.GaugeComparison.Pair;
import org.hipparchus.distribution.discrete.BinomialDistribution;
import org.junit.jupiter.api.Tag;
import org.junit.jupiter.api.Test;

class GaugeComparisonTest {

  private static final Source.Measured DROP = gauge("drop", 5000);
  private static final Source.Measured PRESSURE = gauge("depression", 10_000);
  private static final double[] PRESSURES = {500, 1000, 2000, 3500, 5000};

  private static Source.Measured gauge(String name, double range) {
    return new Source.Measured("gauges", name, -range, range, new Accuracy(0.0025, 1, 0), 0, false);
  }

  /** Errors within both accuracies, uniform; a gain and a bend of the second on top. */
  private static GaugeComparison compared(Random random, double gain, double bend) {
    double[] first = {0.0025 * (2 * random.nextDouble() - 1), 2 * random.nextDouble() - 1};
    double[] second = {0.0025 * (2 * random.nextDouble() - 1), 2 * random.nextDouble() - 1};
    List<Pair> pairs = new ArrayList<>();
    for (double pressure : PRESSURES) {
      double share = pressure / 5000;
      double a = pressure * (1 + first[0]) + first[1] + 0.3 * random.nextGaussian();
      double b =
          pressure * (1 + second[0] + gain)
              + second[1]
              + bend * 5000 * 4 * share * (1 - share)
              + 0.3 * random.nextGaussian();
      pairs.add(new Pair(a, 0.3, b, 0.3));
    }
    return GaugeComparison.of(PRESSURE, DROP, pairs);
  }

  private static int questioned(long seed, int benches, double gain, double bend) {
    Random random = new Random(seed);
    int questioned = 0;
    for (int i = 0; i < benches; i++) {
      questioned += compared(random, gain, bend).agree() ? 0 : 1;
    }
    System.out.printf(
        Locale.ROOT,
        "gauges teed, gain %.1f %%, bend %.2f %% of range, seed %d: questioned %.1f %% of %d%n",
        100 * gain,
        100 * bend,
        seed,
        100.0 * questioned / benches,
        benches);
    return questioned;
  }

  private static void rates(int n) {
    assertTrue(questioned(81, n, 0, 0) <= most(n, 0.02));
    assertTrue(questioned(82, n, 0.01, 0) >= fewest(n, 0.95));
    assertTrue(questioned(83, n, -0.02, 0) >= fewest(n, 0.95));
    // Bent by 0.25 % of range is what two accuracies of 0.25 % of reading may differ: not seen.
    questioned(84, n, 0, 0.0025);
    assertTrue(questioned(85, n, 0, 0.0075) >= fewest(n, 0.9));
  }

  private static int fewest(int of, double rate) {
    return new BinomialDistribution(of, rate).inverseCumulativeProbability(0.001);
  }

  private static int most(int of, double rate) {
    return new BinomialDistribution(of, rate).inverseCumulativeProbability(0.999);
  }

  @Test
  void aGainOfOnePercentIsSeenAndSoundGaugesAreLeftAlone() {
    rates(100);
  }

  @Test
  @Tag("bench")
  void fiveHundredPairsOfGauges() {
    rates(500);
  }

  @Test
  void twoPercentShowAtOnceWithTheirSize() {
    GaugeComparison found = compared(new Random(5), 0.02, 0);
    assertFalse(found.agree());
    assertEquals(-0.02, found.gain(), 0.006);
    assertTrue(found.words().contains("one of them is wrong"), found.words());
  }

  @Test
  void tooFewOrTooNearPressuresAreRefused() {
    List<Pair> near =
        List.of(new Pair(900, 1, 900, 1), new Pair(950, 1, 950, 1), new Pair(990, 1, 990, 1));
    assertThrows(IllegalArgumentException.class, () -> GaugeComparison.of(PRESSURE, DROP, near));
    assertThrows(
        IllegalArgumentException.class,
        () -> GaugeComparison.of(PRESSURE, DROP, near.subList(0, 2)));
  }
}
