package meniscus.core.steadiness;

import java.util.Arrays;
import meniscus.core.settle.Whitener;

/**
 * What is looked at in a stretch of block means: numbers that grow when the air is less steady than
 * the bench. All are in units of the calm record's block deviation.
 */
final class Features {

  static final int COUNT = 4;

  /** Names for reasons, in the order of {@link #of}. */
  static final String[] NAMES = {
    "fluctuation from block to block", "slow fluctuation (1 s means)", "bursts", "dips or surges"
  };

  private Features() {}

  /**
   * @param blocks block means less the level, over the calm block deviation; NaN where missing
   * @param slow blocks in about 1 s
   */
  static double[] of(double[] blocks, Whitener whitener, int slow) {
    double[] white = whitener.whiten(blocks);
    double burst = 0;
    double sum = 0;
    int count = 0;
    int window = Math.max(2 * slow, 6);
    for (int i = 0; i + window <= white.length; i += Math.max(1, window / 4)) {
      burst = Math.max(burst, meanSquare(white, i, i + window));
    }
    for (double w : white) {
      if (!Double.isNaN(w)) {
        sum += w * w;
        count++;
      }
    }
    double[] means = joined(blocks, slow);
    double deepest = 0;
    for (double m : means) {
      deepest = Math.max(deepest, Math.abs(m));
    }
    return new double[] {
      0.5 * Math.log(sum / Math.max(count, 1) + 1e-12),
      0.5 * Math.log(meanSquare(means, 0, means.length) + 1e-12),
      0.5 * Math.log(burst + 1e-12),
      Math.log(deepest + 1e-6)
    };
  }

  private static double meanSquare(double[] x, int from, int to) {
    double sum = 0;
    int count = 0;
    for (int i = from; i < to; i++) {
      if (!Double.isNaN(x[i])) {
        sum += x[i] * x[i];
        count++;
      }
    }
    return 2 * count >= to - from && count > 0 ? sum / count : 0;
  }

  /** Means of neighbours; groups that are mostly missing are left out. */
  private static double[] joined(double[] x, int by) {
    double[] means = new double[x.length / by];
    int kept = 0;
    for (int g = 0; g < x.length / by; g++) {
      double sum = 0;
      int count = 0;
      for (int i = g * by; i < (g + 1) * by; i++) {
        if (!Double.isNaN(x[i])) {
          sum += x[i];
          count++;
        }
      }
      if (2 * count >= by) {
        means[kept++] = sum / count;
      }
    }
    return Arrays.copyOf(means, kept);
  }
}
