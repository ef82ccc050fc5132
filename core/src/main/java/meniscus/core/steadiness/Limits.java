package meniscus.core.steadiness;

import java.util.Arrays;
import java.util.SplittableRandom;
import meniscus.core.settle.NoiseSimulator;
import meniscus.core.settle.Whitener;
import org.hipparchus.distribution.continuous.TDistribution;

/**
 * What a calm stretch of a given length shows at most, at the false-alarm chance of a lift point:
 * found by simulating the calm record's own noise. Tails beyond the simulation are extrapolated,
 * normal for the energies' logarithms, exponential for maxima and likelihood ratios; how far calm
 * runs differ in size, and how well that is known, widens them.
 *
 * @param feature limit of each of {@link Features}
 * @param fast limit of the logarithm of the fluctuation inside blocks
 * @param ratio limit of the two-level likelihood ratio
 */
record Limits(double[] feature, double fast, double ratio) {

  /** Six looks share 0.1 % a lift point, with room for drift and what the simulation misses. */
  static final double EACH = 1.2e-4;

  private static final int DRAWS = 600;
  private static final long SEED = 20_240_611;

  /**
   * @param blocks length of the stretch
   * @param slow blocks in about 1 s
   * @param jitter standard deviation, from run to run, of the logarithm of the size
   * @param degrees how well jitter is known
   */
  static Limits simulated(
      NoiseSimulator simulator,
      Whitener whitener,
      int blocks,
      int slow,
      double jitter,
      double fastJitter,
      double degrees) {
    double[][] seen = new double[Features.COUNT][DRAWS];
    double[] ratios = new double[DRAWS];
    SplittableRandom random = new SplittableRandom(SEED + blocks);
    double phi = phi(simulator, blocks);
    for (int k = 0; k < DRAWS; k++) {
      double[] drawn = simulator.draw(blocks, random);
      double mean = Arrays.stream(drawn).average().orElse(0);
      for (int i = 0; i < blocks; i++) {
        drawn[i] -= mean;
      }
      double[] features = Features.of(drawn, whitener, slow);
      for (int f = 0; f < Features.COUNT; f++) {
        seen[f][k] = features[f];
      }
      ratios[k] = TwoLevels.fit(Features.points(drawn), phi).likelihoodRatio();
    }
    double t = new TDistribution(degrees).inverseCumulativeProbability(1 - EACH);
    double z = new TDistribution(1000).inverseCumulativeProbability(1 - EACH);
    double[] limits = new double[Features.COUNT];
    for (int f = 0; f < Features.COUNT; f++) {
      double mean = Arrays.stream(seen[f]).average().orElse(0);
      double above = f < 2 ? z * deviation(seen[f], mean) * 1.05 : exponentialTail(seen[f]) - mean;
      limits[f] = mean + Math.hypot(above, t * jitter);
    }
    return new Limits(limits, t * fastJitter, exponentialTail(ratios));
  }

  /** Correlation of neighbouring points as {@link TwoLevels} sees them. */
  static double phi(NoiseSimulator simulator, int blocks) {
    int joins = Features.joins(blocks);
    double[] gamma = simulator.autocovariance(2 * joins);
    double own = 0;
    double next = 0;
    for (int i = 0; i < joins; i++) {
      for (int k = 0; k < joins; k++) {
        own += gamma[Math.abs(i - k)];
        next += gamma[Math.abs(joins + i - k)];
      }
    }
    return Math.max(0, next / own);
  }

  private static double deviation(double[] x, double mean) {
    double sum = 0;
    for (double v : x) {
      sum += (v - mean) * (v - mean);
    }
    return Math.sqrt(sum / (x.length - 1));
  }

  /** Upper quantile from an exponential fitted above the 90 % point. */
  private static double exponentialTail(double[] x) {
    double[] sorted = x.clone();
    Arrays.sort(sorted);
    int from = (int) (0.9 * sorted.length);
    double base = sorted[from];
    double excess = 0;
    for (int i = from; i < sorted.length; i++) {
      excess += (sorted[i] - base) / (sorted.length - from);
    }
    return base + excess * 1.1 * Math.log(0.1 / EACH);
  }
}
