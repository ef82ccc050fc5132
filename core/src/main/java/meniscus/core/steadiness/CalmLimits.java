package meniscus.core.steadiness;

import java.util.Arrays;
import java.util.SplittableRandom;
import java.util.function.ToDoubleFunction;

/**
 * What a calm stretch of a stated length shows at most, found by drawing the calm record's own
 * noise ({@link CalmNoise}) many times over.
 *
 * @param blocks the stated length
 * @param most limit of each look
 * @param usual what calm stretches show on average
 */
record CalmLimits(int blocks, Looks most, Looks usual) {

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
  private static final int FEWEST_BLOCKS = 8; // less has no rhythm

  /** Blocks of the stated length that a limit belongs to; a brief reading has a shorter one. */
  static int stated(double stabilitySeconds, int blocks, double blockSeconds) {
    int whole = (int) (Math.max(stabilitySeconds, SHORTEST_SECONDS) / blockSeconds + 1e-6);
    int brief = (int) (SHORTEST_SECONDS / blockSeconds + 1e-6);
    return Math.max(FEWEST_BLOCKS, Math.min(blocks < whole ? brief : whole, blocks));
  }

  static CalmLimits drawn(CalmNoise noise, int blocks) {
    SplittableRandom random = CalmNoise.random(blocks);
    Looks[] seen = new Looks[DRAWS];
    double[] nothing = new double[blocks];
    for (int k = 0; k < DRAWS; k++) {
      seen[k] = Looks.of(noise.draw(nothing, random), blocks, noise);
    }
    return of(seen, blocks);
  }

  /**
   * @param seen what calm stretches show, some hundred of them
   */
  static CalmLimits of(Looks[] seen, int blocks) {
    return new CalmLimits(
        blocks,
        new Looks(most(seen, Looks::size), most(seen, Looks::slow), most(seen, Looks::rms)),
        new Looks(mean(seen, Looks::size), mean(seen, Looks::slow), mean(seen, Looks::rms)));
  }

  boolean passedBy(Looks seen) {
    return seen.size() <= most.size() && seen.slow() <= most.slow();
  }

  private static double most(Looks[] seen, ToDoubleFunction<Looks> of) {
    return Tail.of(Arrays.stream(seen).mapToDouble(of).toArray(), TAIL_FROM).beyond(CHANCE);
  }

  private static double mean(Looks[] seen, ToDoubleFunction<Looks> of) {
    return Arrays.stream(seen).mapToDouble(of).average().orElse(0);
  }
}
