package meniscus.core.steadiness;

import java.util.Arrays;

/**
 * What one stretch of settled block means shows: numbers that grow when the air is less steady than
 * the bench. Size and levels are looked at in the calm record's normal scores, so that neither
 * skewed noise nor far values pass for rough air.
 *
 * @param size logarithm of the size of what the calm rhythm could not foretell
 * @param slow logarithm of the mean distance of 1 s means from the level
 * @param levels square root of the likelihood ratio of two levels against one, size free: rough air
 *     alone cannot feign it; 0 where they are too near to be told apart by the gauge's steps
 * @param apart distance of the two levels, over the calm size
 * @param rms root mean square, over the calm size
 */
record Looks(double size, double slow, double levels, double apart, double rms) {

  /**
   * Counts of the gauge between two levels at least: a level that falls between two counts shows as
   * both. With one count between, 9 of 100 calm readings of a coarse gauge were called switching.
   */
  static final double LEAST_COUNTS = 3;

  /** Two levels are not told from fewer. */
  static final int FEWEST_VALUES = 8;

  /** Ten minutes of blocks are not fitted anew each time; jumps of late count. Our choice. */
  static final int MOST_VALUES = 1000;

  /**
   * @param rest block means over the calm size; NaN where missing
   */
  static Looks of(double[] rest, CalmNoise noise) {
    double[] centred = centred(rest);
    double left = noise.rhythm().meanSquareLeft(noise.scores().scores(centred, 1));
    double rms = rms(centred);
    TwoLevels.Fit fit = levels(centred, rms, noise);
    double apart = apart(fit, rms, noise);
    boolean told = apart >= LEAST_COUNTS * noise.gauge().step();
    return new Looks(
        0.5 * Math.log(left + 1e-12),
        Math.log(slow(centred, noise.gauge().slowBlocks()) + 1e-12),
        told ? Math.sqrt(Math.max(0, fit.likelihoodRatio())) : 0,
        apart,
        rms);
  }

  /**
   * What stretches of a stated length show within a longer one: size and slowness of the stated
   * length, on average over stretches that cover all of it. So a limit that belongs to the stated
   * length holds for any longer one too, and a verdict does not turn by waiting alone.
   *
   * @param rest at least the stated length
   */
  static Looks of(double[] rest, int stated, CalmNoise noise) {
    int n = rest.length;
    if (n <= stated) {
      return of(rest, noise);
    }
    int pieces = (n + stated - 1) / stated;
    double size = 0;
    double slow = 0;
    double logRms = 0;
    for (int k = 0; k < pieces; k++) {
      int from = (int) Math.round((double) k * (n - stated) / (pieces - 1));
      double[] piece = centred(Arrays.copyOfRange(rest, from, from + stated));
      double left = noise.rhythm().meanSquareLeft(noise.scores().scores(piece, 1));
      size += 0.5 * Math.log(left + 1e-12) / pieces;
      slow += Math.log(slow(piece, noise.gauge().slowBlocks()) + 1e-12) / pieces;
      logRms += Math.log(rms(piece) + 1e-12) / pieces;
    }
    double[] last = centred(Arrays.copyOfRange(rest, Math.max(0, n - MOST_VALUES), n));
    double rms = rms(last);
    TwoLevels.Fit fit = levels(last, rms, noise);
    double apart = apart(fit, rms, noise);
    boolean told = apart >= LEAST_COUNTS * noise.gauge().step();
    return new Looks(
        size,
        slow,
        told ? Math.sqrt(Math.max(0, fit.likelihoodRatio())) : 0,
        apart,
        Math.exp(logRms));
  }

  private static TwoLevels.Fit levels(double[] centred, double rms, CalmNoise noise) {
    double[] known = Arrays.stream(centred).filter(v -> !Double.isNaN(v)).toArray();
    double[] scores = noise.scores().scores(known, Math.max(rms, 1e-12));
    double phi = Math.max(0, Math.min(0.98, noise.rhythm().neighbours()));
    return TwoLevels.fit(scores, phi);
  }

  private static double apart(TwoLevels.Fit fit, double rms, CalmNoise noise) {
    return rms * (noise.scores().value(fit.high()) - noise.scores().value(fit.low()));
  }

  private static double[] centred(double[] rest) {
    double mean = Arrays.stream(rest).filter(v -> !Double.isNaN(v)).average().orElse(0);
    return Arrays.stream(rest).map(v -> v - mean).toArray();
  }

  private static double rms(double[] rest) {
    return Math.sqrt(
        Arrays.stream(rest).filter(v -> !Double.isNaN(v)).map(v -> v * v).average().orElse(0));
  }

  /** Mean distance from the level of means over so many blocks; groups mostly missing left out. */
  private static double slow(double[] rest, int by) {
    double distance = 0;
    int groups = 0;
    for (int from = 0; from + by <= rest.length; from += by) {
      double sum = 0;
      int count = 0;
      for (int i = from; i < from + by; i++) {
        sum += Double.isNaN(rest[i]) ? 0 : rest[i];
        count += Double.isNaN(rest[i]) ? 0 : 1;
      }
      if (2 * count >= by) {
        distance += Math.abs(sum / count);
        groups++;
      }
    }
    return distance / Math.max(1, groups);
  }
}
