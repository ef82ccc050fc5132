package meniscus.core.pipeline;

import java.util.Comparator;
import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import meniscus.core.bench.Use;
import meniscus.core.finding.Confirmation;
import meniscus.core.finding.SignSearch;
import meniscus.core.lift.LiftPoint;
import meniscus.core.lift.Lifts;
import meniscus.core.lift.Plan;
import meniscus.core.lift.Rung;
import meniscus.core.lift.TestCurve;

/**
 * At the end of the ladder, while the head is still on the bench: does something look like a short
 * side that gives up? Then the operator is asked, and waited for; the experiment that settles it is
 * added to the ladder.
 */
final class Suspicion {

  /** So long an answer is waited for [s]: hands are on the head, not on the keys. */
  private static final double WAITS_S = 60;

  private final Acquisition acquisition;
  private final Plan plan;
  private final Ladder ladder;
  private final AskedPressure aim;
  private final RunRecord record;
  private double until = Double.NEGATIVE_INFINITY;
  private double liftM;

  Suspicion(
      Acquisition acquisition, Plan plan, Ladder ladder, AskedPressure aim, RunRecord record) {
    this.acquisition = acquisition;
    this.plan = plan;
    this.ladder = ladder;
    this.aim = aim;
    this.record = record;
  }

  /** High lifts at which the flow falls or jumps [m]. */
  private List<Double> lifts() {
    List<LiftPoint> points = ladder.points();
    return points.isEmpty() ? List.of() : SignSearch.suspected(curve(points));
  }

  /** Asks, where a lift is suspected and no confirmation has answered it before. */
  void asks() {
    List<Double> suspected = lifts();
    if (!suspected.isEmpty() && ladder.rungs().stream().noneMatch(Rung::confirm)) {
      until = record.now().seconds() + WAITS_S;
      liftM = suspected.get(suspected.size() - 1);
      record.tell(new OperatorMessage.Suspected(liftM, WAITS_S));
    }
  }

  /** An answer is waited for. */
  boolean waits() {
    return until > Double.NEGATIVE_INFINITY;
  }

  /**
   * The time for an answer is over.
   *
   * @return true once
   */
  boolean timeIsOver() {
    return record.now().seconds() >= until && dropped();
  }

  /**
   * The answer is no.
   *
   * @return false when nothing was asked
   */
  boolean dropped() {
    boolean asked = waits();
    until = Double.NEGATIVE_INFINITY;
    return asked;
  }

  /** The question while its answer is waited for. */
  Optional<Question> question() {
    return waits()
        ? Optional.of(new Question(Question.Kind.CONFIRM, OptionalDouble.of(liftM), false))
        : Optional.empty();
  }

  /**
   * Adds the experiment for a lift to the ladder.
   *
   * @return false when it is there already
   */
  boolean confirms(double lift) {
    if (ladder.rungs().stream()
        .anyMatch(rung -> rung.confirm() && Lifts.same(rung.liftM(), lift))) {
      return false;
    }
    boolean otherWay = acquisition.knowsOtherWay();
    if (!otherWay) {
      record.tell(new OperatorMessage.OneWayOnly(plan.direction().other()));
    }
    Confirmation.Able able =
        new Confirmation.Able(
            aim.atMost(reachedAt(lift)),
            otherWay ? OptionalDouble.of(mostFlowBelow(lift)) : OptionalDouble.empty(),
            acquisition.spacingSeconds(Use.ELEMENT_DROP));
    Confirmation led = Confirmation.of(plan, lift, lifts(), able);
    int first = ladder.nextNumber();
    ladder.add(led.rungs(first));
    record.write(led.begun(first));
    until = Double.NEGATIVE_INFINITY;
    return true;
  }

  /**
   * Lift of the highest flow below a lift [m]; the next one while none is kept, itself where there
   * is none.
   */
  private double mostFlowBelow(double lift) {
    return curve(ladder.points()).curve().stream()
        .filter(point -> TestCurve.trusted(point) && Lifts.isBelow(point.liftM(), lift))
        .max(Comparator.comparingDouble(LiftPoint::flowM3PerS))
        .map(LiftPoint::liftM)
        .orElseGet(() -> nextBelow(lift));
  }

  private double nextBelow(double lift) {
    return plan.ladder().stream()
        .mapToDouble(Rung::liftM)
        .filter(lower -> Lifts.isBelow(lower, lift))
        .max()
        .orElse(lift);
  }

  /** What the blower reached at a lift, else what the plan asks [Pa]. */
  private double reachedAt(double lift) {
    return ladder.points().stream()
        .filter(point -> Lifts.same(point.liftM(), lift))
        .mapToDouble(point -> Math.min(plan.testPressurePa(), point.testPressurePa()))
        .min()
        .orElse(plan.testPressurePa());
  }

  private TestCurve curve(List<LiftPoint> points) {
    return new TestCurve(
        "this test", "", "", Optional.empty(), plan, Optional.empty(), List.of(), points);
  }
}
