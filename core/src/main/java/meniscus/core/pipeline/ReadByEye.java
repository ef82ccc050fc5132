package meniscus.core.pipeline;

import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.stream.Collectors;
import meniscus.core.bench.Use;
import meniscus.core.lift.Remark;
import meniscus.core.steadiness.Judged;
import meniscus.core.steadiness.Verdict;

/**
 * What can be said of a rung whose drop or test pressure a person read: a value, but nothing of the
 * air's steadiness. A column is slow, an eye is slower, and one look has no spectrum; so the
 * verdict is {@code by eye}. How far a column swung is in the budget.
 */
final class ReadByEye {

  private ReadByEye() {}

  /** Both pressures were read, once: no fluctuation was seen, all uncertainty is in the budget. */
  static Judged once(double seconds, double areaM2) {
    return new Judged(
        Verdict.BY_EYE,
        OptionalDouble.of(areaM2),
        OptionalDouble.of(0),
        Double.POSITIVE_INFINITY,
        OptionalDouble.empty(),
        seconds,
        seconds,
        OptionalDouble.of(seconds),
        1,
        0,
        OptionalDouble.empty(),
        Optional.empty(),
        true,
        true,
        0,
        0,
        List.of());
  }

  /**
   * One was read and stands, a gauge gives the other. What that gauge shows to be wrong is said;
   * that all is well it cannot show: what both share, such as a blower that wanders, looks like a
   * flow that does.
   */
  static Judged besideAGauge(Judged seen) {
    return new Judged(
        seen.verdict().sound() ? Verdict.BY_EYE : seen.verdict(),
        seen.mean(),
        seen.standardError(),
        seen.degreesOfFreedom(),
        seen.u95(),
        seen.fromSeconds(),
        seen.toSeconds(),
        seen.preciseAtSeconds(),
        seen.effectiveSamples(),
        0,
        OptionalDouble.empty(),
        seen.switching(),
        seen.precise(),
        seen.decided() || seen.precise(),
        0,
        seen.spikes(),
        seen.reasons());
  }

  static Remark remark(List<Use> byEye) {
    return Remark.about(
        Remark.Kind.READ_BY_EYE,
        byEye.stream().map(Use::words).collect(Collectors.joining(" and ")));
  }
}
