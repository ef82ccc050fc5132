package meniscus.core.steadiness;

import java.util.Arrays;
import java.util.SplittableRandom;
import org.hipparchus.distribution.continuous.NormalDistribution;

/**
 * How the bench's calm noise is distributed, as a curve between its values and normal scores: the
 * value that a share of all calm values lies below, against the normal deviate that the same share
 * lies below. In scores skewed, heavy-tailed and stepped noise is Gaussian, so limits hold for it
 * too.
 *
 * <p>Source: translation processes, a Gaussian process seen through a fixed curve (Grigoriu 1984;
 * Cario and Nelson 1996, both from memory).
 */
final class NormalScores {

  /**
   * Scores count no further: ten calm runs do not know their noise's tails, and a single far value
   * must not decide. Chosen on simulated noise with Student's t of 4 degrees, where it cut the
   * false alarms of two levels from 0.70 to 0.20 %, before any reported figure was drawn.
   */
  static final double BOUND = 2.5;

  /** Knots of the curve; closer ones than this change no score by 0.001. */
  private static final double STEP = 0.05;

  private static final NormalDistribution NORMAL = new NormalDistribution();

  private final double[] values; // at scores first, first + STEP, ...
  private final double first;

  /**
   * @param calm all calm values, about zero and of size one; at least some tens
   * @param step resolution of the values, 0 when fine; values are spread over it
   */
  NormalScores(double[] calm, double step, SplittableRandom random) {
    double[] sorted = calm.clone();
    for (int i = 0; i < sorted.length; i++) {
      sorted[i] += step * (random.nextDouble() - 0.5);
    }
    Arrays.sort(sorted);
    double most =
        STEP * Math.floor(NORMAL.inverseCumulativeProbability(1 - 0.5 / sorted.length) / STEP);
    first = -most;
    values = new double[(int) Math.round(2 * most / STEP) + 1];
    for (int k = 0; k < values.length; k++) {
      double rank = NORMAL.cumulativeProbability(first + k * STEP) * sorted.length - 0.5;
      int below = (int) Math.max(0, Math.min(sorted.length - 2, Math.floor(rank)));
      double part = Math.max(0, Math.min(1, rank - below));
      values[k] = sorted[below] + part * (sorted[below + 1] - sorted[below]);
    }
  }

  /** Share of values that lie below a score. */
  static double share(double score) {
    return NORMAL.cumulativeProbability(score);
  }

  /** The score of a value, within ±{@value #BOUND}; NaN of a missing one. */
  double score(double value) {
    if (Double.isNaN(value)) {
      return value;
    }
    int low = 0;
    int high = values.length - 1;
    if (value <= values[low]) {
      return Math.max(-BOUND, value < values[low] ? -BOUND : first);
    }
    if (value >= values[high]) {
      return Math.min(BOUND, value > values[high] ? BOUND : -first);
    }
    while (high - low > 1) {
      int middle = (low + high) >>> 1;
      if (values[middle] <= value) {
        low = middle;
      } else {
        high = middle;
      }
    }
    double score = first + STEP * (low + (value - values[low]) / (values[high] - values[low]));
    return Math.max(-BOUND, Math.min(BOUND, score));
  }

  double[] scores(double[] values) {
    return Arrays.stream(values).map(this::score).toArray();
  }

  /** The value of a score; scores beyond the calm record's are its last. */
  double value(double score) {
    double at = (score - first) / STEP;
    if (!(at > 0)) {
      return values[0];
    }
    if (at >= values.length - 1) {
      return values[values.length - 1];
    }
    int low = (int) at;
    return values[low] + (at - low) * (values[low + 1] - values[low]);
  }
}
