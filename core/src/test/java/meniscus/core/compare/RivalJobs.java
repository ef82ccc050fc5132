package meniscus.core.compare;

import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.Random;
import meniscus.core.bench.Repeatability;
import meniscus.core.finding.SuspectPoints;
import meniscus.core.lift.LiftPoint;
import meniscus.core.lift.Plan;
import meniscus.core.lift.Rung;
import meniscus.core.lift.Sweep;
import meniscus.core.lift.TestCurve;
import meniscus.core.lift.TestSetUp;
import meniscus.core.steadiness.Verdict;
import meniscus.core.time.Moment;
import meniscus.core.uncertainty.Contribution;

/**
 * Made-up jobs whose truth is known: a port before and after one change, by equations that the
 * program does not have. Q ~ l/(1 + (l/0.33 in)³)^(1/3); each run with re-fixing, a lift zero set
 * by hand, a leak, and readings. Air: a first-order process seen for 20 s through a plenum, as a
 * series of numbers whose scatter is measured; two levels as a two-state chain within it. The
 * verdict `switching` is given where a likelihood of two levels would see it: jumps of twice the
 * scatter or more, twice or more in the reading. It is a rule of this generator, not the program's.
 */
final class RivalJobs {

  private static final double INCH = 0.0254;
  private static final double PLACEMENT = 0.003;
  private static final double OWN = 0.001;
  private static final double READING = 0.0015;
  private static final double SETTING_M = 0.004e-3;
  private static final double SECONDS = 20;
  private static final double STEP_S = 0.05;
  private static final double AIR_S = 0.12;
  private static final double CALM = 0.0025;

  /** What was really done. */
  enum Truth {
    NOTHING,
    GAIN_BELOW_AND_CHOKE,
    WET_SEAT,
    LIFT_ZERO,
    LEAK,
    /** The test pressure was read 6 % too high: 3 % less flow at every lift. */
    OTHER_TEST_PRESSURE,
    LOSS_WITH_ROUGH_AIR,
    LOSS_WITH_TWO_LEVELS,
    SEPARATION_WITHOUT_GAIN,
    LOSS_WITH_CALM_AIR,
    /** As LIFT_ZERO, but the dial was read on the seat before and after. */
    LIFT_ZERO_READ,
    /**
     * 5 % gained at 0.05 and 0.1 in; the dial read on the seat where its zero is said to be that
     * good.
     */
    SEAT_GAIN,
    /** As SEAT_GAIN, 3 %. */
    SMALL_SEAT_GAIN;

    boolean gainsAtTheSeat() {
      return this == SEAT_GAIN || this == SMALL_SEAT_GAIN;
    }
  }

  private final Random random;
  private final Truth truth;

  /** Wider than these jobs really scatter: about one bench in three has such luck with six. */
  private static final Repeatability STORED =
      new Repeatability(
          List.of(
              new Repeatability.Node(1.27e-3, 0.006),
              new Repeatability.Node(5e-3, 0.0035),
              new Repeatability.Node(15e-3, 0.0032)),
          0.8,
          5);

  private final double size;
  private final double onset;
  private final boolean also;
  private final double calibration;
  private final double liftZeroU;
  private boolean other;
  private Repeatability repeatability = STORED;

  /**
   * @param liftZeroU standard uncertainty of the lift zero that the plan says [m]
   */
  RivalJobs(long seed, Truth truth, double liftZeroU) {
    this.random = new Random(seed);
    this.truth = truth;
    this.liftZeroU = liftZeroU;
    size = 0.03 + 0.05 * random.nextDouble();
    onset = 0.45 + 0.05 * random.nextInt(3);
    also = random.nextBoolean();
    calibration = 0.008 * random.nextGaussian();
  }

  /** With a repeatability that this bench learned itself, from six fittings of the same head. */
  RivalJobs withSixFittings() {
    List<TestCurve> fittings = new ArrayList<>();
    for (int i = 0; i < 6; i++) {
      fittings.add(run("fitting " + i, false));
    }
    repeatability = learnedFrom(fittings);
    return this;
  }

