package meniscus.core.steadiness;

import java.util.Optional;
import java.util.OptionalDouble;
import meniscus.core.refusal.Refusal;
import meniscus.core.settle.GaugeTransfer;

/**
 * What is asked of a judge.
 *
 * @param targetRelativeHalfWidth asked half width of the 95 % interval over the mean
 * @param capSeconds after this the answer is given as it stands [s]
 * @param stabilitySeconds settled time that a verdict on steadiness needs: what is called rough is
 *     rougher than calm air is over this time, however long it is watched [s]
 * @param gauge what is known of the gauge
 * @param calm the bench's calm record
 * @param averaging how; tests that were reckoned otherwise work out to the same digits
 */
public record JudgeSettings(
    double targetRelativeHalfWidth,
    double capSeconds,
    double stabilitySeconds,
    Gauge gauge,
    Optional<CalmRecord> calm,
    Averaging averaging) {

  /** Air that moves by less than this share of its pressure was never seen: our own choice. */
  public static final double STILLEST_AIR = 5e-4;

  /** ±0.5 %, two minutes at most, and ten times the slowest usual fluctuation: our own choice. */
  private static final JudgeSettings USUAL =
      new JudgeSettings(0.005, 120, 20, Gauge.UNKNOWN, Optional.empty(), Averaging.OVER_BENCH);

  /** How readings are averaged: each way adds to the one before. */
  public enum Averaging {
    /** Five readings are waited for before one is used. */
    AS_BEFORE,
    /**
     * A reading is used as soon as it is no spike, a slow gauge's block as soon as it is full, and
     * what mains ripple leaves in the mean is in its interval.
     */
    PROMPT,
    /**
     * Air that is rougher than the calm record's still has the bench's own noise beneath it; and of
     * ripple, and of a flow that stands still, no more is said than matters.
     */
    OVER_BENCH
  }

  /**
   * What is known of a gauge.
   *
   * @param low low end of its range, in the unit of the readings
   * @param high high end
   * @param mainsHertz mains frequency; NaN when not known: both 50 and 60 Hz are minded
   * @param transfer its moving mean and lag; a mean that is not known is learned from the calm
   *     record
   */
  public record Gauge(
      OptionalDouble low, OptionalDouble high, double mainsHertz, GaugeTransfer transfer) {

    public static final Gauge UNKNOWN =
        new Gauge(OptionalDouble.empty(), OptionalDouble.empty(), Double.NaN, GaugeTransfer.NONE);

    public Gauge {
      if (low.isPresent() && high.isPresent() && !(low.getAsDouble() < high.getAsDouble())) {
        throw new Refusal("the range's low end is not below its high end");
      }
    }
  }

  public JudgeSettings {
    if (!(targetRelativeHalfWidth > 0 && capSeconds > 0 && stabilitySeconds > 0)) {
      throw new Refusal("the target, the cap and the time for a verdict are above zero");
    }
  }

  /** Whether the bench's noise is beneath rougher air. */
  public boolean overBench() {
    return averaging == Averaging.OVER_BENCH;
  }

  /** Whether a reading is used as soon as it is no spike. */
  boolean prompt() {
    return averaging != Averaging.AS_BEFORE;
  }

  /** ±0.5 %, 120 s at most, 20 s for a verdict, nothing known of bench or gauge. */
  public static JudgeSettings usual() {
    return USUAL;
  }

  public JudgeSettings withTarget(double relativeHalfWidth) {
    return new JudgeSettings(
        relativeHalfWidth, capSeconds, stabilitySeconds, gauge, calm, averaging);
  }

  public JudgeSettings withCapSeconds(double seconds) {
    return new JudgeSettings(
        targetRelativeHalfWidth, seconds, stabilitySeconds, gauge, calm, averaging);
  }

  public JudgeSettings withStabilitySeconds(double seconds) {
    return new JudgeSettings(targetRelativeHalfWidth, capSeconds, seconds, gauge, calm, averaging);
  }

  private JudgeSettings withGauge(Gauge other) {
    return new JudgeSettings(
        targetRelativeHalfWidth, capSeconds, stabilitySeconds, other, calm, averaging);
  }

  /** Of the mains where the bench stands; NaN when not known. */
  public JudgeSettings withMainsHertz(double hertz) {
    return withGauge(new Gauge(gauge.low(), gauge.high(), hertz, gauge.transfer()));
  }

  /** Through a gauge of which this is known. */
  public JudgeSettings through(GaugeTransfer transfer) {
    JudgeSettings through =
        withGauge(new Gauge(gauge.low(), gauge.high(), gauge.mainsHertz(), transfer));
    return calm.isEmpty() ? through : through.withCalm(calm.get().through(transfer));
  }

  /** Averaged in another way. */
  public JudgeSettings averaged(Averaging other) {
    return new JudgeSettings(
        targetRelativeHalfWidth, capSeconds, stabilitySeconds, gauge, calm, other);
  }

  /** As readings were averaged before tests said more of their gauges. */
  public JudgeSettings asBefore() {
    JudgeSettings unknown = through(GaugeTransfer.NONE);
    return new JudgeSettings(
        targetRelativeHalfWidth,
        capSeconds,
        stabilitySeconds,
        unknown.gauge,
        unknown.calm,
        Averaging.AS_BEFORE);
  }

  public JudgeSettings withRange(double lowEnd, double highEnd) {
    return withGauge(
        new Gauge(
            OptionalDouble.of(lowEnd),
            OptionalDouble.of(highEnd),
            gauge.mainsHertz(),
            gauge.transfer()));
  }

  public JudgeSettings withCalm(CalmRecord record) {
    return new JudgeSettings(
        targetRelativeHalfWidth,
        capSeconds,
        stabilitySeconds,
        gauge,
        Optional.of(record),
        averaging);
  }

  /** The same, knowing nothing of how the bench fluctuates. */
  public JudgeSettings withoutCalm() {
    return new JudgeSettings(
        targetRelativeHalfWidth, capSeconds, stabilitySeconds, gauge, Optional.empty(), averaging);
  }
}
