package meniscus.core.steadiness;

import java.util.Arrays;

/** The step in which a gauge counts, as its readings show it. */
final class Steps {

  /** Differences that are equal to this share are one and the same number of steps. */
  private static final double ALIKE = 0.01;

  /**
   * Share of the differences of neighbouring readings that are the smallest one. Of readings
   * without steps no difference is as common: a density gives {@link #ALIKE} of its height 0.8 at
   * most.
   */
  private static final double COMMON = 0.05;

  private static final int LOOK_AT = 4000; // differences; more make it no clearer

  private Steps() {}

  /**
   * @param values readings; NaN where one is missing
   * @return the smallest difference that is common; 0 when none is: the steps do not show
   */
  static double of(double[] values) {
    double[] differences = new double[Math.min(values.length, LOOK_AT)];
    int count = 0;
    for (int i = 1; i < values.length && count < differences.length; i++) {
      double d = Math.abs(values[i] - values[i - 1]);
      if (d > 1e-9 * Math.abs(values[i])) {
        differences[count++] = d;
      }
    }
    double[] sorted = Arrays.copyOf(differences, count);
    Arrays.sort(sorted);
    int least = Math.max(5, (int) (COMMON * count));
    for (int i = 0; i + least <= count; i++) {
      if (sorted[i + least - 1] <= (1 + ALIKE) * sorted[i]) {
        return sorted[i];
      }
    }
    return 0;
  }
}
