package meniscus.core.steadiness;

import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.function.UnaryOperator;
import meniscus.core.remark.Remark;
import meniscus.core.remark.RemarkText;

/**
 * What a judge says of a reading.
 *
 * @param verdict the verdict
 * @param average the settled level; empty when unknown
 * @param span what was used, and whether it is enough
 * @param air how the air behaves about its level, as far as it was seen
 * @param spikes readings cut out
 * @param why the verdict, and what is to be known beside it
 */
public record Judged(
    Verdict verdict, Optional<Average> average, Span span, Air air, int spikes, List<Remark> why) {

  public Judged {
    why = List.copyOf(why);
  }

  /**
   * A settled level.
   *
   * @param mean in the unit of the readings
   * @param standardError its standard uncertainty, repeat part only
   * @param degreesOfFreedom of the interval
   * @param u95 half of the 95 % interval; empty where no fluctuation was seen
   * @param effectiveSamples independent readings that the mean is worth
   */
  public record Average(
      double mean,
      double standardError,
      double degreesOfFreedom,
      OptionalDouble u95,
      double effectiveSamples) {}

  /**
   * What was used.
   *
   * @param fromSeconds its start, on the caller's clock [s]
   * @param toSeconds its end: when the verdict could be given [s]
   * @param preciseAtSeconds when the asked half width was first reached [s]
   * @param precise the asked half width is reached
   * @param decided the verdict can be given
   * @param waitSeconds how much longer both are likely to take, as far as is known [s]; 0 when they
   *     are there
   */
  public record Span(
      double fromSeconds,
      double toSeconds,
      OptionalDouble preciseAtSeconds,
      boolean precise,
      boolean decided,
      double waitSeconds) {}

  /**
   * How the air behaves.
   *
   * @param unsteadiness fluctuation over the calm record's; empty without one
   * @param switching the two levels, when it switches
   * @param mains ripple of the mains in the readings
   * @param couldHide relative size of the largest jump or fluctuation that would not have been seen
   * @param seenToHertz fluctuation faster than this cannot be seen [Hz]
   */
  public record Air(
      OptionalDouble unsteadiness,
      Optional<Switching> switching,
      Optional<MainsRipple> mains,
      OptionalDouble couldHide,
      double seenToHertz) {

    /** Nothing could be seen of it. */
    public static final Air UNSEEN =
        new Air(
            OptionalDouble.empty(), Optional.empty(), Optional.empty(), OptionalDouble.empty(), 0);
  }

  /** Why, in plain words, with numbers. */
  public List<String> reasons() {
    return why.stream().map(RemarkText::sentence).toList();
  }

  /** Settled level; empty when unknown. */
  public OptionalDouble mean() {
    return average.isPresent() ? OptionalDouble.of(average.get().mean()) : OptionalDouble.empty();
  }

  /** Standard uncertainty of the level, repeat part only; empty when unknown. */
  public OptionalDouble standardError() {
    return average.isPresent()
        ? OptionalDouble.of(average.get().standardError())
        : OptionalDouble.empty();
  }

  /** Half of the 95 % interval; empty when unknown. */
  public OptionalDouble u95() {
    return average.isPresent() ? average.get().u95() : OptionalDouble.empty();
  }

  /** Degrees of freedom of the interval; 0 when there is none. */
  public double degreesOfFreedom() {
    return average.map(Average::degreesOfFreedom).orElse(0.0);
  }

  /** Start of what was used, on the caller's clock [s]. */
  public double fromSeconds() {
    return span.fromSeconds();
  }

  /** End of what was used [s]. */
  public double toSeconds() {
    return span.toSeconds();
  }

  /** The asked half width is reached. */
  public boolean precise() {
    return span.precise();
  }

  /** The verdict can be given. */
  public boolean decided() {
    return span.decided();
  }

  /** Fluctuation over the calm record's; empty without one. */
  public OptionalDouble unsteadiness() {
    return air.unsteadiness();
  }

  /** The two levels, when it switches. */
  public Optional<Switching> switching() {
    return air.switching();
  }

  /** Independent readings that the mean is worth; 0 when there is none. */
  public double effectiveSamples() {
    return average.map(Average::effectiveSamples).orElse(0.0);
  }

  /** The same with its reasons worded for what was judged. */
  public Judged saying(UnaryOperator<Remark> worded) {
    return new Judged(verdict, average, span, air, spikes, why.stream().map(worded).toList());
  }

  /** The same of an instrument that is found not to work: there is no mean to be had of it. */
  public Judged faulty(Remark because) {
    return new Judged(
        Verdict.FAULTY,
        Optional.empty(),
        new Span(
            span.fromSeconds(), span.toSeconds(), OptionalDouble.empty(), false, span.decided(), 0),
        new Air(
            OptionalDouble.empty(),
            Optional.empty(),
            Optional.empty(),
            OptionalDouble.empty(),
            air.seenToHertz()),
        spikes,
        List.of(because));
  }
}
