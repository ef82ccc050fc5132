package meniscus.core.steadiness;

import java.util.Arrays;

/**
 * What a stretch of settled block means shows of its size: numbers that grow when the air is less
 * steady than the bench.
 *
 * @param size logarithm of the size of what the calm rhythm could not foretell, in normal scores:
 *     neither skewed noise nor far values pass for rough air
 * @param slow logarithm of the mean distance of 1 s means from the level
 * @param rms logarithm of the root mean square
 */
record Looks(double size, double slow, double rms) {

  private static final double NOTHING = 1e-12; // far below any noise; its logarithm is a number

  /**
   * What stretches of a stated length show within a longer one, on average over stretches that
   * cover all of it. So a limit that belongs to the stated length holds for any longer one too, and
   * a verdict does not turn by waiting alone.
   *
   * @param rest block means over their calm size; NaN where missing
   * @param stated length in blocks
   */
  static Looks of(double[] rest, int stated, CalmNoise noise) {
    int n = rest.length;
    int length = Math.min(n, stated);
    int pieces = (n + length - 1) / length;
    double size = 0;
    double slow = 0;
    double rms = 0;
    for (int k = 0; k < pieces; k++) {
      int from = pieces == 1 ? 0 : (int) Math.round((double) k * (n - length) / (pieces - 1));
      double[] piece = centred(Arrays.copyOfRange(rest, from, from + length));
      double left = noise.rhythm().meanSquareLeft(noise.scores().scores(piece));
      size += 0.5 * Math.log(left + NOTHING) / pieces;
      slow += Math.log(slow(piece, noise.gauge().slowBlocks()) + NOTHING) / pieces;
      rms += 0.5 * Math.log(meanSquare(piece) + NOTHING) / pieces;
    }
    return new Looks(size, slow, rms);
  }

  private static double[] centred(double[] rest) {
    double mean = Arrays.stream(rest).filter(v -> !Double.isNaN(v)).average().orElse(0);
    return Arrays.stream(rest).map(v -> v - mean).toArray();
  }

  private static double meanSquare(double[] rest) {
    return Arrays.stream(rest).filter(v -> !Double.isNaN(v)).map(v -> v * v).average().orElse(0);
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
