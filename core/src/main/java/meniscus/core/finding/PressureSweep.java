package meniscus.core.finding;

import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.TreeMap;
import java.util.function.Function;
import meniscus.core.decide.Estimate;
import meniscus.core.flow.ValveForce;
import meniscus.core.lift.LiftPoint;
import meniscus.core.lift.Lifts;
import meniscus.core.lift.Plan;
import meniscus.core.lift.TestCurve;
import meniscus.core.lift.TestSetUp;

/**
 * One lift at several test pressures: does the flow coefficient fall beyond some pressure, as it
 * does when air lets go of the short side?
 *
 * <p>The coefficient is the effective area CdA of an ideal nozzle. A sound port is no nozzle, so
 * compressibility alone bends CdA over pressure ({@link Throat}); how much must be known from the
 * smallest area, from a healthy lift of the same test, or from the earlier run. The fit is ln CdA
 * against ln Δp, that bend, and a fall from some pressure on ({@link BreakpointFit}). A fall is
 * named with a chance of 1 % when there is none. "Does not fall" is said when a fall of 1.5 % at
 * the highest pressure is excluded at 95 %, and the bend is known; else the answer is that it
 * cannot be told. What else could do the same is ruled out first: the valve moved by the test
 * pressure, a change of range within the sweep, a Reynolds number so low that the coefficient
 * depends on it.
 *
 * @param liftM of the sweep [m]
 * @param pressuresPa rising [Pa]
 * @param effectiveAreasM2 at these [m²]
 * @param result what comes of it
 * @param hysteresisPa pressures at which the way down flows less than the way up [Pa]
 * @param control true when another sweep of the test takes this one as its healthy lift
 */
