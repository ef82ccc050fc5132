package meniscus.core.compare;

import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import meniscus.core.air.AirState;
import meniscus.core.decide.Estimate;
import meniscus.core.flow.AirSpeed;
import meniscus.core.lift.LiftPoint;
import meniscus.core.lift.Plan;
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
 * @param velocityAtHighestFlow mean velocity in the port's smallest section, of reference air that
 *     was still before the port, at the reference test pressure [m/s]; the area is taken as exact
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
                ? inSection(peak, smallest.getAsDouble(), test.plan().reference())
                : Optional.empty()));
  }

  /** Empty where the section would be choked: then the area in the plan is not the smallest. */
  private static Optional<Estimate> inSection(
      Estimate flow, double areaM2, Plan.Reference reference) {
    AirState air = reference.air();
    OptionalDouble speed = AirSpeed.inSection(flow.value(), areaM2, air.soundSpeed(), air.kappa());
    OptionalDouble faster =
        AirSpeed.inSection(
            flow.value() + flow.standardUncertainty(), areaM2, air.soundSpeed(), air.kappa());
    if (speed.isEmpty() || faster.isEmpty()) {
      return Optional.empty();
    }
    return Optional.of(
        new Estimate(
            speed.getAsDouble(),
            faster.getAsDouble() - speed.getAsDouble(),
            flow.degreesOfFreedom()));
  }

  private static Estimate estimate(double value, Budget budget) {
    return new Estimate(value, budget.standardUncertainty(), budget.effectiveDegreesOfFreedom());
  }

  private static Estimate over(Estimate e, double area) {
    return new Estimate(e.value() / area, e.standardUncertainty() / area, e.degreesOfFreedom());
  }
}