  /** As a bench has it that was told of these fittings of one head and nothing else. */
  static Repeatability learnedFrom(List<TestCurve> fittings) {
    Repeatability own = LearnedRepeatability.of(fittings);
    return RepeatabilityOverBenches.of(
        List.of(
            new Repeatability.Series(
                "head",
                fittings.stream().map(TestCurve::name).toList(),
                Instant.EPOCH,
                1,
                own.nodes(),
                own.correlation(),
                own.degreesOfFreedom())));
  }

  Comparison compared() {
    return ReadAloud.compared(
        List.of(run("before", false)), List.of(run("after", true)), Question.PLAIN);
  }

  /** With the air going the other way as a control: a choke is there too, a short side is not. */
  Comparison controlled() {
    TestCurve before = run("before", false);
    TestCurve after = run("after", true);
    other = true;
    TestCurve otherBefore = blown(run("blown before", false));
    TestCurve otherAfter = blown(run("blown after", true));
    return Comparison.of(List.of(before), List.of(after), Question.PLAIN, otherBefore, otherAfter);
  }

  private static TestCurve blown(TestCurve test) {
    return new TestCurve(
        test.name(),
        test.bench(),
        test.calibration(),
        test.repeatability(),
        SuspectPoints.blowing(test.plan()),
        test.room(),
        test.health(),
        test.points());
  }

  private TestCurve run(String name, boolean after) {
    double whole = PLACEMENT * random.nextGaussian();
    double zeroM = SETTING_M * random.nextGaussian();
    if (after && (truth == Truth.LIFT_ZERO || truth == Truth.LIFT_ZERO_READ)) {
      zeroM += random.nextBoolean() ? 0.05e-3 : -0.05e-3;
    }
    boolean onTheSeat =
        truth == Truth.LIFT_ZERO_READ
            || truth.gainsAtTheSeat() && liftZeroU <= TestSetUp.LIFT_ZERO_READ_TWICE_M;
    double misread =
        onTheSeat ? TestSetUp.LIFT_ZERO_READ_TWICE_M * random.nextGaussian() : Double.NaN;
    double knownZeroM = zeroM - misread;
    double leak = 0.08 * random.nextGaussian() * CFM;
    if (after && truth == Truth.LEAK) {
      leak += (1 + 2 * random.nextDouble()) * CFM;
    }
    List<LiftPoint> points = new ArrayList<>();
    List<Rung> ladder = new ArrayList<>();
    for (int i = 1; i <= 12; i++) {
      double inches = 0.05 * i;
      double lift = inches * INCH;
      Air air = air(inches, after);
      double mean = flow(inches + zeroM / INCH) * change(inches, after) * (1 - air.lost);
      double value =
          (mean * (1 + whole + OWN * random.nextGaussian() + READING * random.nextGaussian())
                  + leak)
              * (1 + calibration);
      double slope = (flow(inches + 0.001) - flow(inches - 0.001)) / (0.002 * INCH);
      ladder.add(new Rung(i, lift, Sweep.OPENING, OptionalDouble.empty(), false));
      LiftPoint point =
          SuspectPoints.point(
              i,
              Moment.ofSeconds(40 * i),
              lift,
              value,
              28 * 249.08891,
              List.of(
                  new Contribution("reading", Contribution.Kind.REPEAT, READING * value, 60, 1, ""),
                  new Contribution(
                      "lift: zero", Contribution.Kind.SET_UP, liftZeroU, 1e9, slope, ""),
                  new Contribution("leaks", Contribution.Kind.SET_UP, 0.1 * CFM, 1e9, 1, ""),
                  new Contribution("plates", Contribution.Kind.SYSTEMATIC, 0.008, 50, value, "A")),
              air.switching ? Verdict.SWITCHING : Verdict.STEADY,
              air.scatter / CALM,
              SECONDS / (2 * AIR_S));
      points.add(
          onTheSeat
              ? point.withLift(OptionalDouble.of(lift + knownZeroM), OptionalDouble.empty())
              : point);
    }
    Plan plan = SuspectPoints.plan(ladder, OptionalDouble.of(1.3e-3));
    return new TestCurve(
        name,
        "bench",
        "A",
        Optional.of(repeatability),
        plan.with(plan.setUp().withLiftZeroM(liftZeroU)),
        Optional.of(new TestCurve.Room(295, 100e3, 0.5, 1.18)),
        List.of(),
        points);
  }

