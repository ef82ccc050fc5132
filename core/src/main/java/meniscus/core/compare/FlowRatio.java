package meniscus.core.compare;

import java.util.ArrayList;
import java.util.List;
import meniscus.core.decide.Estimate;
import meniscus.core.lift.LiftPoint;
import meniscus.core.lift.PortKind;
import meniscus.core.lift.TestCurve;
import meniscus.core.refusal.Refusal;
import meniscus.core.uncertainty.Budget;
import meniscus.core.uncertainty.Contribution;
import meniscus.core.uncertainty.Contribution.Kind;

/**
 * Flow of an exhaust port as a share of its intake port's, over the lifts that both have: mean flow
 * over mean flow. Errors that both tests share cancel as far as they are shared.
 *
 * @param ratio [1]
 * @param liftsM in common, rising [m]
 */
public record FlowRatio(Estimate ratio, List<Double> liftsM) {

  public FlowRatio {
    liftsM = List.copyOf(liftsM);
  }

  /**
   * @throws Refusal when they are not an exhaust and an intake, are given for other reference
   *     conditions, or have no lift in common
   */
  public static FlowRatio of(TestCurve exhaust, TestCurve intake) {
    if (exhaust.plan().port() != PortKind.EXHAUST || intake.plan().port() != PortKind.INTAKE) {
      throw new Refusal("a ratio needs a test of an exhaust and one of an intake");
    }
    if (!exhaust.plan().reference().equals(intake.plan().reference())) {
      throw new Refusal(
          "\""
              + exhaust.name()
              + "\" and \""
              + intake.name()
              + "\" are given for different reference conditions");
    }
    List<Double> lifts = new ArrayList<>();
    List<LiftPoint> out = new ArrayList<>();
    List<LiftPoint> in = new ArrayList<>();
    for (LiftPoint point : exhaust.curve()) {
      Comparison.pointAt(intake, point.liftM())
          .filter(other -> TestCurve.trusted(other) && TestCurve.trusted(point))
          .ifPresent(
              other -> {
                lifts.add(point.liftM());
                out.add(point);
                in.add(other);
              });
    }
    if (lifts.isEmpty()) {
      throw new Refusal(
          "\"" + exhaust.name() + "\" and \"" + intake.name() + "\" have no lift in common");
    }
    double sumOut = out.stream().mapToDouble(LiftPoint::flowM3PerS).sum();
    double sumIn = in.stream().mapToDouble(LiftPoint::flowM3PerS).sum();
    double ratio = sumOut / sumIn;
    boolean sameBench =
        exhaust.bench().equals(intake.bench())
            && exhaust.calibration().equals(intake.calibration());
    List<Contribution> all = new ArrayList<>();
    out.forEach(p -> all.addAll(own(p, "exhaust", sameBench).times(1 / sumIn).contributions()));
    in.forEach(p -> all.addAll(own(p, "intake", sameBench).times(-ratio / sumIn).contributions()));
    Budget budget = new Budget(all);
    return new FlowRatio(
        new Estimate(ratio, budget.standardUncertainty(), budget.effectiveDegreesOfFreedom()),
        lifts);
  }

  /** Only systematic errors of one bench and calibration are the other test's too. */
  private static Budget own(LiftPoint point, String test, boolean sameBench) {
    return new Budget(
        TestCurve.budget(point).contributions().stream()
            .map(
                c ->
                    c.sharedId().isEmpty() || sameBench && c.kind() == Kind.SYSTEMATIC
                        ? c
                        : new Contribution(
                            c.source(),
                            c.kind(),
                            c.standardUncertainty(),
                            c.degreesOfFreedom(),
                            c.sensitivity(),
                            test + ": " + c.sharedId()))
            .toList());
  }
}
