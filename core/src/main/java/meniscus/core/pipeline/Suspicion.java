package meniscus.core.pipeline;

import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import meniscus.core.finding.SignSearch;
import meniscus.core.lift.LiftPoint;
import meniscus.core.lift.Plan;
import meniscus.core.lift.Rung;
import meniscus.core.lift.TestCurve;
import meniscus.core.time.Moment;

/**
 * At the end of the ladder, while the head is still on the bench: does something look like a short
 * side that gives up? Then the operator is asked, and waited for.
 */
final class Suspicion {

  /** So long an answer is waited for [s]: hands are on the head, not on the keys. */
  static final double WAITS_S = 60;

  private final Plan plan;
  private double until = Double.NEGATIVE_INFINITY;
  private double liftM;

  Suspicion(Plan plan) {
    this.plan = plan;
  }

  /** High lifts at which the flow falls or jumps [m]. */
  List<Double> lifts(List<LiftPoint> points) {
    return points.isEmpty() ? List.of() : SignSearch.suspected(curve(points));
  }

  /** The lift that is asked about, when no confirmation has answered it before [m]. */
  OptionalDouble asks(List<LiftPoint> points, List<Rung> rungs, Moment now) {
    List<Double> suspected = lifts(points);
    if (suspected.isEmpty() || rungs.stream().anyMatch(Rung::confirm)) {
      return OptionalDouble.empty();
    }
    until = now.seconds() + WAITS_S;
    liftM = suspected.get(suspected.size() - 1);
    return OptionalDouble.of(liftM);
  }

  boolean waits(Moment now) {
    return now.seconds() < until;
  }

  /** The question while its answer is waited for. */
  Optional<Question> question(Moment now) {
    return waits(now)
        ? Optional.of(new Question(Question.Kind.CONFIRM, OptionalDouble.of(liftM), false))
        : Optional.empty();
  }

  void answered() {
    until = Double.NEGATIVE_INFINITY;
  }

  private TestCurve curve(List<LiftPoint> points) {
    return new TestCurve(
        "this test", "", "", Optional.empty(), plan, Optional.empty(), List.of(), points);
  }
}
