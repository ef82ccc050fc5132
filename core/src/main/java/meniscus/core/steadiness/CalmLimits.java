package meniscus.core.steadiness;

import java.util.Arrays;
import java.util.SplittableRandom;
import java.util.function.ToDoubleFunction;

/**
 * What a calm stretch of a stated length shows at most, found by drawing the calm record's own
 * noise ({@link CalmNoise}) many times over; the tail beyond the draws is exponential.
 *
 * @param blocks the stated length
 * @param size limit of {@link Looks#size}
 * @param slow limit of {@link Looks#slow}
 * @param levels limit of {@link Looks#levels}
 * @param usual what calm stretches show on average
 * @param tail excess of {@link Looks#levels} that is e times rarer
 */
record CalmLimits(int blocks, double size, double slow, double levels, Looks usual, double tail) {

  /**
   * False-alarm chance of each of four looks; together 0.2 % of lift points. Our own choice: one
   * lift in 500 called rough for nothing is lost among those that are.
   */
  static final double CHANCE = 5e-4;

  /** No verdict on the air is given before: a dozen slow looks. Our own choice. */
  static final double SHORTEST_SECONDS = 8;

  /** Limits scatter by about 3 % of their height above the mean with so many. */
  private static final int DRAWS = 600;

  private static final double TAIL_FROM = 0.95; // 30 draws above it

  /** The smallest jump seen in half of so many draws is known to about a tenth. Our choice. */
  private static final int TRIALS = 30;

  private static final int HALVINGS = 7; // of a range of 100 to 1, to 4 %
  private static final double LARGEST_JUMP = 50; // calm sizes
  private static final double STAY_SECONDS = 1; // as long as the slowest that bubbles do

  /** Where steps hide nearly all jumps of calm air: what fine calm noise shows one time in 2000. */
  private static final double LEAST_LEVELS = 4.2;

  private static final double LEAST_TAIL = 0.4; // of fine calm noise likewise

  private static final int FEWEST_TOLD = 20; // draws with levels far enough apart for the gauge

  /** Blocks of the stated length that a limit belongs to; a brief reading has a shorter one. */
  static int stated(double stabilitySeconds, int blocks, double blockSeconds) {
    int whole = (int) (Math.max(stabilitySeconds, SHORTEST_SECONDS) / blockSeconds + 1e-6);
    int brief = (int) (SHORTEST_SECONDS / blockSeconds + 1e-6);
    return Math.max(Looks.FEWEST_VALUES, Math.min(blocks < whole ? brief : whole, blocks));
  }

  static CalmLimits drawn(CalmNoise noise, int blocks) {
    SplittableRandom random = CalmNoise.random(blocks);
    Looks[] seen = new Looks[DRAWS];
    double[] nothing = new double[blocks];
    for (int k = 0; k < DRAWS; k++) {
      seen[k] = Looks.of(noise.draw(nothing, random), noise);
    }
    return of(seen, blocks);
  }

  /**
   * @param seen what calm stretches show, some hundred of them
   */
  static CalmLimits of(Looks[] seen, int blocks) {
    double[] levels = Arrays.stream(seen).mapToDouble(Looks::levels).filter(v -> v > 0).toArray();
    double share = (double) levels.length / seen.length;
    boolean few = levels.length < FEWEST_TOLD;
    Looks usual =
        new Looks(
            mean(seen, Looks::size),
            mean(seen, Looks::slow),
            mean(seen, Looks::levels),
            mean(seen, Looks::apart),
            Math.exp(mean(seen, look -> Math.log(look.rms() + 1e-12))));
    return new CalmLimits(
        blocks,
        beyond(Arrays.stream(seen).mapToDouble(Looks::size).toArray(), CHANCE),
        beyond(Arrays.stream(seen).mapToDouble(Looks::slow).toArray(), CHANCE),
        few ? LEAST_LEVELS : beyond(levels, CHANCE / share),
        usual,
        few ? LEAST_TAIL : excess(levels));
  }

  /**
   * Limit of {@link Looks#levels} in a stretch of any length: each doubling of the stated length is
   * one look more, and gets half the chance of the one before, so that all together get no more
   * than twice the first.
   */
  double levels(int length) {
    return levels + tail * Math.log(Math.max(1, (double) length / blocks));
  }

  boolean passedBy(Looks seen, int length) {
    return seen.size() <= size && seen.slow() <= slow && seen.levels() <= levels(length);
  }

  /**
   * The largest jump between two levels, each kept 1 s on average, that is overlooked half the time
   * in a stretch of this length, over the calm size of a block.
   */
  double couldHide(CalmNoise noise) {
    double low = 0.01 * LARGEST_JUMP;
    double high = LARGEST_JUMP;
    for (int step = 0; step < HALVINGS; step++) {
      double apart = Math.sqrt(low * high);
      SplittableRandom random = CalmNoise.random(blocks + 1);
      int found = 0;
      for (int k = 0; k < TRIALS; k++) {
        double[] drawn = noise.draw(jumps(apart, noise.gauge(), random), random);
        found += passedBy(Looks.of(drawn, noise), blocks) ? 0 : 1;
      }
      if (2 * found >= TRIALS) {
        high = apart;
      } else {
        low = apart;
      }
    }
    return high;
  }

  /** Jumps as the gauge shows them, through its own moving mean. */
  private double[] jumps(double apart, CalmNoise.Gauge gauge, SplittableRandom random) {
    int over = Math.max(1, (int) Math.round(gauge.meanSeconds() / gauge.blockSeconds()));
    double leave = 1 - Math.exp(-gauge.blockSeconds() / STAY_SECONDS);
    double[] air = new double[blocks + over];
    double side = random.nextBoolean() ? 0.5 : -0.5;
    for (int i = 0; i < air.length; i++) {
      side = random.nextDouble() < leave ? -side : side;
      air[i] = side * apart;
    }
    double[] shown = new double[blocks];
    for (int i = 0; i < blocks; i++) {
      for (int k = 0; k < over; k++) {
        shown[i] += air[i + k] / over;
      }
    }
    return shown;
  }

  private static double mean(Looks[] seen, ToDoubleFunction<Looks> of) {
    return Arrays.stream(seen).mapToDouble(of).average().orElse(0);
  }

  private static double beyond(double[] seen, double chance) {
    double[] sorted = seen.clone();
    Arrays.sort(sorted);
    double base = sorted[(int) (TAIL_FROM * sorted.length)];
    return base + excess(seen) * Math.max(0, Math.log((1 - TAIL_FROM) / chance));
  }

  /** Mean excess over the point where the tail begins: the scale of an exponential. */
  private static double excess(double[] seen) {
    double[] sorted = seen.clone();
    Arrays.sort(sorted);
    int from = (int) (TAIL_FROM * sorted.length);
    double sum = 0;
    for (int i = from; i < sorted.length; i++) {
      sum += sorted[i] - sorted[from];
    }
    return sum / (sorted.length - from);
  }
}
