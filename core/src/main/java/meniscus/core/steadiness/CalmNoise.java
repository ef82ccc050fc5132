package meniscus.core.steadiness;

import java.util.Arrays;
import java.util.List;
import java.util.SplittableRandom;
import meniscus.core.settle.GaugeTransfer;
import org.hipparchus.distribution.continuous.TDistribution;

/**
 * The bench's own noise as its calm record shows it, for limits that hold for this noise and not
 * for Gaussian noise alone: distribution in {@link NormalScores}, rhythm as {@link Autoregression}
 * of the scores, size with its scatter from run to run, and the gauge's steps. Block means over
 * their calm size throughout.
 */
final class CalmNoise {

  /** Steps below this share of the size are as good as none: they add 0.2 % to a variance. */
  private static final double FINE = 0.15;

  /**
   * Where steps are wider than all noise, a tenth of it is still held to be air. Our own choice.
   */
  private static final double MOST_ROUNDING = 0.9;

  private static final long SEED = 20_240_611; // any: limits are drawn once and stay the same

  private final NormalScores scores;
  private final Autoregression rhythm; // of the readings
  private final Autoregression air; // before the gauge counted
  private final double rounding; // share of the variance that counting adds
  private final Gauge gauge;
  private final Spread spread;

  /**
   * What the gauge does to the noise.
   *
   * @param blockSeconds length of a block [s]
   * @param readings readings in a block
   * @param step of a reading, over the calm size of a block; 0 when fine
   * @param within deviation of readings inside a block, over the calm size of a block
   * @param transfer its moving mean and lag, as far as they are known
   */
  record Gauge(
      double blockSeconds, int readings, double step, double within, GaugeTransfer transfer) {
    int slowBlocks() {
      return Math.max(1, (int) Math.round(1 / blockSeconds));
    }

    boolean coarse() {
      return step > FINE * Math.hypot(1, within);
    }
  }

  /**
   * How far calm runs differ in size.
   *
   * @param jitter standard deviation, from run to run, of the logarithm of the size
   * @param degrees how well it is known
   * @param runs that the usual size was learned from
   */
  record Spread(double jitter, double degrees, int runs) {
    /**
     * How much larger by chance one more reading is; logarithm.
     *
     * @param own variance that its own shortness adds
     */
    double beyond(double chance, double own) {
      return Math.sqrt(scale() * scale() + own)
          * new TDistribution(degrees).inverseCumulativeProbability(1 - chance);
    }

    double draw(SplittableRandom random) {
      double share = Math.max(1e-12, random.nextDouble());
      return scale() * new TDistribution(degrees).inverseCumulativeProbability(share);
    }

    private double scale() {
      return jitter * Math.sqrt(1 + 1.0 / runs);
    }
  }

  /**
   * @param runs block means of the calm runs less their level, each over its own size
   */
  CalmNoise(List<double[]> runs, Gauge gauge, Spread spread) {
    this.gauge = gauge;
    this.spread = spread;
    double[] all = runs.stream().flatMapToDouble(Arrays::stream).filter(Double::isFinite).toArray();
    scores = new NormalScores(all, gauge.step(), new SplittableRandom(SEED));
    rhythm = Autoregression.of(runs.stream().map(scores::scores).toList());
    double white = gauge.step() * gauge.step() / 12 / gauge.readings();
    rounding = gauge.coarse() ? Math.min(MOST_ROUNDING, white) : 0;
    air = rounding > 0 ? rhythm.without(rounding) : rhythm;
  }

  Gauge gauge() {
    return gauge;
  }

  /** What is known of the size of noise that one step of correlation cannot foretell; in scores. */
  TwoLevels.Size size() {
    double phi = neighbours();
    return new TwoLevels.Size(
        rhythm.variance() * (1 - phi * phi), 0.5 / spread.jitter() / spread.jitter());
  }

  /** Correlation of neighbouring scores, as two levels are sought with. */
  double neighbours() {
    return Math.max(0, Math.min(0.98, rhythm.neighbours()));
  }

  NormalScores scores() {
    return scores;
  }

  Autoregression rhythm() {
    return rhythm;
  }

  /**
   * Calm noise as it might have been.
   *
   * @param added what the air does beside it, as the gauge would show it; one value a block
   */
  double[] draw(double[] added, SplittableRandom random) {
    double[] drawn = air.draw(added.length, random);
    double size = Math.exp(spread.draw(random));
    double step = gauge.coarse() ? gauge.step() : 0;
    size *= Math.sqrt(1 - rounding);
    double phase = step * random.nextDouble();
    for (int i = 0; i < drawn.length; i++) {
      double value = size * scores.value(drawn[i]) + added[i];
      drawn[i] = step > 0 ? counted(value, step, phase, random) : value;
    }
    return drawn;
  }

  /** The mean of a block of readings of which each falls on a step. */
  private double counted(double value, double step, double phase, SplittableRandom random) {
    double sum = 0;
    for (int k = 0; k < gauge.readings(); k++) {
      double reading = value + (gauge.readings() > 1 ? gauge.within() * random.nextGaussian() : 0);
      sum += step * Math.rint((reading - phase) / step) + phase;
    }
    return sum / gauge.readings();
  }

  /** A new source of chance for a stretch of so many blocks. */
  static SplittableRandom random(int blocks) {
    return new SplittableRandom(SEED + blocks);
  }
}
