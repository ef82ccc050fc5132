package meniscus.core.steadiness;

import java.util.Optional;
import java.util.OptionalDouble;
import meniscus.core.refusal.Refusal;
import meniscus.core.settle.SettlingModel;

/**
 * What is asked of a judge.
 *
 * @param targetRelativeHalfWidth asked half width of the 95 % interval over the mean
 * @param capSeconds after this the answer is given as it stands [s]
 * @param stabilitySeconds settled time that a verdict on steadiness needs [s]
 * @param low low end of the gauge's range, in the unit of the readings
 * @param high high end of the gauge's range
 * @param mainsHertz mains frequency; NaN when not known: both 50 and 60 Hz are minded
 * @param calm the bench's calm record
 * @param settling how the bench comes to rest
 */
public record JudgeSettings(
    double targetRelativeHalfWidth,
    double capSeconds,
    double stabilitySeconds,
    OptionalDouble low,
    OptionalDouble high,
    double mainsHertz,
    Optional<CalmRecord> calm,
    Optional<SettlingModel> settling) {

  private static final JudgeSettings USUAL =
      new JudgeSettings(
          0.005,
          120,
          20,
          OptionalDouble.empty(),
          OptionalDouble.empty(),
          Double.NaN,
          Optional.empty(),
          Optional.empty());

  public JudgeSettings {
    if (!(targetRelativeHalfWidth > 0 && capSeconds > 0 && stabilitySeconds > 0)) {
      throw new Refusal("the target, the cap and the time for a verdict are above zero");
    }
    if (low.isPresent() && high.isPresent() && !(low.getAsDouble() < high.getAsDouble())) {
      throw new Refusal("the range's low end is not below its high end");
    }
  }

  /** ±0.5 %, 120 s at most, 20 s for a verdict, nothing known of bench or gauge. */
  public static JudgeSettings usual() {
    return USUAL;
  }

  public JudgeSettings withTarget(double relativeHalfWidth) {
    return new JudgeSettings(
        relativeHalfWidth, capSeconds, stabilitySeconds, low, high, mainsHertz, calm, settling);
  }

  public JudgeSettings withCapSeconds(double seconds) {
    return new JudgeSettings(
        targetRelativeHalfWidth, seconds, stabilitySeconds, low, high, mainsHertz, calm, settling);
  }

  public JudgeSettings withStabilitySeconds(double seconds) {
    return new JudgeSettings(
        targetRelativeHalfWidth, capSeconds, seconds, low, high, mainsHertz, calm, settling);
  }

  public JudgeSettings withRange(double lowEnd, double highEnd) {
    return new JudgeSettings(
        targetRelativeHalfWidth,
        capSeconds,
        stabilitySeconds,
        OptionalDouble.of(lowEnd),
        OptionalDouble.of(highEnd),
        mainsHertz,
        calm,
        settling);
  }

  public JudgeSettings withMainsHertz(double hertz) {
    return new JudgeSettings(
        targetRelativeHalfWidth, capSeconds, stabilitySeconds, low, high, hertz, calm, settling);
  }

  public JudgeSettings withCalm(CalmRecord record) {
    return new JudgeSettings(
        targetRelativeHalfWidth,
        capSeconds,
        stabilitySeconds,
        low,
        high,
        mainsHertz,
        Optional.of(record),
        settling);
  }

  /** The same, knowing nothing of how the bench fluctuates. */
  public JudgeSettings withoutCalm() {
    return new JudgeSettings(
        targetRelativeHalfWidth,
        capSeconds,
        stabilitySeconds,
        low,
        high,
        mainsHertz,
        Optional.empty(),
        settling);
  }
}
