package meniscus.core.decide;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.Arrays;
import java.util.List;
import meniscus.core.decide.Estimate.Part;
import meniscus.core.uncertainty.Coverage;
import org.junit.jupiter.api.Test;

/** Against published worked values; the source stands beside each. */
class PublishedTestsTest {

  private static final double[] SLEEP_1 = {0.7, -1.6, -0.2, -1.2, -0.1, 3.4, 3.7, 0.8, 0.0, 2.0};
  private static final double[] SLEEP_2 = {1.9, 0.8, 1.1, 0.1, -0.1, 4.4, 5.5, 1.6, 4.6, 3.4};

  /** R documentation of t.test: {@code t.test(extra ~ group, data = sleep)}. */
  @Test
  void welchOnTheSleepData() {
    Estimate e = welch(SLEEP_1, SLEEP_2);
    assertEquals(17.776, e.degreesOfFreedom(), 5e-4);
    assertEquals(-3.3654832, e.value() - e.u95(), 5e-8);
    assertEquals(0.2054832, e.value() + e.u95(), 5e-8);
  }

  /** R 3.4.0 output quoted in the tests of a general-purpose statistics library. */
  @Test
  void welchWithUnequalNumbers() {
    Estimate e =
        welch(
            new double[] {7, -4, 18, 17, -3, -5, 1, 10, 11, -2},
            new double[] {-1, 12, -1, -3, 3, -5, 5, 2, -11, -1, -3});
    assertEquals(15.590512968733776, e.degreesOfFreedom(), 1e-9);
    assertEquals(0.12883936962193396, e.pOfZero(), 1e-11);
  }

  /**
   * Two one-sided tests: Moery and Calin-Jageman (2016), study 2, as worked in the R documentation
   * of the equivalence test of Lakens (2017): means 5.25 and 5.22, standard deviations 0.95 and
   * 0.83, n 95 and 89, bounds d = ±0.43: t(182) = -2.69, p = 0.004. (182 is the number for a pooled
   * variance, though the text says otherwise.)
   */
  @Test
  void twoOneSidedTests() {
    double pooled = (94 * 0.95 * 0.95 + 88 * 0.83 * 0.83) / 182;
    Estimate e = Estimate.of(5.25 - 5.22, List.of(new Part(pooled * (1.0 / 95 + 1.0 / 89), 182)));
    double margin = 0.43 * Math.sqrt(pooled);
    assertEquals(182, e.degreesOfFreedom(), 1e-9);
    assertEquals(-2.69, (e.value() - margin) / e.standardUncertainty(), 0.005);
    assertEquals(0.004, e.pOfMarginOrMore(margin), 0.0005);
  }

  /**
   * Worked example of the encyclopedia article on the method of Holm: p of 0.01, 0.04, 0.03 and
   * 0.005 at 5 %: the first and the fourth are rejected, the others not.
   */
  @Test
  void holmStepsDown() {
    assertArrayEquals(
        new boolean[] {true, false, false, true},
        Holm.rejected(new double[] {0.01, 0.04, 0.03, 0.005}, 0.05));
  }

  /** A larger p is never rejected before a smaller one that is not. */
  @Test
  void holmStopsAtTheFirstThatHolds() {
    assertArrayEquals(
        new boolean[] {true, false, false}, Holm.rejected(new double[] {0.001, 0.03, 0.04}, 0.05));
  }

  /** The equivalence test at 5 % is the 90 % interval lying within the margin. */
  @Test
  void equivalenceIsTheNinetyPercentInterval() {
    Estimate e = new Estimate(0.3, 0.2, 7);
    double half = Coverage.factor(0.90, 7) * 0.2;
    assertTrue(e.pOfMarginOrMore(0.3 + half * 1.0001) < 0.05);
    assertTrue(e.pOfMarginOrMore(0.3 + half * 0.9999) > 0.05);
  }

  private static Estimate welch(double[] a, double[] b) {
    return Estimate.of(mean(a) - mean(b), List.of(part(a), part(b)));
  }

  private static Part part(double[] x) {
    double mean = mean(x);
    double variance = Arrays.stream(x).map(v -> (v - mean) * (v - mean)).sum() / (x.length - 1);
    return new Part(variance / x.length, x.length - 1);
  }

  private static double mean(double[] x) {
    return Arrays.stream(x).average().orElseThrow();
  }

  /**
   * Levels and adjusted p values are two ways to say the same. Adjusted values 0.05, 0.08, 0.09,
   * 0.09, 0.09 of p = 0.01 to 0.05: by hand after Holm (1979), max over the steps before of (m −
   * step) p.
   */
  @Test
  void aNullIsRejectedAtItsLevelExactlyWhereItsAdjustedPAllows() {
    double[] p = {0.03, 0.01, 0.05, 0.02, 0.04};
    double[] adjusted = {0.09, 0.05, 0.09, 0.08, 0.09};
    for (double chance : new double[] {0.049, 0.051, 0.079, 0.081, 0.089, 0.091}) {
      double[] levels = Holm.levels(p, chance);
      boolean[] rejected = Holm.rejected(p, chance);
      for (int i = 0; i < p.length; i++) {
        org.junit.jupiter.api.Assertions.assertEquals(adjusted[i] <= chance, p[i] <= levels[i]);
        org.junit.jupiter.api.Assertions.assertEquals(adjusted[i] <= chance, rejected[i]);
      }
    }
  }
}
