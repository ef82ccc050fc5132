package meniscus.core.compare;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.Random;
import java.util.function.DoubleConsumer;
import java.util.function.Function;
import meniscus.core.bench.Repeatability;
import meniscus.core.finding.Confirmation;
import meniscus.core.finding.SuspectPoints;
import meniscus.core.finding.SweptThroat;
import meniscus.core.lift.LiftPoint;
import meniscus.core.lift.Plan;
import meniscus.core.lift.Rung;
import meniscus.core.lift.Sweep;
import meniscus.core.lift.TestCurve;
import meniscus.core.lift.TestSetUp;
import meniscus.core.steadiness.CalmRecord;
import meniscus.core.steadiness.CalmRun;
import meniscus.core.steadiness.JudgeSettings;
import meniscus.core.steadiness.Judged;
import meniscus.core.steadiness.SignalJudge;
import meniscus.core.steadiness.Verdict;
import meniscus.core.time.Moment;
import meniscus.core.uncertainty.Contribution;

/**
 * Ports by other physics than the simulated bench's: no share of time in two levels, no threshold
 * with a logistic curve, no first-order plenum, no Gaussian air. Heads lost at curtain, turn and
 * port add (Borda and Carnot); air is a rain of bursts; plenum and gauge are one resonance of 1.6
 * Hz. Each reading is a series of 50 a second that the program's own judge sees, with a calm record
 * from plates on the same bench. All sizes are invented.
 */
final class StrangePorts {

  /** What was really done. */
  enum Truth {
    NOTHING,
    /** The turn's edge made sharp: a vena contracta that grows with the gap, at any air speed. */
    VENA_CONTRACTA,
    /**
     * The jet leaves the wall above one load, comes back below a lower one, and is calm in both.
     */
    HYSTERESIS,
    /** Bursts from the turn grow with air speed and take flow, with no jump anywhere. */
    GROWING_BURSTS,
    /** A section further on made smaller, with a rough wake: no matter of the short side. */
    ROUGH_CHOKE
  }

  private static final double INCH = 0.0254;
  private static final double FULL_PA = SweptThroat.FULL_PA;
  private static final double SMALLEST_M2 = 1.3e-3;
  private static final double PORT_M2 = 1.5e-3;
  private static final double STEP_S = 0.005;
  private static final int EACH = 4; // steps a reading: 50 a second
  private static final double SECONDS = 20;
  private static final double[] LIFTS_IN = {0.1, 0.2, 0.3, 0.4, 0.45, 0.5, 0.55, 0.6};
  private static final double CFM = 0.3048 * 0.3048 * 0.3048 / 60;
  private static final double ZERO_KNOWN_M = TestSetUp.LIFT_ZERO_READ_TWICE_M;
  private static final JudgeSettings SETTINGS =
      JudgeSettings.usual().withTarget(0.005).withCapSeconds(60).withCalm(plates());

  private static final Repeatability REPEATABILITY =
      new Repeatability(
          List.of(new Repeatability.Node(1.27e-3, 0.004), new Repeatability.Node(15e-3, 0.0033)),
          0.9,
          9);

  private final Random random;
  private final Truth truth;
  private final double size;
  private final double onset;
  private final boolean gainsBelow;
  private final boolean closing;
  private final double calibration;

  private Fitted fitted;

  /** Whether the jet has left the wall: remembered from reading to reading. */
  private boolean left;

  StrangePorts(long seed, Truth truth) {
    this.random = new Random(seed);
    this.truth = truth;
    size = 0.04 + 0.04 * random.nextDouble();
    onset = 0.40 + 0.05 * random.nextInt(3);
    gainsBelow = random.nextBoolean();
    closing = random.nextBoolean();
    calibration = 0.008 * random.nextGaussian();
  }

  /** The job as it is compared, and once more with the experiment appended where flow was lost. */
  record Told(
      Comparison plain, Optional<Comparison> confirmed, TestCurve before, TestCurve after) {}

