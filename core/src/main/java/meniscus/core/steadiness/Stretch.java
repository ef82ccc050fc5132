package meniscus.core.steadiness;

import java.util.Arrays;
import java.util.Optional;
import meniscus.core.settle.Blocks;
import meniscus.core.settle.Level;

/**
 * What is left of the readings once level, settling and mains ripple are taken out: what a verdict
 * on the air looks at. Taken at once: readings may go on coming.
 */
final class Stretch {

  private final Level level;
  private final Blocks blocks;
  private final int start;
  private final double from;
  private final double blockSeconds;
  private final double[] rest;
  private final double[] fine;
  private final double fineSeconds;
  private final int finePerBlock;
  private final double within;
  private final Optional<MainsLine.Line> ripple;
  private double rippleWithin; // mean variance of the ripple inside a block

  /**
   * @param fine shorter blocks of the same readings
   * @param start first block that counts
   * @param recent readings, to find mains ripple in
   * @param mainsHertz frequency of the mains [Hz]
   */
  Stretch(
      Level level, Blocks blocks, Blocks fine, int start, LastReadings recent, double mainsHertz) {
    this.level = level;
    this.blocks = blocks;
    this.start = start;
    from = blocks.start(start);
    blockSeconds = blocks.seconds();
    fineSeconds = fine.seconds();
    finePerBlock = fine.perBlock();
    rest = rest(blocks);
    this.fine = rest(fine);
    ripple = takeRippleOut(recent, fine, mainsHertz);
    within = deviationWithin();
  }

  /** Mains ripple, where there is some. */
  private Optional<MainsLine.Line> takeRippleOut(
      LastReadings recent, Blocks fineBlocks, double mainsHertz) {
    int first = 0;
    while (first < recent.size() && recent.seconds(first) < from) {
      first++;
    }
    int[] place = new int[recent.size() - first];
    if (place.length < 2) {
      return Optional.empty();
    }
    for (int i = 1; i < place.length; i++) {
      double step = recent.seconds(first + i) - recent.seconds(first + i - 1);
      double places = Math.rint(step / blocks.interval());
      if (!(places + place[i - 1] <= 2 * MainsLine.MOST)) {
        return Optional.empty(); // more gaps than readings
      }
      place[i] = place[i - 1] + (int) places;
    }
    int last = place[place.length - 1];
    if (last == 0) {
      return Optional.empty();
    }
    double begin = recent.seconds(first);
    double interval = (recent.seconds(recent.size() - 1) - begin) / last;
    double[] even = new double[last + 1];
    Arrays.fill(even, Double.NaN);
    for (int i = 0; i < place.length; i++) {
      double t = recent.seconds(first + i);
      even[place[i]] = recent.value(first + i) - level.mean() - settling(t - from);
    }
    Optional<MainsLine.Line> found = new MainsLine(even, interval).find(mainsHertz);
    found.ifPresent(
        line -> {
          rippleWithin = takeOut(line, blocks, rest, begin, place, interval);
          takeOut(line, fineBlocks, fine, begin, place, interval);
        });
    return found;
  }

  /** Less the block means of a line; the mean variance of the line inside blocks. */
  private double takeOut(
      MainsLine.Line line, Blocks of, double[] from, double begin, int[] place, double interval) {
    int block = of.size() - from.length;
    int offset = block;
    double sum = 0;
    double squares = 0;
    int count = 0;
    double within = 0;
    int whole = 0;
    for (int at : place) {
      double t = begin + at * interval;
      while (block < of.size() && t >= of.start(block) + of.seconds()) {
        if (count > 0) {
          from[block - offset] -= sum / count;
          within += count > 1 ? (squares - sum * sum / count) / (count - 1) : 0;
          whole++;
        }
        sum = 0;
        squares = 0;
        count = 0;
        block++;
      }
      if (block < of.size() && t >= of.start(block)) {
        double wave = line.at(at * interval);
        sum += wave;
        squares += wave * wave;
        count++;
      }
    }
    return whole == 0 ? 0 : within / whole;
  }

  Level level() {
    return level;
  }

  double blockSeconds() {
    return blockSeconds;
  }

  /** Block means less level, settling and ripple; NaN where missing. */
  double[] rest() {
    return rest;
  }

  /** Short block means less level, settling and ripple, without gaps. */
  double[] fine() {
    return Arrays.stream(fine).filter(v -> !Double.isNaN(v)).toArray();
  }

  double fineSeconds() {
    return fineSeconds;
  }

  int finePerBlock() {
    return finePerBlock;
  }

  Optional<MainsLine.Line> ripple() {
    return ripple;
  }

  /**
   * Relative deviation of the readings inside a block, less ripple and what the settling climbs
   * there; NaN where blocks hold one reading each.
   */
  double within() {
    return within;
  }

  private double deviationWithin() {
    double sum = 0;
    int count = 0;
    for (int i = start; i < blocks.size(); i++) {
      double v = blocks.variance(i);
      if (!Double.isNaN(v)) {
        sum += v - climbVariance(i) - rippleWithin;
        count++;
      }
    }
    return count == 0 ? Double.NaN : Math.sqrt(Math.max(0, sum / count)) / Math.abs(level.mean());
  }

  /** Variance that evenly spaced readings in a block have for the fitted settling alone. */
  private double climbVariance(int i) {
    if (!(level.settlingSeconds() > 0)) {
      return 0;
    }
    double tau = level.settlingSeconds();
    double seconds = (i - start) * blocks.seconds();
    double climb = level.settlingAtStart() / tau * Math.exp(-seconds / tau) * blocks.seconds();
    return climb * climb / 12 * (1 + 1.0 / blocks.count(i));
  }

  private double settling(double seconds) {
    return level.settlingSeconds() > 0 && level.climb() == 0
        ? level.settlingAtStart() * Math.exp(-seconds / level.settlingSeconds())
        : 0;
  }

  private double[] rest(Blocks of) {
    int first = 0;
    while (first < of.size() && of.start(first) < from - 1e-9) {
      first++;
    }
    double[] left = new double[of.size() - first];
    for (int i = 0; i < left.length; i++) {
      left[i] = of.mean(first + i) - level.mean() - settling(of.start(first + i) - from);
    }
    if (level.climb() != 0) {
      levelOff(left);
    }
    return left;
  }

  /** Takes the straight line out. */
  private static void levelOff(double[] x) {
    double n = 0;
    double t1 = 0;
    double t2 = 0;
    double y1 = 0;
    double ty = 0;
    for (int i = 0; i < x.length; i++) {
      if (!Double.isNaN(x[i])) {
        n++;
        t1 += i;
        t2 += (double) i * i;
        y1 += x[i];
        ty += i * x[i];
      }
    }
    double slope = (n * ty - t1 * y1) / (n * t2 - t1 * t1);
    double intercept = (y1 - slope * t1) / n;
    for (int i = 0; i < x.length; i++) {
      x[i] -= intercept + slope * i;
    }
  }
}
