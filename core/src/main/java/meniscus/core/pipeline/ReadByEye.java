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
    return new Judged(
        seen.verdict().sound() ? Verdict.BRIEF : seen.verdict(),
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
