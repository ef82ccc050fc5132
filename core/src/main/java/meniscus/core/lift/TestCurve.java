package meniscus.core.lift;

import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import java.util.Objects;
import java.util.Optional;
import java.util.TreeMap;
import meniscus.core.bench.Repeatability;
import meniscus.core.steadiness.Verdict;
import meniscus.core.uncertainty.Budget;
import meniscus.core.uncertainty.Contribution;

/**
 * One finished lift test, with what is needed to set it beside another one.
 *
 * @param name that people know it by: the folder's name
 * @param bench identity of the bench and its epoch; the same text means the same bench
 * @param calibration identity of the calibration used; empty text when there is none
 * @param repeatability of the bench, when it was learned
 * @param plan of the test
 * @param room air in the room, when it was measured
 * @param health what of the bench was not in order on the day, in words
 * @param points kept, in the order of the test
 */
public record TestCurve(
    String name,
    String bench,
    String calibration,
    Optional<Repeatability> repeatability,
    Plan plan,
    Optional<Room> room,
    List<String> health,
    List<LiftPoint> points) {

  /**
   * Air in the room.
   *
   * @param temperatureK [K]
   * @param pressurePa absolute [Pa]
   * @param relativeHumidity 0 to 1
   * @param densityKgPerM3 [kg/m³]
   */
  public record Room(
      double temperatureK, double pressurePa, double relativeHumidity, double densityKgPerM3) {}

  public TestCurve {
    Objects.requireNonNull(name);
    Objects.requireNonNull(bench);
    Objects.requireNonNull(calibration);
    Objects.requireNonNull(repeatability);
    Objects.requireNonNull(plan);
    Objects.requireNonNull(room);
    health = List.copyOf(health);
    points = List.copyOf(points);
  }

  /**
   * The flow curve of one sweep at the plan's own test pressure: one point a lift, lifts rising.
   * Return rungs and rungs with a test pressure of their own are left out, and so is what was set
   * aside.
   */
  public List<LiftPoint> curve(Sweep sweep) {
    TreeMap<Long, LiftPoint> byLift = new TreeMap<>();
    for (LiftPoint point : points) {
      if (point.sweep() == sweep && standing(point) && !plan.asideOfTheCurve(point.rung())) {
        byLift.putIfAbsent(Lifts.step(point.liftM()), point);
      }
    }
    return byLift.values().stream().sorted(Comparator.comparingDouble(LiftPoint::liftM)).toList();
  }

  /** The opening sweep, or the closing one when there is no other. */
  public List<LiftPoint> curve() {
    List<LiftPoint> opening = curve(Sweep.OPENING);
    return opening.isEmpty() ? curve(Sweep.CLOSING) : opening;
  }

  /** The point of the curve at a lift. */
  public Optional<LiftPoint> at(double liftM) {
    return curve().stream().filter(point -> Lifts.same(point.liftM(), liftM)).findFirst();
  }

  /** The curve, and where it has no value the points that were set aside: for showing. */
  public List<LiftPoint> shown() {
    List<LiftPoint> shown = new ArrayList<>(curve());
    Sweep sweep = shown.isEmpty() ? Sweep.OPENING : shown.get(0).sweep();
    points.stream()
        .filter(point -> !standing(point) && point.sweep() == sweep)
        .filter(point -> !plan.asideOfTheCurve(point.rung()))
        .forEach(shown::add);
    shown.sort(Comparator.comparingDouble(LiftPoint::liftM));
    return shown;
  }

  /** False for a point that was set aside afterwards. */
  public static boolean standing(LiftPoint point) {
    return !point.isSetAside();
  }

  /** True when a point's mean means something: unsteady air has an honest mean, a fault has not. */
  public static boolean trusted(LiftPoint point) {
    return standing(point)
        && point.flowU95().isPresent()
        && point.flowM3PerS() > 0
        && point.verdict() != Verdict.FAULTY
        && point.verdict() != Verdict.BRIEF
        && point.verdict() != Verdict.DRIFTING;
  }

  /**
   * The budget of a point's flow, in which set-up errors of one source are one and the same error
   * at every rung: by their kind they are fixed for one fitting of the head.
   */
  public static Budget budget(LiftPoint point) {
    return new Budget(
        point.budget().stream()
            .map(
                c ->
                    c.kind() == Contribution.Kind.SET_UP && c.sharedId().isEmpty()
                        ? new Contribution(
                            c.source(),
                            c.kind(),
                            c.standardUncertainty(),
                            c.degreesOfFreedom(),
                            c.sensitivity(),
                            "this fitting: " + c.source())
                        : c)
            .toList());
  }
}
