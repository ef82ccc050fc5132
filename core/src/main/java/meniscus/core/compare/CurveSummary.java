package meniscus.core.compare;

import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import meniscus.core.decide.Estimate;
import meniscus.core.lift.LiftPoint;
import meniscus.core.lift.TestCurve;
import meniscus.core.uncertainty.Budget;
import meniscus.core.uncertainty.Contribution;

/**
 * One curve in a few numbers, each with its interval.
 *
 * @param meanFlow over the ladder [m³/s]
 * @param flowPerValveArea mean flow over the area π/4·D² of the opened valves' heads [m/s]
 * @param highestFlow of the curve [m³/s]
 * @param highestFlowLiftM lift it was found at [m]
 * @param velocityAtHighestFlow mean velocity at the port's smallest area, reference air at the
 *     reference test pressure [m/s]; the area is taken as exact
 */
public record CurveSummary(
    Estimate meanFlow,
    Estimate flowPerValveArea,
    Estimate highestFlow,
    double highestFlowLiftM,
    Optional<Estimate> velocityAtHighestFlow) {

  /** Empty when no point of the curve can be trusted. */
  public static Optional<CurveSummary> of(TestCurve test) {
    List<LiftPoint> curve = test.curve().stream().filter(TestCurve::trusted).toList();
    if (curve.isEmpty()) {
      return Optional.empty();
    }
    double mean = curve.stream().mapToDouble(LiftPoint::flowM3PerS).average().orElseThrow();
    List<Contribution> all = new ArrayList<>();
    LiftPoint highest = curve.get(0);
    for (LiftPoint point : curve) {
      all.addAll(TestCurve.budget(point).times(1.0 / curve.size()).contributions());
      highest = point.flowM3PerS() > highest.flowM3PerS() ? point : highest;
    }
    Estimate meanFlow = estimate(mean, new Budget(all));
    Estimate peak = estimate(highest.flowM3PerS(), TestCurve.budget(highest));
    double heads =
        test.plan().setUp().valveHeadsM().stream()
            .mapToDouble(head -> Math.PI / 4 * head * head)
            .sum();
    OptionalDouble smallest = test.plan().setUp().smallestAreaM2();
    return Optional.of(
        new CurveSummary(
            meanFlow,
            over(meanFlow, heads),
            peak,
            highest.liftM(),
            smallest.isPresent()
                ? Optional.of(over(peak, smallest.getAsDouble()))
                : Optional.empty()));
  }

  private static Estimate estimate(double value, Budget budget) {
    return new Estimate(value, budget.standardUncertainty(), budget.effectiveDegreesOfFreedom());
  }

  private static Estimate over(Estimate e, double area) {
    return new Estimate(e.value() / area, e.standardUncertainty() / area, e.degreesOfFreedom());
  }
}
