package meniscus.core.pipeline;

import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.stream.Collectors;
import meniscus.core.bench.Use;
import meniscus.core.remark.Remark;
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
        Optional.of(
            new Judged.Average(areaM2, 0, Double.POSITIVE_INFINITY, OptionalDouble.empty(), 1)),
        new Judged.Span(seconds, seconds, OptionalDouble.of(seconds), true, true, 0),
        Judged.Air.UNSEEN,
        0,
        List.of());
  }

  /**
   * One was read and stands, a gauge gives the other. What that gauge shows to be wrong is said;
   * that all is well it cannot show: what both share, such as a blower that wanders, looks like a
   * flow that does.
   */
  static Judged besideAGauge(Judged seen) {
    Judged.Span span = seen.span();
    return new Judged(
        seen.verdict().sound() || seen.verdict() == Verdict.BRIEF ? Verdict.BY_EYE : seen.verdict(),
        seen.average(),
        new Judged.Span(
            span.fromSeconds(),
            span.toSeconds(),
            span.preciseAtSeconds(),
            span.precise(),
            span.decided() || span.precise(),
            span.precise() ? 0 : span.waitSeconds()),
        new Judged.Air(
            OptionalDouble.empty(), seen.switching(), Optional.empty(), OptionalDouble.empty(), 0),
        seen.spikes(),
        seen.why());
  }

  static Remark remark(List<Use> byEye) {
    return Remark.about(
        Remark.Kind.READ_BY_EYE,
        byEye.stream().map(Use::words).collect(Collectors.joining(" and ")));
  }
}