  Told told(Function<Comparison, Optional<Double>> suspected) {
    TestCurve before = ladder("before", false);
    TestCurve after = ladder("after", true);
    Comparison plain = ReadAloud.compared(List.of(before), List.of(after), Question.PLAIN);
    Optional<TestCurve> more = suspected.apply(plain).map(lift -> confirmed(after, lift, plain));
    return new Told(
        plain,
        more.map(test -> ReadAloud.compared(List.of(before), List.of(test), Question.PLAIN)),
        before,
        more.orElse(after));
  }

  // ------------------------------------------------------------------ tests

  private TestCurve ladder(String name, boolean changed) {
    List<Rung> rungs = new ArrayList<>();
    for (double inches : LIFTS_IN) {
      rungs.add(rung(rungs.size() + 1, inches, Sweep.OPENING));
    }
    for (int i = LIFTS_IN.length - 2; closing && LIFTS_IN[i] >= 0.3; i--) {
      rungs.add(rung(rungs.size() + 1, LIFTS_IN[i], Sweep.CLOSING));
    }
    left = false;
    fitted =
        new Fitted(
            0.003 * random.nextGaussian(),
            6e-6 * random.nextGaussian(),
            0.05 * random.nextGaussian(),
            new HashMap<>());
    List<LiftPoint> points = new ArrayList<>();
    for (Rung rung : rungs) {
      points.add(point(rung, FULL_PA, changed));
    }
    return test(name, rungs, points);
  }

  private static Rung rung(int number, double inches, Sweep sweep) {
    return new Rung(number, inches * INCH, sweep, OptionalDouble.empty(), false);
  }

  /**
   * What putting the head on did: it stays so for the experiment too.
   *
   * @param whole whole curve [1]
   * @param zeroM dial [m]
   * @param leak [cfm]
   * @param own each lift's own [1]
   */
  private record Fitted(double whole, double zeroM, double leak, Map<Double, Double> own) {}

  private TestCurve confirmed(TestCurve after, double liftM, Comparison plain) {
    Confirmation experiment = Confirmation.of(after.plan(), liftM, plain.lifts(Outcome.LOSS));
    List<Rung> rungs = new ArrayList<>(after.plan().ladder());
    List<Rung> more = experiment.rungs(rungs.size() + 1);
    List<LiftPoint> points = new ArrayList<>(after.points());
    for (Rung rung : more) {
      double held = rung.testPressurePa().getAsDouble() * (1 + 0.004 * random.nextGaussian());
      points.add(point(rung, held, true));
    }
    rungs.addAll(more);
    return test("after", rungs, points);
  }

  private TestCurve test(String name, List<Rung> rungs, List<LiftPoint> points) {
    Plan plan = SuspectPoints.plan(rungs, OptionalDouble.of(SMALLEST_M2 * 1.02));
    return new TestCurve(
        name,
        "bench",
        "A",
        Optional.of(REPEATABILITY),
        plan.with(plan.setUp().withLiftZeroM(ZERO_KNOWN_M)),
        Optional.of(new TestCurve.Room(295, 100e3, 0.5, 1.18)),
        List.of(),
        points);
  }

