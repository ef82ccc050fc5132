package meniscus.drivers.simulated;

import java.util.SplittableRandom;

/**
 * A fluctuation of mean 0 and standard deviation 1 whose correlation falls as exp(−t/τ)
 * (Ornstein–Uhlenbeck), exact at the steps of the simulation.
 */
final class Wander {

  private final SplittableRandom random;
  private final double kept;
  private final double fresh;
  private double value;

  Wander(SplittableRandom random, double correlationS, double stepS) {
    this.random = random;
    kept = Math.exp(-stepS / correlationS);
    fresh = Math.sqrt(1 - kept * kept);
    value = random.nextGaussian();
  }

  double step() {
    value = kept * value + fresh * random.nextGaussian();
    return value;
  }

  double value() {
    return value;
  }

  /** As after a long time. */
  void drawAnew() {
    value = random.nextGaussian();
  }
}
