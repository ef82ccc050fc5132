package meniscus.core.budget;

import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import meniscus.core.bench.Bench;
import meniscus.core.bench.Calibration;
import meniscus.core.bench.FlowElement;
import meniscus.core.bench.Leakage;
import meniscus.core.bench.PointMeans;
import meniscus.core.bench.Range;
import meniscus.core.lift.Beside;
import meniscus.core.lift.Plan;
import meniscus.core.lift.SeatReadings;
import meniscus.core.remark.Remark;
import meniscus.core.uncertainty.Contribution;
import meniscus.core.uncertainty.Coverage;

/**
 * Where the uncertainty of a lift point's flow comes from, after JCGM 100:2008. Sensitivities are
 * taken numerically on the whole way from gauges to reported flow, so that what enters twice (room
 * air at the element and at the port, test pressure at the port and upstream of the element) counts
 * once, with its sign.
 *
 * <p>Shared ids say what cancels between two values: the errors of the same gauge in the same epoch
 * at near readings, the same calibration, the same uncalibrated element. Not shared: zeros, leaks,
 * the setting of the lift, typed values, which belong to one session or one fitting of the head.
 *
 * @param bench with its zeros and plenum
 * @param calibration of the plan's direction and range, when there is one
 * @param leakage that is subtracted, when there is one
 * @param plan of the test
 * @param lift how well it is known
 */
public record FlowBudget(
    Bench bench,
    Optional<Calibration> calibration,
    Optional<Leakage> leakage,
    Plan plan,
    LiftSetting lift) {

  /** The budget with the bench's lift channel, or the plan's tolerance where it has none. */
  public static FlowBudget of(
      Bench bench, Optional<Calibration> calibration, Optional<Leakage> leakage, Plan plan) {
    return new FlowBudget(bench, calibration, leakage, plan, LiftSetting.of(bench, plan));
  }

  /** The same of a test whose dial was read on the seat before and after. */
  public FlowBudget onTheSeat(SeatReadings seat) {
    return new FlowBudget(bench, calibration, leakage, plan, lift.onTheSeat(seat));
  }

  /** Contributions to the flow of these means [m³/s]. */
  public List<Contribution> contributions(PointMeans means) {
    return new PointBudget(this, means).contributions();
  }

  /** Half-width of the 95 % interval of the lift that was read [m]; empty when none was. */
  public OptionalDouble liftU95(PointMeans means) {
    OptionalDouble read = means.liftM();
    // Nothing of a lift's uncertainty is learned from repeats: its degrees of freedom are many.
    return read.isPresent()
        ? OptionalDouble.of(Coverage.NORMAL_95 * lift.standardUncertaintyM(read.getAsDouble()))
        : read;
  }

  /**
   * What was measured beside the flow, with a probe's pressure turned into its velocity.
   *
   * @param measured the probe's pressure under the name of its velocity
   */
  public List<Beside> beside(PointMeans means, List<Beside> measured) {
    return measured.stream()
        .map(
            each ->
                each.name().equals(Beside.PROBE_VELOCITY)
                    ? ProbeVelocity.of(bench, plan.direction(), means, each)
                    : each)
        .toList();
  }

  /** What of these means lies beyond what calibration, gauges and barometer are good for. */
  public List<Remark> remarks(PointMeans means) {
    return PointRemarks.of(this, means);
  }

  Range range() {
    return plan.range().map(bench::range).orElseGet(() -> bench.ranges().get(0));
  }

  /** Calibrated, where there is a calibration. */
  FlowElement element() {
    return calibration.<FlowElement>map(Calibration::element).orElse(range().element());
  }
}
