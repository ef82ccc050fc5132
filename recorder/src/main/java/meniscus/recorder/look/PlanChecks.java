package meniscus.recorder.look;

import java.math.BigDecimal;
import java.math.MathContext;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import meniscus.core.air.AirState;
import meniscus.core.bench.Bench;
import meniscus.core.bench.Calibration;
import meniscus.core.bench.FlowElement;
import meniscus.core.bench.PortFlow;
import meniscus.core.bench.Range;
import meniscus.core.bench.Source;
import meniscus.core.bench.Use;
import meniscus.core.lift.Plan;
import meniscus.core.lift.Rung;
import meniscus.core.quantity.Text;
import meniscus.core.quantity.Unit;
import meniscus.core.steadiness.JudgeSettings;
import meniscus.recorder.look.Check.Area;
import meniscus.recorder.look.Check.State;

/**
 * Whether a bench can do what a plan asks of it, by the numbers of both files alone. Flows that a
 * port will have are bracketed by its valve: wide, for nothing is known of the port itself.
 */
final class PlanChecks {

  /** Head diameters of valves that a flow bench sees [m]; our own choice: 10 to 120 mm. */
  private static final double SMALLEST_HEAD_M = 0.010;

  private static final double LARGEST_HEAD_M = 0.120;

  /** Highest lift over head diameter; common practice ends at 0.3 to 0.4, no source. */
  private static final double LOWEST_LIFT_RATIO = 0.05;

  private static final double HIGHEST_LIFT_RATIO = 0.6;

  /** Test pressures in use lie between 3 and 40 inH2O (common practice, no source) [Pa]. */
  private static final double LOWEST_PRESSURE_PA = 700;

  private static final double HIGHEST_PRESSURE_PA = 15_000;

  /**
   * Effective area over curtain area at low lift, and over the head's own area at high lift: from a
   * poor port to a very good one (our own choice, wider than ports that are known).
   */
  private static final double[] OF_CURTAIN = {0.35, 0.85};

  private static final double[] OF_HEAD = {0.20, 0.65};

  /** A drop below so many times its gauge's fixed error is not worth much; our own choice. */
  private static final double WORTH = 5;

  /** Steeper drops than this belong to no bench [Pa]. */
  private static final double STEEPEST_DROP_PA = 60_000;

  /** From one lift to the next by hand [s]; our own choice. */
  private static final double MOVING_SECONDS = 10;

  private static final MathContext THREE_DIGITS = new MathContext(3);

  private final Bench bench;
  private final Plan plan;
  private final Range range;
  private final Optional<Calibration> calibration;
  private final List<Check> checks = new ArrayList<>();

  private PlanChecks(Bench bench, Plan plan, Range range, Optional<Calibration> calibration) {
    this.bench = bench;
    this.plan = plan;
    this.range = range;
    this.calibration = calibration;
  }

  static List<Check> of(Bench bench, Plan plan, Range range, Optional<Calibration> calibration) {
    PlanChecks all = new PlanChecks(bench, plan, range, calibration);
    all.testPressure();
    all.lifts();
    all.valves();
    all.drops();
    all.time();
    return all.checks;
  }

  private void add(Area area, State state, String text) {
    checks.add(new Check(area, state, text));
  }

  private void testPressure() {
    double most = plan.ladder().stream().mapToDouble(plan::aimPa).max().orElseThrow();
    double least = plan.ladder().stream().mapToDouble(plan::aimPa).min().orElseThrow();
    if (least < LOWEST_PRESSURE_PA || most > HIGHEST_PRESSURE_PA) {
      add(
          Area.PLAN,
          State.DOUBT,
          "a test pressure of "
              + pressure(least < LOWEST_PRESSURE_PA ? least : most)
              + " is unusual: is its unit right?");
    }
    if (bench.channels().get(Use.TEST_PRESSURE) instanceof Source.Measured gauge) {
      double asked = most * (1 + plan.aimBand());
      reach(Use.TEST_PRESSURE.word(), gauge, asked, most, "ask for less, or take another gauge");
    }
  }

