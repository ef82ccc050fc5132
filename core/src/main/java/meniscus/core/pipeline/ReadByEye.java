package meniscus.core.pipeline;

import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.stream.Collectors;
import meniscus.core.bench.Use;
import meniscus.core.lift.LiftPoint;
import meniscus.core.steadiness.Judged;
import meniscus.core.steadiness.Verdict;

/**
 * What can be said of a rung whose drop or test pressure a person read: a value, but nothing of the
 * air's steadiness. A column is slow, an eye is slower, and one look has no spectrum; so the
 * verdict is {@code brief}, too little data to say. How far a column swung is in the budget.
 */
final class ReadByEye {

  private ReadByEye() {}

  /** Both pressures were read, once: no fluctuation was seen, all uncertainty is in the budget. */
  static Judged once(List<Use> byEye, double seconds, double areaM2) {
    return new Judged(
        Verdict.BRIEF,
        Optional.of(
            new Judged.Average(areaM2, 0, Double.POSITIVE_INFINITY, OptionalDouble.empty(), 1)),
        new Judged.Span(seconds, seconds, OptionalDouble.of(seconds), true, true),
        Judged.Air.UNSEEN,
        0,
        List.of(words(byEye)));
  }

  /**
   * One was read and stands, a gauge gives the other. What that gauge shows to be wrong is said;
   * that all is well it cannot show: what both share, such as a blower that wanders, looks like a
   * flow that does.
   */
  static Judged besideAGauge(List<Use> byEye, Judged seen) {
    List<String> reasons = new ArrayList<>(List.of(words(byEye)));
    reasons.addAll(seen.reasons());
    Judged.Span span = seen.span();
    return new Judged(
        seen.verdict().sound() ? Verdict.BRIEF : seen.verdict(),
        seen.average(),
        new Judged.Span(
            span.fromSeconds(),
            span.toSeconds(),
            span.preciseAtSeconds(),
            span.precise(),
            span.decided() || span.precise()),
        new Judged.Air(
            OptionalDouble.empty(), seen.switching(), Optional.empty(), OptionalDouble.empty(), 0),
        seen.spikes(),
        reasons);
  }

  private static String words(List<Use> byEye) {
    return byEye.stream()
            .map(use -> use.word().replace('_', ' '))
            .collect(Collectors.joining(" and "))
        + " "
        + LiftPoint.READ_BY_EYE
        + ": fluctuation, jumps and drift cannot be seen";
  }
}