  private LiftPoint point(Rung rung, double pressurePa, boolean changed) {
    double inches = rung.liftM() / INCH;
    double off = fitted.zeroM / INCH;
    double own = fitted.own.computeIfAbsent(rung.liftM(), lift -> 0.001 * random.nextGaussian());
    State state = state(inches + off, pressurePa, changed);
    Seen seen = rung.testPressurePa().isPresent() ? averaged(state) : judged(state);
    double area = SMALLEST_M2 * SweptThroat.reported(state.areaM2 / SMALLEST_M2, pressurePa);
    double perArea = 100; // as SuspectPoints has it
    double flow =
        (area * seen.mean * (1 + fitted.whole + own) * perArea + fitted.leak * CFM)
            * (1 + calibration);
    double slope =
        (area(inches + 0.001, changed) - area(inches - 0.001, changed)) / (0.002 * INCH) * perArea;
    LiftPoint point =
        SuspectPoints.point(
            rung.number(),
            Moment.ofSeconds(40 * rung.number()),
            rung.liftM(),
            flow,
            pressurePa,
            List.of(
                new Contribution(
                    "reading",
                    Contribution.Kind.REPEAT,
                    seen.standardError * flow,
                    seen.degreesOfFreedom,
                    1,
                    ""),
                new Contribution(
                    "lift: zero", Contribution.Kind.SET_UP, ZERO_KNOWN_M, 1e9, slope, ""),
                new Contribution("leaks", Contribution.Kind.SET_UP, 0.1 * CFM, 1e9, 1, ""),
                new Contribution("plates", Contribution.Kind.SYSTEMATIC, 0.008, 50, flow, "A")),
            seen.verdict,
            seen.unsteadiness,
            seen.effectiveSamples);
    return rung.sweep() == Sweep.CLOSING ? SuspectPoints.closing(point) : point;
  }

  // ------------------------------------------------------------------ physics

  /**
   * How the port is at one lift and pressure.
   *
   * @param areaM2 mean effective area in the limit of no pressure
   * @param rough size of its bursts over a healthy port's
   * @param bursts mean share of flow that one-sided bursts take
   */
  private record State(double areaM2, double rough, double bursts) {}

  private State state(double inches, double pressurePa, boolean changed) {
    double area = area(inches, changed);
    if (!changed) {
      return new State(area, 1, 0);
    }
    double load =
        area(inches, false)
            / area(onset, false)
            * (1 + 0.6 * (inches - onset))
            * Math.sqrt(pressurePa / FULL_PA);
    return switch (truth) {
      case HYSTERESIS -> {
        left = left ? load > 0.85 : load > 1;
        yield new State(area * (left ? 1 - size : 1), left ? 1.15 : 1, 0);
      }
      case GROWING_BURSTS -> {
        double s = Math.max(0, Math.min(1, (load - 0.85) / 0.45));
        double taken = size * s * s * (3 - 2 * s);
        yield new State(area * (1 - taken), 1, taken);
      }
      case ROUGH_CHOKE -> new State(area, 1 + 0.9 * Math.pow(area / area(0.6, false), 4), 0);
      default -> new State(area, 1, 0);
    };
  }

  /** What does not depend on air speed: heads over sections, each with the square of the flow. */
  private double area(double inches, boolean changed) {
    double curtain = 0.66 * Math.PI * 1.94 * INCH * inches * INCH;
    double heads = 1 / (curtain * curtain) + 1 / (PORT_M2 * PORT_M2);
    if (changed && truth == Truth.VENA_CONTRACTA && inches > onset - 0.1) {
      double gap = (inches - onset + 0.1) / 0.12;
      double contracted = 1 - 5.5 * size * (1 - Math.exp(-gap * gap));
      heads += Math.pow(1 / contracted - 1, 2) / (PORT_M2 * PORT_M2);
    }
    if (changed && truth == Truth.ROUGH_CHOKE) {
      double open = Math.pow(area(0.6, false), 2);
      heads += (1 / Math.pow(1 - size, 2) - 1) / open;
    }
    double gain =
        changed && gainsBelow && truth != Truth.NOTHING
            ? 1 + 0.04 * Math.max(0, 1 - inches / 0.35)
            : 1;
    return gain / Math.sqrt(heads);
  }

  // ------------------------------------------------------------------ readings

  /** What came of a reading. */
  private record Seen(
      double mean,
      double standardError,
      double degreesOfFreedom,
      Verdict verdict,
      double unsteadiness,
      double effectiveSamples) {}