  private static final double CFM = 0.3048 * 0.3048 * 0.3048 / 60;

  /** [m³/s]; 250 cfm in the end. */
  private static double flow(double inches) {
    return 250 * CFM * inches / 0.33 / Math.cbrt(1 + Math.pow(inches / 0.33, 3));
  }

  /** The steady part of the change. */
  private double change(double inches, boolean after) {
    if (!after || other && truth != Truth.GAIN_BELOW_AND_CHOKE) {
      return 1;
    }
    boolean high = inches > onset - 0.01;
    return switch (truth) {
      case GAIN_BELOW_AND_CHOKE -> {
        double gained = flow(inches) * (1 + 0.04 * Math.max(0, 1 - inches / 0.35));
        // A section further on in series: its head adds, both going with the flow squared.
        double most = flow(0.6);
        double closes = 1 / Math.pow(1 - size, 2) - 1;
        yield gained / flow(inches) / Math.sqrt(1 + closes * Math.pow(gained / most, 2));
      }
      case WET_SEAT -> (inches < 0.16 ? 1 - size : 1) * (also && inches > 0.2 ? 1.02 : 1);
      case LOSS_WITH_ROUGH_AIR, LOSS_WITH_CALM_AIR ->
          (high ? 1 - size : 1) * (also && inches < 0.3 ? 1.03 : 1);
      case OTHER_TEST_PRESSURE -> Math.sqrt(0.94);
      case SEAT_GAIN -> inches < 0.14 ? 1.05 : 1;
      case SMALL_SEAT_GAIN -> inches < 0.14 ? 1.03 : 1;
      default -> 1;
    };
  }

  /** What one reading showed of the air. */
  private record Air(double scatter, double lost, boolean switching) {}

  private Air air(double inches, boolean after) {
    double rough = 0.006 * (0.8 + 0.4 * inches);
    boolean high = inches > onset - 0.01;
    double share = 0;
    double depth = 0;
    if (after && truth == Truth.LOSS_WITH_ROUGH_AIR && high) {
      rough *= 2;
    }
    if (after && truth == Truth.WET_SEAT && inches < 0.16) {
      rough *= 1.5 + random.nextDouble();
    }
    if (after && truth == Truth.LOSS_WITH_TWO_LEVELS && high) {
      share = 0.3 + 0.4 * random.nextDouble();
      depth = 2 * size;
    }
    if (after && truth == Truth.SEPARATION_WITHOUT_GAIN) {
      // Half of the time at the onset's flow, from 12 % to 88 % within 4 % of air speed.
      double speed = flow(inches) / flow(onset) * (1 + 0.5 * (inches - onset));
      share = 1 / (1 + Math.exp((1 - speed) / 0.02));
      depth = 0.08;
    }
    return seen(rough, share, depth);
  }

  /** A reading of 20 s: an autoregressive series, two levels with a dwell of half a second. */
  private Air seen(double rough, double share, double depth) {
    int steps = (int) (SECONDS / STEP_S);
    double memory = Math.exp(-STEP_S / AIR_S);
    double x = random.nextGaussian();
    boolean off = random.nextDouble() < share;
    double sum = 0;
    double squares = 0;
    double lost = 0;
    double plenum = 0;
    int jumps = 0;
    for (int i = 0; i < steps; i++) {
      x = memory * x + Math.sqrt(1 - memory * memory) * random.nextGaussian();
      double leave = STEP_S / 0.5 * (off ? 1 - share : share);
      if (random.nextDouble() < leave) {
        off = !off;
        jumps++;
      }
      plenum += ((off ? depth : 0) - plenum) * STEP_S / 0.15;
      double value = rough * x - plenum;
      sum += value;
      squares += value * value;
      lost += (off ? depth : 0) / steps;
    }
    double mean = sum / steps;
    double scatter = Math.sqrt(squares / steps - mean * mean);
    return new Air(scatter, lost, jumps >= 4 && depth > 2 * rough);
  }
}
