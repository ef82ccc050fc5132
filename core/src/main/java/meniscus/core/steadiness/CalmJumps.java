package meniscus.core.steadiness;

import java.util.Arrays;
import java.util.HashMap;
import java.util.Map;
import java.util.SplittableRandom;

/**
 * Two levels in short blocks, which show how sharp a jump is, and how far calm noise feigns them.
 * Sought in the calm record's normal scores, given its size: rough air passes the limit too, so
 * this does not tell which of the two it is.
 */
final class CalmJumps {

  /**
   * Counts of the gauge between two levels at least: a level that falls between two counts shows as
   * both. With one count between, 9 of 100 calm readings of a coarse gauge were called switching.
   */
  static final double LEAST_COUNTS = 3;

  /** 20 s of short blocks; a longer reading is looked at in its last ones. */
  static final int MOST_POINTS = 1000;

  static final int FEWEST_POINTS = 8; // two levels are not told from fewer

  private static final int DRAWS = 250; // a fit takes a millisecond or two
  private static final double TAIL_FROM = 0.9; // 25 draws above it
  private static final int FEWEST_TOLD = 20; // draws with levels far enough apart for the gauge

  /** Where steps hide nearly all jumps of calm air: what fine calm noise shows one time in 2000. */
  private static final double LEAST_RATIO = 4.2;

  private static final double LEAST_TAIL = 0.4; // of fine calm noise likewise

  private final CalmNoise noise;
  private final double size;
  private final Map<Integer, Limit> limits = new HashMap<>();

  /**
   * What a stretch shows.
   *
   * @param ratio square root of the likelihood ratio of two levels against one; 0 where they are
   *     too near to be told apart by the gauge's steps
   * @param apart distance of the two levels, over the calm size of a short block
   */
  record Look(double ratio, double apart) {}

  /**
   * What calm stretches show at most.
   *
   * @param points of the stated length
   * @param ratio limit there
   * @param tail excess that is e times rarer
   */
  record Limit(int points, double ratio, double tail) {
    /**
     * In a stretch of any length: each doubling of the stated length is one look more, and gets
     * half the chance of the one before, so that all together get no more than twice the first.
     */
    double at(int length) {
      return ratio + tail * Math.log(Math.max(1, (double) length / points));
    }
  }

  /**
   * @param noise of short blocks
   * @param size calm size of a short block over that of a usual one
   */
  CalmJumps(CalmNoise noise, double size) {
    this.noise = noise;
    this.size = size;
  }

  CalmNoise noise() {
    return noise;
  }

  double size() {
    return size;
  }

  /**
   * @param rest short blocks about their level over their calm size, without gaps
   */
  Look look(double[] rest) {
    int n = rest.length;
    double[] last = Arrays.copyOfRange(rest, Math.max(0, n - MOST_POINTS), n);
    if (last.length < FEWEST_POINTS) {
      return new Look(0, 0);
    }
    double mean = Arrays.stream(last).average().orElse(0);
    for (int i = 0; i < last.length; i++) {
      last[i] = noise.scores().score(last[i] - mean);
    }
    TwoLevels.Fit fit = TwoLevels.fit(last, noise.neighbours(), noise.size());
    double apart = noise.scores().value(fit.high()) - noise.scores().value(fit.low());
    boolean told = apart >= LEAST_COUNTS * noise.gauge().step();
    return new Look(told ? Math.sqrt(Math.max(0, fit.likelihoodRatio())) : 0, apart);
  }

  /** The limit of so many points; takes a good part of a second the first time. */
  synchronized Limit limit(int points) {
    return limits.computeIfAbsent(Math.min(points, MOST_POINTS), this::drawn);
  }

  private Limit drawn(int points) {
    SplittableRandom random = CalmNoise.random(points);
    double[] nothing = new double[points];
    double[] ratios = new double[DRAWS];
    for (int k = 0; k < DRAWS; k++) {
      ratios[k] = look(noise.draw(nothing, random)).ratio();
    }
    return limit(points, ratios);
  }

  /**
   * @param ratios that calm stretches show
   */
  static Limit limit(int points, double[] ratios) {
    // A tail fitted to zeros too would be too short.
    double[] told = Arrays.stream(ratios).filter(v -> v > 0).toArray();
    if (told.length < FEWEST_TOLD) {
      return new Limit(points, LEAST_RATIO, LEAST_TAIL);
    }
    double chance = CalmLimits.CHANCE * ratios.length / told.length;
    Tail tail = Tail.of(told, TAIL_FROM);
    return new Limit(points, tail.beyond(chance), tail.scale());
  }
}
