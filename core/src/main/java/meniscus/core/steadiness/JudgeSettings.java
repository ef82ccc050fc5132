package meniscus.core.steadiness;

import java.util.Optional;
import java.util.OptionalDouble;
import meniscus.core.refusal.Refusal;

/**
 * What is asked of a judge.
 *
 * @param targetRelativeHalfWidth asked half width of the 95 % interval over the mean
 * @param capSeconds after this the answer is given as it stands [s]
 * @param stabilitySeconds settled time that a verdict on steadiness needs: what is called rough is
 *     rougher than calm air is over this time, however long it is watched [s]
 * @param gauge what is known of the gauge
 * @param calm the bench's calm record
 */
public record JudgeSettings(
    double targetRelativeHalfWidth,
    double capSeconds,
    double stabilitySeconds,
    Gauge gauge,
    Optional<CalmRecord> calm) {

  /** ±0.5 %, two minutes at most, and ten times the slowest usual fluctuation: our own choice. */
  private static final JudgeSettings USUAL =
      new JudgeSettings(0.005, 120, 20, Gauge.UNKNOWN, Optional.empty());

  /**
   * What is known of a gauge.
   *
   * @param low low end of its range, in the unit of the readings
   * @param high high end
   * @param mainsHertz mains frequency; NaN when not known: both 50 and 60 Hz are minded
   * @param meanSeconds length of the moving mean that it gives; 0 when not known: learned from the
   *     calm record [s]
   */
  public record Gauge(
      OptionalDouble low, OptionalDouble high, double mainsHertz, double meanSeconds) {

    public static final Gauge UNKNOWN =
        new Gauge(OptionalDouble.empty(), OptionalDouble.empty(), Double.NaN, 0);

    public Gauge {
      if (low.isPresent() && high.isPresent() && !(low.getAsDouble() < high.getAsDouble())) {
        throw new Refusal("the range's low end is not below its high end");
      }
      if (!(meanSeconds >= 0)) {
        throw new Refusal("a gauge's own mean is no shorter than 0 s");
      }
    }
  }

  public JudgeSettings {
    if (!(targetRelativeHalfWidth > 0 && capSeconds > 0 && stabilitySeconds > 0)) {
      throw new Refusal("the target, the cap and the time for a verdict are above zero");
    }
  }

  /** ±0.5 %, 120 s at most, 20 s for a verdict, nothing known of bench or gauge. */
  public static JudgeSettings usual() {
    return USUAL;
  }

  public JudgeSettings withTarget(double relativeHalfWidth) {
    return new JudgeSettings(relativeHalfWidth, capSeconds, stabilitySeconds, gauge, calm);
  }

  public JudgeSettings withCapSeconds(double seconds) {
    return new JudgeSettings(targetRelativeHalfWidth, seconds, stabilitySeconds, gauge, calm);
  }

  public JudgeSettings withStabilitySeconds(double seconds) {
    return new JudgeSettings(targetRelativeHalfWidth, capSeconds, seconds, gauge, calm);
  }

  private JudgeSettings withGauge(Gauge other) {
    return new JudgeSettings(targetRelativeHalfWidth, capSeconds, stabilitySeconds, other, calm);
  }

  /** Of the mains where the bench stands; NaN when not known. */
  public JudgeSettings withMainsHertz(double hertz) {
    return withGauge(new Gauge(gauge.low(), gauge.high(), hertz, gauge.meanSeconds()));
  }

  /** Through a gauge that gives a moving mean of this length, where no calm record shows it [s]. */
  public JudgeSettings withGaugeMean(double seconds) {
    return withGauge(new Gauge(gauge.low(), gauge.high(), gauge.mainsHertz(), seconds));
  }

  public JudgeSettings withRange(double lowEnd, double highEnd) {
    return withGauge(
        new Gauge(
            OptionalDouble.of(lowEnd),
            OptionalDouble.of(highEnd),
            gauge.mainsHertz(),
            gauge.meanSeconds()));
  }

  public JudgeSettings withCalm(CalmRecord record) {
    return new JudgeSettings(
        targetRelativeHalfWidth, capSeconds, stabilitySeconds, gauge, Optional.of(record));
  }

  /** The same, knowing nothing of how the bench fluctuates. */
  public JudgeSettings withoutCalm() {
    return new JudgeSettings(
        targetRelativeHalfWidth, capSeconds, stabilitySeconds, gauge, Optional.empty());
  }
}
