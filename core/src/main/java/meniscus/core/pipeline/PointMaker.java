package meniscus.core.pipeline;

import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import meniscus.core.bench.PointMeans;
import meniscus.core.finding.UnsteadyLifts;
import meniscus.core.flow.ReferenceState;
import meniscus.core.lift.Beside;
import meniscus.core.lift.LiftPoint;
import meniscus.core.lift.Plan;
import meniscus.core.lift.Rung;
import meniscus.core.lift.SeatReadings;
import meniscus.core.lift.Sweep;
import meniscus.core.remark.Remark;
import meniscus.core.steadiness.Judged;
import meniscus.core.steadiness.Verdict;
import meniscus.core.time.Moment;
import meniscus.core.uncertainty.Budget;
import meniscus.core.uncertainty.Contribution;

/** Makes the lift point of a window: the mean with its whole uncertainty budget. */
public final class PointMaker {

  private final Plan plan;
  private final String range;
  private final ReferenceState reference;
  private final MeasuredFlow budget;
  private final MeasuredFlow otherWay;

  /** Where the contributions to a flow come from. */
  @FunctionalInterface
  public interface MeasuredFlow {
    /** Contributions to the flow of these means [m³/s]. */
    List<Contribution> contributions(PointMeans means);

    /** Half-width of the 95 % interval of the lift that was read [m]; empty when not known. */
    default OptionalDouble liftU95(PointMeans means) {
      return OptionalDouble.empty();
    }

    /** The same of a test whose dial was read on the seat before and after. */
    default MeasuredFlow onTheSeat(SeatReadings seat) {
      return this;
    }

    /**
     * What was measured beside the flow, as people read it.
     *
     * @param measured with a probe's pressure under the name of its velocity
     */
    default List<Beside> beside(PointMeans means, List<Beside> measured) {
      return measured;
    }

    /** What of them lies beyond what the bench is good for. */
    default List<Remark> remarks(PointMeans means) {
      return List.of();
    }
  }

  /**
   * @param range of the bench that is used
   * @param reference that flows are reported for
   */
  public PointMaker(Plan plan, String range, ReferenceState reference, MeasuredFlow budget) {
    this(plan, range, reference, budget, budget);
  }

  private PointMaker(
      Plan plan,
      String range,
      ReferenceState reference,
      MeasuredFlow budget,
      MeasuredFlow otherWay) {
    this.plan = plan;
    this.range = range;
    this.reference = reference;
    this.budget = budget;
    this.otherWay = otherWay;
  }

  /** The same, with where the contributions come from when the air goes the other way. */
  public PointMaker withOtherWay(MeasuredFlow other) {
    return new PointMaker(plan, range, reference, budget, other);
  }

  private MeasuredFlow budget(Sweep sweep) {
    return sweep.plansWay() ? budget : otherWay;
  }

  /**
   * A kept window, with what is needed to work its budget out again once its neighbours are known.
   */
  public record Kept(LiftPoint point, PointMeans means) {}

  /**
   * The point of a window.
   *
   * @param aimPa test pressure that was asked for [Pa]
   * @param others kept so far, to know how the flow changes with lift
   * @return empty while the window has no mean
   */
  Optional<Kept> point(
      RungWindow window,
      Rung rung,
      int attempt,
      double aimPa,
      int segment,
      Moment at,
      List<LiftPoint> others) {
    return window
        .means()
        .map(means -> plan.setUp().valves().none() ? means.withoutLift() : means)
        .map(means -> make(window, means, rung, attempt, aimPa, segment, at))
        .map(kept -> among(kept, others));
  }

  /**
   * The points of a finished test: each budget with the slope between its neighbours, each verdict
   * against them. Where the dial was read on the seat before and after, lifts are from there.
   */
  public List<LiftPoint> finished(List<Kept> kept, SeatReadings seat) {
    if (seat.both()) {
      PointMaker knowing =
          new PointMaker(plan, range, reference, budget.onTheSeat(seat), otherWay.onTheSeat(seat));
      return knowing.finished(
          kept.stream().map(each -> knowing.fromTheSeat(each, seat.zeroM())).toList());
    }
    return finished(kept);
  }

  private List<LiftPoint> finished(List<Kept> kept) {
    List<LiftPoint> points = kept.stream().map(Kept::point).toList();
    return kept.stream().map(each -> among(each, points).point()).toList();
  }

  /** A lift set by hand was read off the dial too: it showed what was asked. */
  private Kept fromTheSeat(Kept kept, double zeroM) {
    double shown = kept.means().liftM().orElse(kept.point().liftM());
    PointMeans means = kept.means().withLift(shown - zeroM);
    MeasuredFlow its = budget(kept.point().sweep());
    return new Kept(kept.point().withLift(means.liftM(), its.liftU95(means)), means);
  }

