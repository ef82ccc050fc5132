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

  /** 20 s of short blocks. */
  static final int MOST_POINTS = 1000;

  /** A longer reading is looked at in its last stretches: what began a minute ago shows. */
  private static final int MOST_STRETCHES = 3;

  static final int FEWEST_POINTS = 8; // two levels are not told from fewer

  private static final int DRAWS = 250; // a fit takes a millisecond or two
  private static final double TAIL_FROM = 0.9; // 25 draws above it

  /** A hundredth of a unit of log likelihood: where the fit stopped, not two levels. */
  private static final double NOTHING = 0.1;

  /**
   * Where calm noise hardly ever shows two levels, for the gauge's steps hide them or it is too
   * smooth, a few hundred draws tell no limit: what fine calm noise shows one time in 2000.
   */
  private static final double USUAL_RATIO = 4.2;

  private final CalmNoise noise;
  private final double size;
  private final Map<Integer, Double> limits = new HashMap<>();

  /**
   * What a stretch shows.
   *
   * @param ratio square root of the likelihood ratio of two levels against one; 0 where they are
   *     too near to be told apart by the gauge's steps
   * @param apart distance of the two levels, over the calm size of a short block
   */
  record Look(double ratio, double apart) {}

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
   * What stretches of a stated length show, on average over the last few of them: as with size, a
   * limit that belongs to the stated length holds for longer ones too.
   *
   * @param rest short blocks about their level over their calm size, without gaps
   * @param stated length in short blocks
   */
  Look look(double[] rest, int stated) {
    int length = Math.min(stated, Math.min(rest.length, MOST_POINTS));
    if (length < FEWEST_POINTS) {
      return new Look(0, 0);
    }
    int pieces = Math.min(MOST_STRETCHES, (rest.length + length - 1) / length);
    int reach = Math.min(rest.length, pieces * length);
    double ratio = 0;
    double apart = 0;
    for (int k = 0; k < pieces; k++) {
      int back = pieces == 1 ? 0 : (int) Math.round((double) k * (reach - length) / (pieces - 1));
      int to = rest.length - back;
      Look one = look(Arrays.copyOfRange(rest, to - length, to));
      ratio += one.ratio() / pieces;
      apart += one.apart() / pieces;
    }
    return new Look(ratio, apart);
  }

  private Look look(double[] stretch) {
    double mean = Arrays.stream(stretch).average().orElse(0);
    double[] scores = Arrays.stream(stretch).map(v -> noise.scores().score(v - mean)).toArray();
    TwoLevels.Fit fit = TwoLevels.fit(scores, noise.neighbours(), noise.size());
    double apart = noise.scores().value(fit.high()) - noise.scores().value(fit.low());
    boolean told = apart >= LEAST_COUNTS * noise.gauge().step();
    return new Look(told ? Math.sqrt(Math.max(0, fit.likelihoodRatio())) : 0, apart);
  }

  /**
   * Limit of {@link Look#ratio} in so many points; takes a good part of a second the first time.
   */
  synchronized double limit(int points) {
    return limits.computeIfAbsent(Math.min(points, MOST_POINTS), this::drawn);
  }

  private double drawn(int points) {
    SplittableRandom random = CalmNoise.random(points);
    double[] nothing = new double[points];
    double[] ratios = new double[DRAWS];
    for (int k = 0; k < DRAWS; k++) {
      ratios[k] = look(noise.draw(nothing, random)).ratio();
    }
    return limit(ratios);
  }

  /**
   * @param ratios that calm stretches show
   */
  static double limit(double[] ratios) {
    Tail tail = Tail.of(ratios, TAIL_FROM);
    // A tail fitted to what is no ratio too would be too short: 0.00 for a mean of 1 s at 20/s.
    return tail.base() > NOTHING ? tail.beyond(CalmLimits.CHANCE) : USUAL_RATIO;
  }
}
