package meniscus.core.steadiness;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import java.util.OptionalDouble;
import meniscus.core.settle.Blocks;
import meniscus.core.settle.Level;

/**
 * How the air behaves about its settled level, against the calm record where there is one.
 *
 * @param moving the level still moves by more than was asked
 * @param restless fluctuates more than it should
 * @param switching two levels
 * @param unsteadiness fluctuation over the calm record's
 * @param said the numbers behind it
 */
record Stillness(
    boolean moving,
    boolean restless,
    Optional<Switching> switching,
    OptionalDouble unsteadiness,
    List<String> said) {

  static final double MOVING_CHANCE = 0.97;
  private static final double TOLD_FROM_ZERO = 2;
  private static final double WELL_AVERAGED = 0.25;

  /** Without a calm record: what no healthy bench shows. Common practice, no source. */
  private static final double MOST_SLOW = 0.03;

  private static final double MOST_ALL = 0.06;
  private static final double LEAST_APART = 0.012; // slow noise feigns nearer ones
  private static final int MOST_POINTS = 1000;
  private static final int LEAST_POINTS = 40;

  static Stillness of(SignalJudge judge, JudgeSettings settings) {
    Blocks blocks = judge.blocks();
    Level level = judge.level();
    double[] rest = rest(blocks, blocks.start(judge.start()), level);
    List<String> said = new ArrayList<>();
    boolean moving = level.movingChance() > MOVING_CHANCE;
    if (moving) {
      said.add(movement(level));
    }
    if (aboutZero(level, judge)) {
      said.add("the level cannot be told from zero: its fluctuation is compared with nothing");
      return new Stillness(moving, false, Optional.empty(), OptionalDouble.empty(), said);
    }
    Optional<CalmModel> calm = judge.model();
    return calm.isPresent()
        ? against(calm.get(), rest, judge, settings, moving, said)
        : alone(rest, judge, settings, moving, said);
  }

  /** Well averaged, and still not told from zero; not a level that wanders widely. */
  private static boolean aboutZero(Level level, SignalJudge judge) {
    return !(Math.abs(level.mean()) > TOLD_FROM_ZERO * level.halfWidth())
        && level.halfWidth() < WELL_AVERAGED * Math.sqrt(judge.readingVariance());
  }

  private static String movement(Level level) {
    double size = Math.abs(level.mean());
    return level.climb() != 0
        ? text("the level moved by %.2g %% and does not come to rest", 100 * level.climb() / size)
        : text("the level still has %.2g %% to go", 100 * level.moving() / size);
  }

  private static Stillness against(
      CalmModel calm,
      double[] rest,
      SignalJudge judge,
      JudgeSettings settings,
      boolean moving,
      List<String> said) {
    Level level = judge.level();
    int n = calm.stretch(rest.length);
    if (n == 0) {
      return new Stillness(moving, false, Optional.empty(), OptionalDouble.empty(), said);
    }
    double unit = calm.block(level.mean()) * Math.abs(level.mean());
    double[] last = new double[n];
    double square = 0;
    int count = 0;
    for (int i = 0; i < n; i++) {
      last[i] = rest[rest.length - n + i] / unit;
      square += Double.isNaN(last[i]) ? 0 : last[i] * last[i];
      count += Double.isNaN(last[i]) ? 0 : 1;
    }
    CalmLimits limits = calm.limits(n);
    double[] features = Features.of(last, calm.whitener(), calm.slow());
    double fast = Math.log(fast(judge.blocks(), judge.start(), level) / calm.fast(level.mean()));
    double energy = Double.isNaN(fast) ? features[0] : 0.5 * (features[0] + fast);
    boolean restless =
        above("fluctuation", energy, limits.energy(), 0, said)
            | above("fluctuation within a block", fast, limits.fast(), 0, said);
    for (int f = 0; f < features.length; f++) {
      restless |=
          above(Features.NAMES[f], features[f], limits.feature()[f], limits.usual()[f], said);
    }
    Jumps jumps = jumps(judge, judge.fineModel().get(), settings);
    if (jumps.perhaps()) {
      said.add(
          text(
              "the level wanders by about %.1f %%, beyond the calm record: rougher air, or two"
                  + " levels too near to be told apart",
              100 * jumps.apart()));
    }
    return new Stillness(
        moving,
        restless || jumps.perhaps(),
        jumps.switching(),
        OptionalDouble.of(Math.sqrt(square / Math.max(count, 1))),
        said);
  }

  /** Said relative to what is usual: a short stretch shows less of slow noise than a long one. */
  private static boolean above(
      String what, double log, double limit, double usual, List<String> said) {
    if (!(log > limit)) {
      return false;
    }
    said.add(
        text(
            "%s is %.2f times the calm record's, limit %.2f",
            what, Math.exp(log - usual), Math.exp(limit - usual)));
    return true;
  }

  /**
   * Two levels, or something that is not calm and might be.
   *
   * @param apart relative distance of the levels
   */
  private record Jumps(Optional<Switching> switching, boolean perhaps, double apart) {
    static final Jumps NONE = new Jumps(Optional.empty(), false, 0);
  }

  /**
   * More than the calm record's noise would feign is not calm. It takes more to be two levels: air
   * rougher or slower than on a plate can feign them, so one level in noise of its own rhythm must
   * explain it clearly worse.
   */
  private static Jumps jumps(SignalJudge judge, CalmModel calm, JudgeSettings settings) {
    Level level = judge.level();
    double[] points = points(judge);
    int n = calm.points(points.length);
    if (n == 0) {
      return Jumps.NONE;
    }
    double unit = calm.block(level.mean()) * Math.abs(level.mean());
    double[] last = Arrays.copyOfRange(points, points.length - n, points.length);
    for (int i = 0; i < n; i++) {
      last[i] /= unit;
    }
    CalmLimits.Jumps limit = calm.jumps(n);
    TwoLevels.Fit fit = TwoLevels.fit(last, limit.phi(), limit.size());
    double apart = (fit.high() - fit.low()) * unit;
    if (fit.likelihoodRatio() <= limit.ratio() || apart <= least(settings, level)) {
      return Jumps.NONE;
    }
    Optional<TwoLevels.Fit> clear = LaggedLevels.clear(last);
    return new Jumps(
        clear.map(two -> switching(two, unit, level, judge.fine().seconds())),
        clear.isEmpty(),
        apart / Math.abs(level.mean()));
  }

  /** Levels nearer than the asked half width, or than {@link #LEAST_APART}, are of no account. */
  private static double least(JudgeSettings settings, Level level) {
    return Math.max(settings.targetRelativeHalfWidth(), LEAST_APART) * Math.abs(level.mean());
  }

  /** Short blocks less level and settling, without gaps. */
  private static double[] points(SignalJudge judge) {
    double[] rest = rest(judge.fine(), judge.blocks().start(judge.start()), judge.level());
    return Arrays.stream(rest).filter(v -> !Double.isNaN(v)).toArray();
  }

  private static Stillness alone(
      double[] rest, SignalJudge judge, JudgeSettings settings, boolean moving, List<String> said) {
    Blocks blocks = judge.blocks();
    Level level = judge.level();
    double size = Math.abs(level.mean());
    double slow = deviation(joined(rest, Math.max(1, (int) Math.round(1 / blocks.seconds()))));
    double all = deviation(rest);
    boolean restless = slow > MOST_SLOW * size || all > MOST_ALL * size;
    if (restless) {
      said.add(
          text(
              "the level wanders by %.1f %% from second to second and %.1f %% from block to block,"
                  + " more than a healthy bench does (%.0f %% and %.0f %%)",
              100 * slow / size, 100 * all / size, 100 * MOST_SLOW, 100 * MOST_ALL));
    }
    double[] points = points(judge);
    points = Arrays.copyOfRange(points, Math.max(0, points.length - MOST_POINTS), points.length);
    Optional<Switching> switching = Optional.empty();
    if (points.length >= LEAST_POINTS) {
      switching =
          LaggedLevels.clear(points)
              .filter(two -> two.high() - two.low() > least(settings, level))
              .map(two -> switching(two, 1, level, judge.fine().seconds()));
    }
    return new Stillness(moving, restless, switching, OptionalDouble.empty(), said);
  }

  private static Switching switching(TwoLevels.Fit fit, double unit, Level level, double seconds) {
    double share = fit.shareHigh();
    int visits = fit.jumps() / 2 + 1;
    double total = fit.upper().length * seconds;
    return new Switching(
        level.mean() + fit.low() * unit,
        level.mean() + fit.high() * unit,
        share,
        total * (1 - share) / visits,
        total * share / visits,
        fit.jumps());
  }

  /** Block means from a moment on, less level and settling. */
  private static double[] rest(Blocks blocks, double from, Level level) {
    int first = 0;
    while (first < blocks.size() && blocks.start(first) < from - 1e-9) {
      first++;
    }
    double[] rest = new double[blocks.size() - first];
    for (int i = 0; i < rest.length; i++) {
      double t = blocks.start(first + i) - from;
      double settling =
          level.settlingSeconds() > 0 && level.climb() == 0
              ? level.settlingAtStart() * Math.exp(-t / level.settlingSeconds())
              : 0;
      rest[i] = blocks.mean(first + i) - level.mean() - settling;
    }
    if (level.climb() != 0) {
      levelOff(rest);
    }
    return rest;
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
    double from = (y1 - slope * t1) / n;
    for (int i = 0; i < x.length; i++) {
      x[i] -= from + slope * i;
    }
  }

  /** Relative deviation of the readings inside a block, less what the settling climbs there. */
  private static double fast(Blocks blocks, int start, Level level) {
    double sum = 0;
    int count = 0;
    for (int i = start; i < blocks.size(); i++) {
      double v = blocks.variance(i);
      if (!Double.isNaN(v)) {
        sum += v - climbVariance(blocks, i, (i - start) * blocks.seconds(), level);
        count++;
      }
    }
    return count == 0 ? Double.NaN : Math.sqrt(Math.max(0, sum / count)) / Math.abs(level.mean());
  }

  /** Variance that evenly spaced readings in a block have for the fitted settling alone. */
  private static double climbVariance(Blocks blocks, int i, double seconds, Level level) {
    if (!(level.settlingSeconds() > 0)) {
      return 0;
    }
    double tau = level.settlingSeconds();
    double climb = level.settlingAtStart() / tau * Math.exp(-seconds / tau) * blocks.seconds();
    return climb * climb / 12 * (1 + 1.0 / blocks.count(i));
  }

  private static double[] joined(double[] x, int by) {
    double[] means = new double[x.length / by];
    for (int g = 0; g < means.length; g++) {
      for (int i = 0; i < by; i++) {
        means[g] += x[g * by + i] / by;
      }
    }
    return means;
  }

  private static double deviation(double[] x) {
    double mean = 0;
    int count = 0;
    for (double v : x) {
      if (!Double.isNaN(v)) {
        mean += v;
        count++;
      }
    }
    mean /= count;
    double sum = 0;
    for (double v : x) {
      sum += Double.isNaN(v) ? 0 : (v - mean) * (v - mean);
    }
    return count < 2 ? 0 : Math.sqrt(sum / (count - 1));
  }

  private static String text(String format, Object... values) {
    return String.format(Locale.ROOT, format, values);
  }
}
