package meniscus.core.lift;

import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.Random;
import java.util.function.DoubleUnaryOperator;
import java.util.stream.Stream;
import meniscus.core.bench.Repeatability;
import meniscus.core.flow.Direction;
import meniscus.core.quantity.Unit;
import meniscus.core.steadiness.Verdict;
import meniscus.core.time.Moment;
import meniscus.core.uncertainty.Contribution;
import meniscus.core.uncertainty.Contribution.Kind;

/**
 * An invented bench whose truth is known: flows of a port, plus what re-fixing, reading and the
 * calibration add.
 */
public final class InventedBench {

  /** Sizes of the errors, relative to flow. */
  public record Errors(double whole, double lift, double own, double repeat, double calibration) {

    /** Adapter placement 0.3 %, lift zero 0.01 mm, 0.1 % of each lift's own, readings 0.12 %. */
    public static final Errors USUAL = new Errors(0.003, 0.01e-3, 0.001, 0.0012, 0.008);

    /** Little that moves the whole curve, much that sticks to one lift or to the lift's zero. */
    public static final Errors ROUGH_LIFT = new Errors(0.001, 0.02e-3, 0.004, 0.0012, 0.008);
  }

  private final Random random;
  private final Errors errors;
  private final double calibrationError;
  private int runs;

  public InventedBench(long seed, Errors errors) {
    this.random = new Random(seed);
    this.errors = errors;
    this.calibrationError = random.nextGaussian();
  }

  /** A port that rises and flattens, 0.1 m³/s at most. */
  public static double flow(double liftM) {
    return 0.1 * Math.tanh(liftM / 6e-3);
  }

  public static List<Double> ladder() {
    List<Double> lifts = new ArrayList<>();
    for (int mm = 1; mm <= 12; mm++) {
      lifts.add(mm * 1e-3);
    }
    return lifts;
  }

  /** A test after the head was put on anew; {@code change} gives the flow's factor at a lift. */
  public TestCurve run(String name, Optional<Repeatability> stored, DoubleUnaryOperator change) {
    runs++;
    double whole = errors.whole * random.nextGaussian();
    double zero = errors.lift * random.nextGaussian();
    List<LiftPoint> points = new ArrayList<>();
    int rung = 0;
    for (double lift : ladder()) {
      rung++;
      double truth = flow(lift) * change.applyAsDouble(lift);
      double slope = (flow(lift + 1e-6) - flow(lift - 1e-6)) / 2e-6;
      double value =
          truth
                  * (1
                      + whole
                      + errors.own * random.nextGaussian()
                      + errors.repeat * random.nextGaussian()
                      + errors.calibration * calibrationError)
              + slope * zero;
      points.add(
          point(
              rung,
              lift,
              value,
              List.of(
                  new Contribution("reading", Kind.REPEAT, errors.repeat * value, 60, 1, ""),
                  new Contribution(
                      "calibration",
                      Kind.SYSTEMATIC,
                      errors.calibration,
                      50,
                      value,
                      "calibration A"))));
    }
    return new TestCurve(
        name + " " + runs,
        "bench A",
        "calibration A",
        stored,
        plan(ladder()),
        Optional.of(new TestCurve.Room(295, 100e3, 0.5, 1.18)),
        List.of(),
        points);
  }

  public static LiftPoint point(int rung, double lift, double flow, List<Contribution> budget) {
    return new LiftPoint(
        new LiftPoint.Taken(rung, 1, 1, Moment.ofSeconds(rung * 30), lift, Sweep.OPENING, "main"),
        new LiftPoint.Flow(
            flow / 100,
            flow,
            OptionalDouble.of(0.02 * flow),
            OptionalDouble.of(0.002 * flow),
            OptionalDouble.empty()),
        new LiftPoint.Setting(6974, true, OptionalDouble.empty(), OptionalDouble.empty()),
        new LiftPoint.Average(Verdict.STEADY, OptionalDouble.of(2), 20, 60, false),
        List.of(),
        budget);
  }

  public static Plan plan(List<Double> lifts) {
    List<Rung> ladder = new ArrayList<>();
    for (double lift : lifts) {
      ladder.add(new Rung(ladder.size() + 1, lift, Sweep.OPENING, OptionalDouble.empty(), false));
    }
    return new Plan(
        new Plan.Subject(
            new Plan.Part("head H1", "chamber 1", "port 1", "as cast", "job 7"),
            PortKind.INTAKE,
            List.of()),
        new TestSetUp(
            oneValve(0.035),
            OptionalDouble.of(700e-6),
            Optional.empty(),
            new TestSetUp.Fitted("radius", "bare", "none"),
            new TestSetUp.Indicator("retainer", OptionalDouble.empty())),
        new Plan.Aim(Direction.SUCTION, 6974, 0.05, ShortPressure.KEEP),
        ladder,
        new Plan.Keeping(0.02e-3, 0.002, 60),
        Optional.empty(),
        new Plan.Shown(
            new Plan.Units(Unit.MILLIMETRE, Unit.CUBIC_FOOT_PER_MINUTE, Unit.INCH_OF_WATER),
            new Plan.Reference(293.15, 101325, 0, 6974)));
  }

  /** One valve, its seat and spring unknown. */
  public static TestSetUp.Valves oneValve(double headM) {
    return new TestSetUp.Valves(1, 1, List.of(headM), Optional.empty(), Optional.empty());
  }

  /** Change notes that say what was done, and nothing more. */
  public static List<Plan.ChangeNote> notes(String... what) {
    return Stream.of(what)
        .map(done -> new Plan.ChangeNote(done, "", OptionalDouble.empty(), OptionalDouble.empty()))
        .toList();
  }

  /** The same test by another name, with other points. */
  public static TestCurve named(String name, TestCurve test, List<LiftPoint> points) {
    return new TestCurve(
        name,
        test.bench(),
        test.calibration(),
        test.repeatability(),
        test.plan(),
        test.room(),
        test.health(),
        points);
  }

  /** The same test of another part, after other changes. */
  public static TestCurve of(
      Plan.Part part, PortKind port, List<Plan.ChangeNote> changes, TestCurve test) {
    return new TestCurve(
        test.name(),
        test.bench(),
        test.calibration(),
        test.repeatability(),
        test.plan().with(new Plan.Subject(part, port, changes)),
        test.room(),
        test.health(),
        test.points());
  }
}
