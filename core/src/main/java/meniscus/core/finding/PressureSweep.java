package meniscus.core.finding;

import java.util.ArrayList;
import java.util.Comparator;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.function.Function;
import meniscus.core.flow.ValveForce;
import meniscus.core.lift.LiftPoint;
import meniscus.core.lift.Plan;
import meniscus.core.lift.TestCurve;
import meniscus.core.uncertainty.Budget;

/**
 * One lift at several test pressures: does the flow coefficient stay the same, or does it fall
 * beyond some pressure, as it does when air lets go of the short side?
 *
 * <p>The coefficient is the effective area CdA, which has compressibility removed. The fit is ln
 * CdA against ln Δp, constant and then falling ({@link BreakpointFit}), with errors common to all
 * pressures cancelling through their shared ids. A breakpoint is named with a chance of 1 % when
 * there is none. What else could do the same is ruled out first: the valve moved by the test
 * pressure, a change of range within the sweep, a Reynolds number so low that the coefficient
 * depends on it.
 *
 * @param liftM of the sweep [m]
 * @param pressuresPa rising [Pa]
 * @param effectiveAreasM2 at these [m²]
 * @param result what comes of it
 */
public record PressureSweep(
    double liftM, List<Double> pressuresPa, List<Double> effectiveAreasM2, Result result) {

  /** Chance of a false breakpoint in a sweep. */
  public static final double FALSE_ALARM = 0.01;

  /** Below this a port's coefficient may still depend on it (common practice, no source). */
  private static final double LOW_REYNOLDS = 1e4;

  /** Kinematic viscosity of room air, near enough for a limit [m²/s]. */
  private static final double KINEMATIC_VISCOSITY = 1.5e-5;

  public PressureSweep {
    pressuresPa = List.copyOf(pressuresPa);
    effectiveAreasM2 = List.copyOf(effectiveAreasM2);
  }

  /** What comes of a pressure sweep. */
  public sealed interface Result {
    <T> T fold(
        Function<Constant, T> constant, Function<Breaks, T> breaks, Function<NotTold, T> notTold);
  }

  /** The coefficient does not fall within what can be seen. */
  public record Constant() implements Result {
    @Override
    public <T> T fold(
        Function<Constant, T> constant, Function<Breaks, T> breaks, Function<NotTold, T> notTold) {
      return constant.apply(this);
    }
  }

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
      implements Result {
    @Override
    public <T> T fold(
        Function<Constant, T> constant, Function<Breaks, T> breaks, Function<NotTold, T> notTold) {
      return breaks.apply(this);
    }
  }

  /**
   * The sweep says nothing of the short side.
   *
   * @param reason why
   */
  public record NotTold(String reason) implements Result {
    @Override
    public <T> T fold(
        Function<Constant, T> constant, Function<Breaks, T> breaks, Function<NotTold, T> notTold) {
      return notTold.apply(this);
    }
  }

  /** All pressure sweeps of a test: lifts with rungs that ask for a test pressure of their own. */
  public static List<PressureSweep> in(TestCurve test) {
    Map<Long, List<LiftPoint>> byLift = new LinkedHashMap<>();
    for (LiftPoint point : test.points()) {
      if (TestCurve.trusted(point)) {
        byLift
            .computeIfAbsent(
                Math.round(point.liftM() / TestCurve.SAME_LIFT_M), k -> new ArrayList<>())
            .add(point);
      }
    }
    List<PressureSweep> sweeps = new ArrayList<>();
    for (List<LiftPoint> points : byLift.values()) {
      if (points.stream().anyMatch(point -> ownPressure(test.plan(), point))) {
        sweeps.add(of(test, points));
      }
    }
    return sweeps;
  }

  private static boolean ownPressure(Plan plan, LiftPoint point) {
    return plan.ladder().stream()
        .anyMatch(r -> r.number() == point.rung() && r.testPressurePa().isPresent());
  }

  private static PressureSweep of(TestCurve test, List<LiftPoint> unsorted) {
    List<LiftPoint> points =
        unsorted.stream().sorted(Comparator.comparingDouble(LiftPoint::testPressurePa)).toList();
    Optional<String> other = otherwiseExplained(test, points);
    return new PressureSweep(
        points.get(0).liftM(),
        points.stream().map(LiftPoint::testPressurePa).toList(),
        points.stream().map(LiftPoint::effectiveAreaM2).toList(),
        other.isPresent() ? new NotTold(other.get()) : fitted(test, points));
  }

  /** What would make the coefficient change without any short side. */
  private static Optional<String> otherwiseExplained(TestCurve test, List<LiftPoint> points) {
    if (points.size() < BreakpointFit.FEWEST_POINTS) {
      return Optional.of(
          "it takes "
              + BreakpointFit.FEWEST_POINTS
              + " test pressures or more, there are "
              + points.size());
    }
    if (points.stream().map(LiftPoint::range).distinct().count() > 1) {
      return Optional.of("the bench's range was changed within the sweep");
    }
    if (points.stream().anyMatch(point -> valveMoves(test.plan(), point))) {
      return Optional.of("the test pressure may have moved the valve");
    }
    LiftPoint lowest = points.get(0);
    double diameter = Math.sqrt(4 * lowest.effectiveAreaM2() / Math.PI);
    double velocity = velocity(lowest.testPressurePa(), density(test));
    if (velocity * diameter / KINEMATIC_VISCOSITY < LOW_REYNOLDS) {
      return Optional.of("the Reynolds number at the lowest test pressure is below 10 000");
    }
    return Optional.empty();
  }

  /** True when spring data say that the test pressure could move the valve at this point. */
  public static boolean valveMoves(Plan plan, LiftPoint point) {
    if (plan.setUp().spring().isEmpty()) {
      return false;
    }
    Plan.Spring spring = plan.setUp().spring().get();
    double weight = spring.valveMassKg() * 9.80665;
    return plan.setUp().valveHeadsM().stream()
        .anyMatch(
            head ->
                moves(
                    ValveForce.of(head, point.testPressurePa(), plan.direction()),
                    spring,
                    point.liftM(),
                    spring.indicatorForceN() + weight));
  }

  private static boolean moves(
      ValveForce force, Plan.Spring spring, double liftM, double otherOpeningN) {
    return force.openingN() > 0
        && force.marginN(spring.seatLoadN(), spring.rateNPerM(), liftM, otherOpeningN) < 0;
  }

  private static Result fitted(TestCurve test, List<LiftPoint> points) {
    int size = points.size();
    double[] x = new double[size];
    double[] y = new double[size];
    double[][] covariance = new double[size][size];
    List<Budget> relative = new ArrayList<>();
    double degrees = Double.POSITIVE_INFINITY;
    for (int i = 0; i < size; i++) {
      LiftPoint point = points.get(i);
      x[i] = Math.log(point.testPressurePa()) + 1e-9 * i;
      y[i] = Math.log(point.effectiveAreaM2());
      Budget budget = TestCurve.budget(point).times(1 / point.flowM3PerS());
      relative.add(budget);
      degrees = Math.min(degrees, budget.repeat().effectiveDegreesOfFreedom());
    }
    for (int i = 0; i < size; i++) {
      for (int j = 0; j < size; j++) {
        double u = relative.get(i).standardUncertainty();
        covariance[i][j] =
            i == j ? Math.max(1e-14, u * u) : relative.get(i).covariance(relative.get(j));
      }
    }
    BreakpointFit hinge = new BreakpointFit(x, covariance, degrees);
    BreakpointFit.Fit fit = hinge.fit(y);
    return fit.statistic() > hinge.critical(FALSE_ALARM)
        ? breaks(test, fit, x[size - 1])
        : new Constant();
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

  /** In words. */
  public Finding finding(TestCurve test) {
    InUnits in = new InUnits(test.plan().units());
    String where = "Pressure sweep at " + in.lift(liftM) + ": ";
    String sentence =
        result.fold(
            constant -> where + "the flow coefficient stays the same, no breakpoint can be seen.",
            breaks ->
                where
                    + "beyond "
                    + in.pressure(breaks.atPa)
                    + " the flow coefficient falls, by "
                    + InUnits.percent(breaks.dropAtHighest)
                    + " at the highest test pressure.",
            notTold -> where + "nothing can be said, because " + notTold.reason + ".");
    String next =
        result.fold(
            constant -> "If the loss is at another lift, sweep the pressure there.",
            breaks ->
                "Sweep the pressure down again: a coefficient that comes back at a lower pressure"
                    + " than it left speaks for air that lets go.",
            notTold -> "Put that right and sweep again.");
    return new Finding(
        Finding.Kind.PRESSURE_SWEEP, sentence, evidence(in, test), next, List.of(liftM));
  }

  /** The breakpoint and its velocity with their intervals. */
  private List<String> evidence(InUnits in, TestCurve test) {
    List<String> evidence = new ArrayList<>();
    evidence.add(
        pressuresPa.size()
            + " test pressures from "
            + in.pressure(pressuresPa.get(0))
            + " to "
            + in.pressure(pressuresPa.get(pressuresPa.size() - 1)));
    if (result instanceof Breaks breaks) {
      evidence.add(
          "breakpoint between "
              + in.pressure(breaks.lowPa)
              + " and "
              + in.pressure(breaks.highPa)
              + " (95 %)");
      if (breaks.velocityMPerS.isPresent()) {
        evidence.add(
            "mean velocity there at the port's smallest area: "
                + InUnits.velocity(breaks.velocityMPerS.getAsDouble())
                + ", between "
                + InUnits.velocity(breaks.lowMPerS.orElseThrow())
                + " and "
                + InUnits.velocity(breaks.highMPerS.orElseThrow()));
      }
    }
    if (test.plan().setUp().spring().isEmpty()) {
      evidence.add(
          "the checking spring is not described: whether the test pressure moved the valve is not"
              + " known");
    }
    return evidence;
  }
}