  /** Whether a gauge reaches a pressure with some room above it. */
  private void reach(
      String what, Source.Measured gauge, double withRoomPa, double wantedPa, String remedy) {
    double end = gauge.inverted() ? -gauge.lowSi() : gauge.highSi();
    if (wantedPa >= end) {
      add(
          Area.RANGES,
          State.FAULT,
          pressure(wantedPa)
              + " are asked of "
              + what
              + ", but its gauge "
              + gauge.key()
              + " ends at "
              + pressure(end)
              + ": "
              + remedy);
    } else if (withRoomPa >= end) {
      add(
          Area.RANGES,
          State.DOUBT,
          what
              + " may reach "
              + pressure(withRoomPa)
              + ", where its gauge "
              + gauge.key()
              + " ends ("
              + pressure(end)
              + "): "
              + remedy);
    } else {
      add(
          Area.RANGES,
          State.GOOD,
          gauge.key()
              + " reaches "
              + pressure(end)
              + ", "
              + pressure(wantedPa)
              + " are asked of "
              + what);
    }
  }

  private void lifts() {
    double highest = highestLift();
    double step = Double.POSITIVE_INFINITY;
    for (int i = 1; i < plan.ladder().size(); i++) {
      double apart = Math.abs(plan.ladder().get(i).liftM() - plan.ladder().get(i - 1).liftM());
      step = apart > 0 ? Math.min(step, apart) : step;
    }
    if (plan.toleranceM() > step / 2) {
      add(
          Area.PLAN,
          State.DOUBT,
          "the lifts lie "
              + lift(step)
              + " apart, the tolerance is "
              + lift(plan.toleranceM())
              + ": two neighbours cannot be told apart");
    }
    if (bench.channels().get(Use.LIFT) instanceof Source.Measured gauge) {
      if (highest >= gauge.highSi()) {
        add(
            Area.RANGES,
            State.FAULT,
            "a lift of "
                + lift(highest)
                + " is asked, but "
                + gauge.key()
                + " ends at "
                + lift(gauge.highSi()));
      } else {
        add(
            Area.RANGES,
            State.GOOD,
            gauge.key() + " reaches " + lift(gauge.highSi()) + ", " + lift(highest) + " are asked");
      }
      if (gauge.accuracy().quantumSi() > plan.toleranceM()) {
        add(
            Area.PLAN,
            State.DOUBT,
            "the tolerance of "
                + lift(plan.toleranceM())
                + " is finer than a step of "
                + gauge.key()
                + ", "
                + lift(gauge.accuracy().quantumSi()));
      }
    }
  }

  private void valves() {
    double highest = highestLift();
    for (double head : plan.setUp().valveHeadsM()) {
      if (head < SMALLEST_HEAD_M || head > LARGEST_HEAD_M) {
        add(
            Area.PLAN,
            State.DOUBT,
            "a valve of "
                + lift(head)
                + " ("
                + millimetres(head)
                + ") is hardly meant: mm for in, or in for mm?");
        return;
      }
      double ratio = highest / head;
      if (ratio < LOWEST_LIFT_RATIO || ratio > HIGHEST_LIFT_RATIO) {
        add(
            Area.PLAN,
            State.DOUBT,
            Text.of(
                "the highest lift, %s, is %.2g of the valve's head (%s): mm for in, or in for mm?",
                lift(highest), ratio, lift(head)));
      }
    }
  }

  /** The drops over the flow element that such a valve makes, against gauge and calibration. */
  private void drops() {
    FlowElement element =
        calibration.<FlowElement>map(Calibration::element).orElse(range.element());
    double lowest = Double.POSITIVE_INFINITY;
    double highestLow = 0;
    double highest = 0;
    for (Rung rung : plan.ladder()) {
      if (rung.liftM() > 0) {
        lowest = Math.min(lowest, drop(element, rung, 0));
        highestLow = Math.max(highestLow, drop(element, rung, 0));
        highest = Math.max(highest, drop(element, rung, 1));
      }
    }
    if (highest == 0) {
      return;
    }
    Source.Measured gauge = range.drop();
    String what = "the drop over " + range.name();
    reach(what, gauge, highest, highestLow, "take a larger range");
    double fixed = Math.max(gauge.accuracy().absoluteSi(), gauge.accuracy().quantumSi());
    if (lowest < WORTH * fixed) {
      add(
          Area.RANGES,
          State.DOUBT,
          what
              + " may be no more than "
              + pressure(lowest)
              + " at the lowest lift; its gauge errs by "
              + pressure(fixed)
              + ": a smaller range tells more there");
    }
    covered(lowest, highest);
  }