  /** Reported flow of an effective area [m³/s]. */
  double flowOf(double areaM2) {
    return areaM2 * reference.volumeFlow(1);
  }

  /** Reported flow and the half-width of its repeat interval [m³/s]; NaN where not known. */
  double[] flowOf(Optional<Judged> judged) {
    double area = judged.map(Judged::mean).orElse(OptionalDouble.empty()).orElse(Double.NaN);
    double u95 = judged.map(Judged::u95).orElse(OptionalDouble.empty()).orElse(Double.NaN);
    double perArea = reference.volumeFlow(1);
    return new double[] {area * perArea, u95 * perArea};
  }

  private Kept make(
      RungWindow window,
      PointMeans means,
      Rung rung,
      int attempt,
      double aimPa,
      int segment,
      Moment at) {
    Judged judged = window.judged();
    double perArea = reference.volumeFlow(1);
    double curtain = plan.setUp().curtainAreaM2(rung.liftM());
    MeasuredFlow its = budget(rung.sweep());
    List<Remark> remarks = new ArrayList<>(window.remarks());
    boolean asAsked = Math.abs(means.testPressurePa() - aimPa) <= plan.aimBand() * aimPa;
    if (means.air().assumed()) {
      remarks.add(Remark.of(Remark.Kind.MOTOR_HEAT_ASSUMED));
    }
    remarks.addAll(window.missing(at));
    remarks.addAll(its.remarks(means));
    LiftPoint bare =
        new LiftPoint(
            new LiftPoint.Taken(
                rung.number(), attempt, segment, at, rung.liftM(), rung.sweep(), range),
            new LiftPoint.Flow(
                means.effectiveAreaM2(),
                means.flowM3PerS(),
                OptionalDouble.empty(),
                scaled(judged.u95(), perArea),
                curtain > 0
                    ? OptionalDouble.of(means.effectiveAreaM2() / curtain)
                    : OptionalDouble.empty()),
            new LiftPoint.Setting(
                means.testPressurePa(), asAsked, means.liftM(), its.liftU95(means)),
            new LiftPoint.Average(
                judged.verdict(),
                judged.unsteadiness(),
                means.seconds(),
                judged.effectiveSamples(),
                means.readByEye()),
            remarks,
            List.of(),
            its.beside(means, window.beside(means)));
    return new Kept(bare, means);
  }

  private Kept among(Kept kept, List<LiftPoint> others) {
    Kept sloped = withSlope(kept, others);
    return new Kept(againstThePort(sloped.point(), others), sloped.means());
  }

  /** Air rougher than a plate is a healthy port's; rougher than at the next lift is a sign. */
  private LiftPoint againstThePort(LiftPoint point, List<LiftPoint> others) {
    return point.verdict() == Verdict.ROUGH
            && UnsteadyLifts.calmerNeighbour(plan, point, others).isPresent()
        ? point.called(Verdict.UNSTEADY)
        : point;
  }

  private Kept withSlope(Kept kept, List<LiftPoint> others) {
    OptionalDouble slope = slope(kept.point(), others);
    PointMeans means =
        slope.isPresent() ? kept.means().withSlope(slope.getAsDouble()) : kept.means();
    List<Contribution> contributions = budget(kept.point().sweep()).contributions(means);
    Budget whole = new Budget(contributions);
    OptionalDouble repeat =
        means.readByEye() ? OptionalDouble.of(whole.repeat().u95()) : kept.point().flowRepeatU95();
    OptionalDouble u95 =
        repeat.isPresent() ? OptionalDouble.of(whole.u95()) : OptionalDouble.empty();
    return new Kept(kept.point().withBudget(contributions, u95, repeat), means);
  }

  /** Change of flow with lift between the nearest kept lifts of the same sweep [m²/s]. */
  static OptionalDouble slope(LiftPoint point, List<LiftPoint> others) {
    Optional<LiftPoint> below =
        others.stream()
            .filter(other -> other.sweep() == point.sweep() && other.liftM() < point.liftM())
            .max(Comparator.comparingDouble(LiftPoint::liftM));
    Optional<LiftPoint> above =
        others.stream()
            .filter(other -> other.sweep() == point.sweep() && other.liftM() > point.liftM())
            .min(Comparator.comparingDouble(LiftPoint::liftM));
    if (below.isEmpty() && above.isEmpty()) {
      return OptionalDouble.empty();
    }
    LiftPoint low = below.orElse(point);
    LiftPoint high = above.orElse(point);
    return OptionalDouble.of((high.flowM3PerS() - low.flowM3PerS()) / (high.liftM() - low.liftM()));
  }

  private static OptionalDouble scaled(OptionalDouble value, double factor) {
    return value.isPresent()
        ? OptionalDouble.of(value.getAsDouble() * factor)
        : OptionalDouble.empty();
  }
}