  /**
   * How many of so many readings of a healthy port, each of its own fluctuation, hold their level.
   *
   * @param rough size of the port's bursts over a usual port's
   * @param halfWidths of the 95 % interval, added to
   */
  static int held(int readings, double rough, long seed, DoubleConsumer halfWidths) {
    Random random = new Random(seed);
    int held = 0;
    for (int k = 0; k < readings; k++) {
      Judged judged = judged(seen(rough, 0, SECONDS, random));
      double half = judged.u95().orElseThrow();
      halfWidths.accept(half);
      held += Math.abs(judged.mean().orElseThrow() - 1) <= half ? 1 : 0;
    }
    return held;
  }

  /** By the program's own judge. */
  private static Judged judged(double[] seen) {
    SignalJudge judge = new SignalJudge(SETTINGS);
    for (int i = 0; i < seen.length; i++) {
      judge.sample(i * EACH * STEP_S, seen[i]);
    }
    judge.finish();
    return judge.judged();
  }

  private Seen judged(State state) {
    Judged judged = judged(seen(state.rough, state.bursts, SECONDS, random));
    Judged.Average average = judged.average().orElseThrow();
    return new Seen(
        average.mean(),
        average.standardError(),
        average.degreesOfFreedom(),
        judged.verdict(),
        judged.unsteadiness().orElse(1),
        average.effectiveSamples());
  }

  /** For a sweep over pressure the mean is all that is asked, by eight pieces of five seconds. */
  private Seen averaged(State state) {
    int pieces = 8;
    double[] seen = seen(state.rough, state.bursts, 2 * SECONDS, random);
    double[] means = new double[pieces];
    for (int i = 0; i < seen.length; i++) {
      means[i * pieces / seen.length] += seen[i] * pieces / seen.length;
    }
    double mean = Arrays.stream(means).average().orElseThrow();
    double squares = Arrays.stream(means).map(m -> (m - mean) * (m - mean)).sum();
    return new Seen(
        mean, Math.sqrt(squares / (pieces - 1) / pieces), pieces - 1, Verdict.STEADY, 1, pieces);
  }

  /** Plates for a calm record: the blower, and what little a sharp edge does. */
  private static CalmRecord plates() {
    Random random = new Random(6060);
    List<CalmRun> runs = new ArrayList<>();
    for (int run = 0; run < 8; run++) {
      double[] values = seen(0.1, 0, 60, random);
      double[] seconds = new double[values.length];
      for (int i = 0; i < seconds.length; i++) {
        seconds[i] = i * EACH * STEP_S;
      }
      runs.add(CalmRun.of("plate " + run, seconds, values));
    }
    return CalmRecord.of(runs);
  }

  /**
   * A reading about 1.
   *
   * @param rough size of the port's bursts over a healthy port's
   * @param taken mean share that fast one-sided bursts take, already in the level
   */
  private static double[] seen(double rough, double taken, double seconds, Random random) {
    int steps = (int) Math.round(seconds / STEP_S);
    double[] seen = new double[steps / EACH];
    double slow = 0.001 * random.nextGaussian();
    double air = 0;
    double fast = 0;
    double level = 0;
    double speed = 0;
    double w = 2 * Math.PI * 1.6;
    int settle = (int) (3 / STEP_S);
    for (int i = -settle; i < steps; i++) {
      slow += STEP_S / 2.5 * -slow + 0.001 * Math.sqrt(2 * STEP_S / 2.5) * random.nextGaussian();
      air *= 1 - STEP_S / 0.05;
      if (random.nextDouble() < 12 * STEP_S) {
        air += 0.012 * rough * random.nextExponential() * (random.nextBoolean() ? 1 : -1);
      }
      fast *= 1 - STEP_S / 0.01;
      if (taken > 0 && random.nextDouble() < 150 * STEP_S) {
        fast += taken / 1.5 * random.nextExponential();
      }
      double drive = slow + air - (fast - taken);
      speed += STEP_S * (w * w * (drive - level) - 2 * 0.6 * w * speed);
      level += STEP_S * speed;
      if (i >= 0 && i % EACH == 0) {
        double value = 1 + level + 0.0004 * random.nextGaussian();
        seen[i / EACH] = Math.round(value / 2e-4) * 2e-4;
      }
    }
    return seen;
  }
}