  private void covered(double lowest, double highest) {
    String of = plan.direction().word() + ", range " + range.name();
    if (calibration.isEmpty()) {
      add(
          Area.CALIBRATION,
          State.DOUBT,
          "there is no calibration for "
              + of
              + ": flows rest on what is stated of the element; take one with calibrate");
      return;
    }
    double low = calibration.get().element().lowestDropPa();
    double high = calibration.get().element().highestDropPa();
    boolean covers = lowest >= low && highest <= high;
    add(
        Area.CALIBRATION,
        covers ? State.GOOD : State.DOUBT,
        "the calibration for "
            + of
            + " goes from "
            + pressure(low)
            + " to "
            + pressure(high)
            + "; "
            + pressure(lowest)
            + " to "
            + pressure(highest)
            + " may be met"
            + (covers ? "" : ": points outside are marked, a plate there would widen it"));
  }

  /**
   * The drop that makes a rung's flow pass the element [Pa].
   *
   * @param end 0 for a poor port, 1 for a very good one
   */
  private double drop(FlowElement element, Rung rung, int end) {
    double heads =
        plan.setUp().valveHeadsM().stream().mapToDouble(head -> Math.PI / 4 * head * head).sum();
    double area =
        Math.min(OF_CURTAIN[end] * plan.setUp().curtainAreaM2(rung.liftM()), OF_HEAD[end] * heads);
    double aim = plan.aimPa(rung);
    PortFlow flow =
        new PortFlow(element, bench.layout(), plan.direction(), Optional.empty(), Optional.empty());
    PortFlow.Surroundings air =
        flow.surroundings(room(), OptionalDouble.empty(), OptionalDouble.empty());
    double low = 0;
    double high = STEEPEST_DROP_PA;
    for (int i = 0; i < 60; i++) {
      double middle = (low + high) / 2;
      double reached = flow.effectiveArea(flow.massFlow(middle, aim, 0, air), aim, air);
      if (reached < area) {
        low = middle;
      } else {
        high = middle;
      }
    }
    return high;
  }

  private AirState room() {
    return new AirState(
        typed(Use.ROOM_TEMPERATURE, 293.15),
        bench.site().stationPa(typed(Use.ROOM_PRESSURE, 101_325)),
        0.5);
  }

  private double typed(Use use, double otherwise) {
    Source source = bench.channels().get(use);
    return source instanceof Source.Typed typed ? typed.valueSi() : otherwise;
  }

  private void time() {
    int rungs = plan.ladder().size();
    double quick = JudgeSettings.usual().stabilitySeconds() + MOVING_SECONDS;
    double slow = Math.max(quick, plan.longestSeconds() + MOVING_SECONDS);
    add(
        Area.TIME,
        State.GOOD,
        Text.of(
            "%d lifts: about %.0f min in steady air (%.0f s a lift), %.0f min if each takes its longest",
            rungs, Math.ceil(rungs * quick / 60), quick, Math.ceil(rungs * slow / 60)));
  }

  private double highestLift() {
    return plan.ladder().stream().mapToDouble(Rung::liftM).max().orElseThrow();
  }

  private String pressure(double pa) {
    return shown(pa, plan.units().pressure());
  }

  private String lift(double metres) {
    return shown(metres, plan.units().lift());
  }

  private static String millimetres(double metres) {
    return shown(metres, Unit.MILLIMETRE);
  }

  /** Three digits, as nobody needs more to see what is meant. */
  static String shown(double si, Unit unit) {
    double number = unit.fromSi(si);
    return new BigDecimal(number).round(THREE_DIGITS).stripTrailingZeros().toPlainString()
        + " "
        + unit.symbol();
  }
}
