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
 * @param energy limit of the logarithm of the size of fluctuation at all speeds together
 * @param feature limit of each of {@link Features}
 * @param usual what each of {@link Features} is on average in calm stretches of this length
 * @param fast limit of the logarithm of the fluctuation inside blocks
 */
record CalmLimits(double energy, double[] feature, double[] usual, double fast) {

  // The looks share the false-alarm chance of a lift point, 0.1 %, with room for drift.
  private static final double ENERGY = 5e-4;
  private static final double RATIO = 1.5e-4;
  private static final double OTHER = 3e-5;

  private static final int DRAWS = 600;
  private static final int RATIO_DRAWS = 250;
  private static final int PILOT = 40;
  private static final long SEED = 20_240_611;

  /**
   * How far calm runs differ in size.
   *
   * @param jitter standard deviation, from run to run, of the logarithm of the size
   * @param degrees how well it is known
   */
  record Spread(double jitter, double degrees) {
    double times(double chance) {
      return jitter * new TDistribution(degrees).inverseCumulativeProbability(1 - chance);
    }
  }

  /**
   * @param blocks length of the stretch
   * @param slow blocks in about 1 s
   */
  static CalmLimits simulated(
      NoiseSimulator simulator, Whitener whitener, int blocks, int slow, Spread all, Spread fast) {
    double[][] seen = new double[Features.COUNT][DRAWS];
    SplittableRandom random = new SplittableRandom(SEED + blocks);
    for (int k = 0; k < DRAWS; k++) {
      double[] drawn = drawn(simulator, blocks, random);
      double[] features = Features.of(drawn, whitener, slow);
      for (int f = 0; f < Features.COUNT; f++) {
        seen[f][k] = features[f];
      }
    }
    double[] limits = new double[Features.COUNT];
    double[] usual = new double[Features.COUNT];
    for (int f = 0; f < Features.COUNT; f++) {
      double mean = Arrays.stream(seen[f]).average().orElse(0);
      double above = f < 2 ? normal(OTHER) * deviation(seen[f], mean) : tail(seen[f], OTHER) - mean;
      limits[f] = mean + Math.hypot(above, all.times(OTHER));
      usual[f] = mean;
    }
    double above = normal(ENERGY) * deviation(seen[0], usual[0]);
    double energy = usual[0] + Math.hypot(above, all.times(ENERGY));
    return new CalmLimits(energy, limits, usual, fast.times(OTHER));
  }

  private static double[] drawn(NoiseSimulator simulator, int blocks, SplittableRandom random) {
    double[] drawn = simulator.draw(blocks, random);
    double mean = Arrays.stream(drawn).average().orElse(0);
    for (int i = 0; i < blocks; i++) {
      drawn[i] -= mean;
    }
    return drawn;
  }

  /**
   * What is needed to tell two levels from one.
   *
   * @param ratio limit of the likelihood ratio
   * @param phi correlation of neighbouring points
   * @param size what is known of the noise's size
   */
  record Jumps(double ratio, double phi, TwoLevels.Size size) {

    /**
     * @param points length of the stretch
     */
    static Jumps simulated(NoiseSimulator simulator, int points, Spread all) {
      SplittableRandom random = new SplittableRandom(SEED + points);
      double phi = Math.max(0, simulator.autocovariance(2)[1]);
      double left = 0;
      for (int k = 0; k < PILOT; k++) {
        left += TwoLevels.leftVariance(drawn(simulator, points, random), phi) / PILOT;
      }
      TwoLevels.Size size = new TwoLevels.Size(left, 0.5 / (all.jitter * all.jitter));
      double[] ratios = new double[RATIO_DRAWS];
      for (int k = 0; k < RATIO_DRAWS; k++) {
        double[] drawn = drawn(simulator, points, random);
        double by = Math.exp(all.jitter * random.nextGaussian());
        for (int i = 0; i < points; i++) {
          drawn[i] *= by;
        }
        ratios[k] = TwoLevels.fit(drawn, phi, size).likelihoodRatio();
      }
      return new Jumps(tail(ratios, RATIO), phi, size);
    }
  }

  private static double normal(double chance) {
    return new TDistribution(DRAWS).inverseCumulativeProbability(1 - chance);
  }

  private static double deviation(double[] x, double mean) {
    double sum = 0;
    for (double v : x) {
      sum += (v - mean) * (v - mean);
    }
    return Math.sqrt(sum / (x.length - 1));
  }

  /** Upper quantile from an exponential fitted above the 90 % point. */
  private static double tail(double[] x, double chance) {
    double[] sorted = x.clone();
    Arrays.sort(sorted);
    int from = (int) (0.9 * sorted.length);
    double base = sorted[from];
    double excess = 0;
    for (int i = from; i < sorted.length; i++) {
      excess += (sorted[i] - base) / (sorted.length - from);
    }
    return base + excess * 1.1 * Math.log(0.1 / chance);
  }
}
