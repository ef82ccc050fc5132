package meniscus.core.steadiness;

import org.hipparchus.special.Beta;

/** What a count of so many says of a rate (Clopper and Pearson 1934, from memory). */
public final class Binomial {

  /** Chance that a test fails although what is claimed is so. */
  private static final double UNLUCKY = 1e-3;

  private Binomial() {}

  /** Chance of so many or fewer. */
  static double below(int found, int of, double rate) {
    return found >= of ? 1 : 1 - Beta.regularizedBeta(rate, found + 1.0, of - found);
  }

  /** One-sided 95 % upper bound of the rate. */
  static double upperBound(int found, int of) {
    double low = 0;
    double high = 1;
    for (int k = 0; k < 60; k++) {
      double rate = 0.5 * (low + high);
      if (below(found, of, rate) > 0.05) {
        low = rate;
      } else {
        high = rate;
      }
    }
    return high;
  }

  /** Whether so many or fewer would be no surprise at a rate of this or more. */
  public static boolean couldBe(int found, int of, double rate) {
    return below(found, of, rate) > UNLUCKY;
  }

  /** Whether so many or more would be no surprise at a rate of this or less. */
  static boolean atMost(int found, int of, double rate) {
    return found == 0 || 1 - below(found - 1, of, rate) > UNLUCKY;
  }
}
