package meniscus.core.steadiness;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import meniscus.core.settle.GaugeTransfer;
import meniscus.core.settle.Level;

/**
 * How the air behaves about its settled level, against the calm record where there is one.
 *
 * @param moving the level still moves by more than was asked
 * @param beyond what is beyond its limit; empty when the air is as calm as it should be
 * @param switching two levels, told from one level in noise of any rhythm and skewness
 * @param unsteadiness fluctuation over the calm record's; empty without one
 * @param mains ripple, taken out of all the rest
 * @param couldHide relative size of the largest jump that would have been overlooked
 * @param against what it was judged against
 */
record AirBehaviour(
    boolean moving,
    List<Excess> beyond,
    Optional<Switching> switching,
    OptionalDouble unsteadiness,
    Optional<MainsRipple> mains,
    OptionalDouble couldHide,
    Against against) {

  /** Settled readings stay below 0.1 and slow climbs pass 0.97 within 20 s (simulated). */
  static final double MOVING_CHANCE = 0.97;

  private static final double TOLD_FROM_ZERO = 2; // half widths: one error in 10 000
  private static final double WELL_AVERAGED = 0.25; // half width over deviation: 60 looks or more

  /** Without a calm record: what no healthy bench shows. Common practice, no source. */
  static final double MOST_SLOW = 0.03;

  static final double MOST_ALL = 0.06; // likewise

  /** Slow noise feigns levels nearer than this share (simulated, without a calm record). */
  private static final double LEAST_APART = 0.012;

  private static final int LEAST_POINTS = 40; // two levels with three stays each; our own choice

  /** What a reading was judged against. */
  enum Against {
    CALM_RECORD,
    HEALTHY_BENCHES,
    /** The level cannot be told from zero. */
    NOTHING
  }

  /** What is looked at. */
  enum Look {
    SIZE,
    WITHIN_BLOCKS,
    SLOW,
    LEVELS,
    /** Without a calm record: more than any healthy bench. */
    UNHEALTHY
  }

  /**
   * Something beyond its limit.
   *
   * @param times its usual size in calm air, or its relative size where there is no usual one
   * @param limit in the same terms
   */
  record Excess(Look look, double times, double limit) {}

  /**
   * @param calm the calm record seen through the same blocks, where there is one
   * @param deviation of settled readings about their level
   * @param count of the gauge, or of the coarser of two that make a reading; 0 when not known
   */
  static AirBehaviour of(
      Stretch stretch,
      Optional<CalmModel> calm,
      JudgeSettings settings,
      double deviation,
      double count) {
    boolean moving = stretch.level().movingChance() > MOVING_CHANCE;
    if (isAboutZero(stretch.level(), deviation)) {
      return new AirBehaviour(
          moving,
          List.of(),
          Optional.empty(),
          OptionalDouble.empty(),
          Optional.empty(),
          OptionalDouble.empty(),
          Against.NOTHING);
    }
    Optional<MainsRipple> mains = mains(stretch, deviation);
    return calm.isPresent()
        ? against(calm.get(), stretch, settings, moving, mains, count)
        : alone(stretch, settings, moving, mains, count);
  }

  /** Mains ripple, where the level can be told from zero; seen in no time, unlike all the rest. */
  static Optional<MainsRipple> mains(Stretch stretch, double deviation) {
    double size = Math.abs(stretch.level().mean());
    return isAboutZero(stretch.level(), deviation)
        ? Optional.empty()
        : stretch.ripple().map(line -> new MainsRipple(line.hertz(), line.amplitude() / size));
  }

  private static boolean isAboutZero(Level level, double deviation) {
    return !(Math.abs(level.mean()) > TOLD_FROM_ZERO * level.halfWidth())
        && level.halfWidth() < WELL_AVERAGED * deviation;
  }

  private static AirBehaviour against(
      CalmModel calm,
      Stretch stretch,
      JudgeSettings settings,
      boolean moving,
      Optional<MainsRipple> mains,
      double count) {
    double mean = stretch.level().mean();
    double unit = calm.block(mean) * Math.abs(mean);
    double[] rest = Arrays.stream(stretch.rest()).map(v -> v / unit).toArray();
    int stated =
        CalmLimits.stated(settings.stabilitySeconds(), rest.length, stretch.blockSeconds());
    CalmLimits limits = calm.limits(stated);
    Looks seen = Looks.of(rest, stated, calm.noise());
    List<Excess> beyond = new ArrayList<>();
    add(beyond, Look.SIZE, seen.size(), limits.most().size(), limits.usual().size());
    add(beyond, Look.SLOW, seen.slow(), limits.most().slow(), limits.usual().slow());
    double within = Math.log(stretch.within() / calm.fast(mean));
    add(beyond, Look.WITHIN_BLOCKS, within, calm.mostWithin(stated), 0);
    CalmJumps jumps = calm.jumps(stretch.fineSeconds(), stretch.finePerBlock());
    double fineUnit = unit * jumps.size();
    double[] points = Arrays.stream(stretch.fine()).map(v -> v / fineUnit).toArray();
    int statedPoints = (int) (stated * stretch.blockSeconds() / stretch.fineSeconds() + 1e-6);
    CalmJumps.Look two = jumps.look(points, statedPoints);
    boolean twoFit =
        two.ratio() > jumps.limit(statedPoints)
            && two.apart() * fineUnit >= CalmJumps.LEAST_COUNTS * count;
    Optional<Switching> switching = Optional.empty();
    if (twoFit || !beyond.isEmpty()) {
      double step = Math.max(count, jumps.noise().gauge().step() * fineUnit);
      switching = switching(stretch, settings, jumps.noise().gauge().transfer(), step);
    }
    double apart = two.apart() * fineUnit / Math.abs(mean);
    if (twoFit && switching.isEmpty() && apart > settings.targetRelativeHalfWidth()) {
      beyond.add(new Excess(Look.LEVELS, apart, 0));
    }
    return new AirBehaviour(
        moving,
        beyond,
        switching,
        OptionalDouble.of(Math.exp(seen.rms() - limits.usual().rms())),
        mains,
        OptionalDouble.of(calm.couldHide(stated, jumps, mean)),
        Against.CALM_RECORD);
  }

  private static void add(List<Excess> beyond, Look look, double seen, double limit, double usual) {
    if (seen > limit) {
      beyond.add(new Excess(look, Math.exp(seen - usual), Math.exp(limit - usual)));
    }
  }

  private static AirBehaviour alone(
      Stretch stretch,
      JudgeSettings settings,
      boolean moving,
      Optional<MainsRipple> mains,
      double count) {
    double size = Math.abs(stretch.level().mean());
    double[] rest = stretch.rest();
    int second = Math.max(1, (int) Math.round(1 / stretch.blockSeconds()));
    double slow = deviation(joined(rest, second)) / size;
    double all = deviation(rest) / size;
    List<Excess> beyond = new ArrayList<>();
    if (slow > MOST_SLOW || all > MOST_ALL) {
      beyond.add(new Excess(Look.UNHEALTHY, slow, all));
    }
    return new AirBehaviour(
        moving,
        beyond,
        switching(stretch, settings, settings.gauge().transfer(), count),
        OptionalDouble.empty(),
        mains,
        OptionalDouble.of(2 * MOST_SLOW),
        Against.HEALTHY_BENCHES);
  }

  /**
   * Two levels, where they explain the reading clearly better than one level in noise of any rhythm
   * and skewness: rougher or slower air than on a plate can feign them. Not asked of a gauge whose
   * own mean lasts as long as the stays, nor of levels that its steps cannot tell apart.
   *
   * @param step in which the gauge counts
   */
  private static Optional<Switching> switching(
      Stretch stretch, JudgeSettings settings, GaugeTransfer gauge, double step) {
    double[] points = stretch.fine();
    points =
        Arrays.copyOfRange(
            points, Math.max(0, points.length - CalmJumps.MOST_POINTS), points.length);
    if (points.length < LEAST_POINTS) {
      return Optional.empty();
    }
    double least =
        Math.max(
            Math.max(settings.targetRelativeHalfWidth(), LEAST_APART)
                * Math.abs(stretch.level().mean()),
            CalmJumps.LEAST_COUNTS * step);
    return LaggedLevels.clear(points)
        .filter(two -> two.high() - two.low() > least)
        .map(two -> Switching.of(two, stretch.level().mean(), stretch.fineSeconds()))
        .filter(two -> Math.min(two.dwellLowSeconds(), two.dwellHighSeconds()) > gauge.seconds());
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
    double[] known = Arrays.stream(x).filter(v -> !Double.isNaN(v)).toArray();
    double mean = Arrays.stream(known).average().orElse(0);
    double sum = Arrays.stream(known).map(v -> (v - mean) * (v - mean)).sum();
    return known.length < 2 ? 0 : Math.sqrt(sum / (known.length - 1));
  }
}