public record PressureSweep(
    double liftM,
    List<Double> pressuresPa,
    List<Double> effectiveAreasM2,
    Result result,
    List<Double> hysteresisPa,
    boolean control) {

  /** Chance of a false breakpoint in a sweep. */
  public static final double FALSE_ALARM = 0.01;

  /** A fall of the coefficient that matters [1]: half as much again as a porter's one percent. */
  static final double MATTERS = 0.015;

  /** Below this a port's coefficient may still depend on it (common practice, no source). */
  private static final double LOW_REYNOLDS = 1e4;

  /** Kinematic viscosity of room air, near enough for a limit [m²/s]. */
  private static final double KINEMATIC_VISCOSITY = 1.5e-5;

  /** A healthy lift with the same smallest section lies within these shares of the lift. */
  private static final double LOWEST_CONTROL = 0.5;

  // Nearer ones may stall with it: our own choice.
  private static final double HIGHEST_CONTROL = 0.95;

  public PressureSweep {
    pressuresPa = List.copyOf(pressuresPa);
    effectiveAreasM2 = List.copyOf(effectiveAreasM2);
    hysteresisPa = List.copyOf(hysteresisPa);
  }

  /** What comes of a pressure sweep. */
  public sealed interface Result {
    default <T> T fold(
        Function<Constant, T> constant, Function<Breaks, T> breaks, Function<NotTold, T> notTold) {
      if (this instanceof Constant it) {
        return constant.apply(it);
      }
      return this instanceof Breaks it ? breaks.apply(it) : notTold.apply((NotTold) this);
    }
  }

  /**
   * The coefficient does not fall.
   *
   * @param lessThan a fall that could still hide [1]
   */
  public record Constant(double lessThan) implements Result {}

  /**
   * The coefficient falls beyond a pressure.
   *
   * @param atPa breakpoint [Pa]
   * @param lowPa end of its 95 % interval [Pa]
   * @param highPa end of its 95 % interval [Pa]
   * @param dropAtHighest share of the coefficient lost at the highest pressure [1]
   * @param velocityMPerS mean air velocity at the port's smallest area at the breakpoint [m/s],
   *     when that area and the room's air are known
   * @param lowMPerS velocity at {@code lowPa}
   * @param highMPerS velocity at {@code highPa}
   */
  public record Breaks(
      double atPa,
      double lowPa,
      double highPa,
      double dropAtHighest,
      OptionalDouble velocityMPerS,
      OptionalDouble lowMPerS,
      OptionalDouble highMPerS)
      implements Result {}

  /**
   * It cannot be told.
   *
   * @param reason why
   * @param remedy what would tell
   */
  public record NotTold(String reason, String remedy) implements Result {}

  /** All pressure sweeps of a test: lifts with rungs that ask for a test pressure of their own. */
  public static List<PressureSweep> in(TestCurve test) {
    return in(test, List.of());
  }

  /**
   * @param earlier runs of the same port; a sweep of theirs that did not fall tells how this port's
   *     coefficient bends
   */
  public static List<PressureSweep> in(TestCurve test, List<TestCurve> earlier) {
    List<Healthy> healthy = new ArrayList<>();
    earlier.forEach(run -> sweeps(run, new ArrayList<>(), healthy));
    List<PressureSweep> sweeps = new ArrayList<>();
    sweeps(test, sweeps, healthy);
    return sweeps;
  }

  /** A sweep that did not fall, and the throat it shows. */
  private record Healthy(double liftM, double restAreaM2, Estimate share, TestCurve test) {}

  /** Rising in lift, since a lower one may be the next one's healthy lift. */
  private static void sweeps(TestCurve test, List<PressureSweep> found, List<Healthy> healthy) {
    TreeMap<Long, List<LiftPoint>> byLift = new TreeMap<>();
    for (LiftPoint point : test.points()) {
      if (TestCurve.trusted(point) && point.sweep().plansWay()) {
        byLift.computeIfAbsent(Lifts.step(point.liftM()), k -> new ArrayList<>()).add(point);
      }
    }
    for (List<LiftPoint> points : byLift.values()) {
      List<LiftPoint> own = points.stream().filter(p -> ownPressure(test.plan(), p)).toList();
      if (!own.isEmpty()) {
        found.add(of(test, own.size() > 1 ? own : points, found, healthy));
      }
    }
  }

  static boolean ownPressure(Plan plan, LiftPoint point) {
    return plan.ladder().stream()
        .anyMatch(r -> r.number() == point.rung() && r.testPressurePa().isPresent());
  }

  private static PressureSweep of(
      TestCurve test, List<LiftPoint> unsorted, List<PressureSweep> lower, List<Healthy> healthy) {
    List<LiftPoint> points =
        unsorted.stream().sorted(Comparator.comparingDouble(LiftPoint::testPressurePa)).toList();
    double lift = points.get(0).liftM();
    SweepFit fit = new SweepFit(test, points);
    Optional<NotTold> other = otherwiseExplained(test, points, fit.pressures());
    if (other.isPresent()) {
      return sweep(points, other.get(), List.of());
    }
    List<Healthy> near =
        healthy.stream().filter(control -> comparable(control, lift, test)).toList();
    markControls(lower, near, test);
    Result result = judged(test, fit, near);
    if (!(result instanceof Breaks)) {
      Estimate share = fit.share(Throat.ANY_PORT);
      healthy.add(new Healthy(lift, fit.restAreaM2(share.value()), share, test));
    }
    return sweep(points, result, fit.hysteresis());
  }

  private static PressureSweep sweep(
      List<LiftPoint> points, Result result, List<Double> hysteresisPa) {
    return new PressureSweep(
        points.get(0).liftM(),
        points.stream().map(LiftPoint::testPressurePa).toList(),
        points.stream().map(LiftPoint::effectiveAreaM2).toList(),
        result,
        hysteresisPa,
        false);
  }

  /** A lower lift of the same test, or about the same lift of an earlier one. */
  private static boolean comparable(Healthy control, double liftM, TestCurve test) {
    double ratio = control.liftM / liftM;
    return ratio >= LOWEST_CONTROL && (ratio <= HIGHEST_CONTROL || control.test != test);
  }

  private static void markControls(List<PressureSweep> lower, List<Healthy> near, TestCurve test) {
    for (int i = 0; i < lower.size(); i++) {
      PressureSweep sweep = lower.get(i);
      boolean used =
          near.stream().anyMatch(control -> control.test == test && control.liftM == sweep.liftM);
      if (used) {
        lower.set(
            i,
            new PressureSweep(
                sweep.liftM,
                sweep.pressuresPa,
                sweep.effectiveAreasM2,
                sweep.result,
                sweep.hysteresisPa,
                true));
      }
    }
  }

  /** What would make the coefficient change without any short side. */
  private static Optional<NotTold> otherwiseExplained(
      TestCurve test, List<LiftPoint> points, int pressures) {
    if (pressures < BreakpointFit.FEWEST_POINTS) {
      return notTold(
          "it takes "
              + BreakpointFit.FEWEST_POINTS
              + " test pressures or more, there are "
              + pressures,
          "Take more test pressures at this lift.");
    }
    if (points.stream().map(LiftPoint::range).distinct().count() > 1) {
      return notTold("the bench's range was changed within the sweep", "Sweep again on one range.");
    }
    if (points.stream().anyMatch(point -> valveMoves(test.plan(), point))) {
      return notTold(
          "the test pressure may have moved the valve", "Fit a stronger checking spring.");
    }
    LiftPoint lowest = points.get(0);
    double diameter = Math.sqrt(4 * lowest.effectiveAreaM2() / Math.PI);
    double velocity = velocity(lowest.testPressurePa(), density(test));
    if (velocity * diameter / KINEMATIC_VISCOSITY < LOW_REYNOLDS) {
      return notTold(
          "the Reynolds number at the lowest test pressure is below 10 000",
          "Sweep again at higher test pressures.");
    }
    return Optional.empty();
  }

  private static Optional<NotTold> notTold(String reason, String remedy) {
    return Optional.of(new NotTold(reason, remedy));
  }

  /** True when spring data say that the test pressure could move the valve at this point. */
  public static boolean valveMoves(Plan plan, LiftPoint point) {
    return forceTooMuchN(plan, point) > 0;
  }

  /**
   * By how much the forces that open the valve exceed what its spring holds [N], of the valve where
   * that is most; 0 where it holds, where the air shuts the valve, or where no spring is described.
   */
  static double forceTooMuchN(Plan plan, LiftPoint point) {
    if (plan.setUp().spring().isEmpty()) {
      return 0;
    }
    TestSetUp.Spring spring = plan.setUp().spring().get();
    double weight = spring.valveMassKg() * 9.80665;
    return plan.setUp().valveHeadsM().stream()
        .map(head -> ValveForce.of(head, point.testPressurePa(), plan.direction()))
        .filter(force -> force.openingN() > 0)
        .mapToDouble(
            force ->
                -force.marginN(
                    spring.seatLoadN(),
                    spring.rateNPerM(),
                    point.liftM(),
                    spring.indicatorForceN() + weight))
        .map(tooMuch -> Math.max(0, tooMuch))
        .max()
        .orElse(0);
  }

  private static Result judged(TestCurve test, SweepFit fit, List<Healthy> healthy) {
    OptionalDouble smallest = test.plan().setUp().smallestAreaM2();
    List<Estimate> sources = new ArrayList<>();
    smallest.ifPresent(area -> sources.add(Throat.of(fit::restAreaM2, area)));
    healthy.forEach(h -> sources.add(Throat.of(h.share, h.restAreaM2, fit::restAreaM2)));
    Optional<Estimate> known = Throat.agreed(sources);
    Estimate prior = known.orElse(Throat.ANY_PORT);
    double near = fit.share(prior).value();
    BreakpointFit breakpoint = fit.breakpoint(near, prior.standardUncertainty());
    double[] free = fit.offset(near, prior.value());
    BreakpointFit.Fit best = breakpoint.fit(free);
    if (best.statistic() > breakpoint.critical(FALSE_ALARM)) {
      return breaks(test, best, fit.highestLog());
    }
    double hidden = 1 - Math.exp(-breakpoint.couldHide(free));
    if (known.isPresent() && hidden < MATTERS) {
      return new Constant(hidden);
    }
    if (known.isPresent()) {
      return new NotTold(
          "a fall of " + InUnits.percent(hidden) + " could hide in these readings",
          "Average longer at each pressure, and take them up and down.");
    }
    return new NotTold(
        sources.isEmpty()
            ? "how much compressibility alone bends this port's coefficient is not known"
            : "smallest area and healthy lift do not agree on how compressibility bends the"
                + " coefficient",
        "Sweep a healthy lift as well, or give the port's smallest area in the plan.");
  }

  private static Breaks breaks(TestCurve test, BreakpointFit.Fit fit, double highest) {
    OptionalDouble area = test.plan().setUp().smallestAreaM2();
    Function<Double, OptionalDouble> velocityAt =
        logPressure ->
            area.isPresent() && test.room().isPresent()
                ? OptionalDouble.of(
                    Math.exp(fit.level() - fit.slope() * Math.max(0, logPressure - fit.at()))
                        * velocity(Math.exp(logPressure), density(test))
                        / area.getAsDouble())
                : OptionalDouble.empty();
    return new Breaks(
        Math.exp(fit.at()),
        Math.exp(fit.low()),
        Math.exp(fit.high()),
        1 - Math.exp(-fit.slope() * (highest - fit.at())),
        velocityAt.apply(fit.at()),
        velocityAt.apply(fit.low()),
        velocityAt.apply(fit.high()));
  }

  /** √(2Δp/ρ), m/s. */
  private static double velocity(double pressurePa, double density) {
    return Math.sqrt(2 * pressurePa / density);
  }

  private static double density(TestCurve test) {
    return test.room().map(TestCurve.Room::densityKgPerM3).orElse(1.2);
  }

  /** Whether the coefficient falls; empty when it cannot be told. */
  public Optional<Boolean> told() {
    return result.fold(
        constant -> Optional.of(false), breaks -> Optional.of(true), notTold -> Optional.empty());
  }

  /** What people need to read: a healthy lift that was only taken to compare says nothing. */
  public boolean worthTelling() {
    return !control || result instanceof Breaks;
  }
}
