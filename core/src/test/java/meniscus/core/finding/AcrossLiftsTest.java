package meniscus.core.finding;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.Random;
import java.util.function.DoubleUnaryOperator;
import java.util.function.Predicate;
import meniscus.core.compare.ReadAloud;
import meniscus.core.finding.PressureSweep.Breaks;
import meniscus.core.finding.PressureSweep.Constant;
import meniscus.core.finding.PressureSweep.NotTold;
import meniscus.core.lift.InventedBench;
import meniscus.core.lift.LiftPoint;
import meniscus.core.lift.Plan;
import meniscus.core.lift.Rung;
import meniscus.core.lift.Sweep;
import meniscus.core.lift.TestCurve;
import meniscus.core.lift.TestSetUp;
import meniscus.core.uncertainty.Contribution;
import meniscus.core.uncertainty.Contribution.Kind;
import org.junit.jupiter.api.Tag;
import org.junit.jupiter.api.Test;

/**
 * Findings across the lifts of one test: what they find, and how often they find what is not there.
 * Every simulation prints its rate; the seeds here were used for nothing else.
 */
class AcrossLiftsTest {

  /** Relative repeat uncertainty of a flow: 0.25 % at 95 %. */
  private static final double REPEAT = 0.0025 / 1.96;

  private static final double PLATEAU = 0.09;

  @Test
  void aPlateauSeldomTurnsOver() {
    rate("turnover on a plateau of 5", 2000, 501, AcrossLiftsTest::plateau, 0.018);
  }

  @Test
  void aFallOfOnePercentAtTheLastLiftIsFound() {
    double found =
        share(500, 502, random -> Turnover.in(test(last(random, -0.01), List.of())).isPresent());
    assertTrue(found > 0.95, "found " + found);
  }

  @Test
  void anErrorThatAllRungsShareMakesNoTurnover() {
    List<LiftPoint> points = new ArrayList<>();
    for (int i = 0; i < 5; i++) {
      double flow = PLATEAU * (i == 4 ? 0.99 : 1);
      points.add(point(i, 8e-3 + i * 1e-3, flow, Sweep.OPENING, 6974, shared(flow, 0.05)));
    }
    Turnover turnover = Turnover.in(test(points, List.of())).orElseThrow();
    assertEquals(List.of(0.012), turnover.fallLiftsM());
    assertEquals(0.01 * PLATEAU, turnover.drop().value(), 1e-9);
  }

  @Test
  void sweepsThatAreAlikeSeldomDiffer() {
    rate("opening against closing, 10 lifts", 2000, 503, AcrossLiftsTest::sweeps, 0.018);
  }

  @Test
  void aClosingSweepThatFlowsLessIsFoundAndSaysSo() {
    TestCurve test = bothSweeps(new Random(504), lift -> lift > 8.5e-3 ? -0.01 : 0);
    SweepDifference found = SweepDifference.in(test).orElseThrow();
    ReadAloud.read(List.of(found.finding(test)));
    assertTrue(found.closingFlowsLess());
    assertFalse(found.differing().isEmpty());
  }

  /** Play of 0.03 mm lets the valve hang lower on the way back: no doing of the port. */
  @Test
  void whatTheLiftsUncertaintyExplainsIsNoDifferenceOfTheSweeps() {
    DoubleUnaryOperator play =
        lift -> InventedBench.flow(lift - 0.03e-3) / InventedBench.flow(lift) - 1;
    TestCurve unknown = bothSweeps(new Random(507), play, OptionalDouble.empty());
    TestCurve known = bothSweeps(new Random(507), play, OptionalDouble.of(0.05e-3));
    assertTrue(SweepDifference.in(unknown).isPresent());
    assertEquals(Optional.empty(), SweepDifference.in(known));
  }

  @Test
  void aConstantCoefficientSeldomBreaks() {
    double[] x = logs(5, 10, 15, 20, 25, 30, 35, 40);
    BreakpointFit hinge = new BreakpointFit(x, diagonal(x.length, 0.0015), 60);
    double critical = hinge.critical(PressureSweep.FALSE_ALARM);
    rate(
        "breakpoint in a constant coefficient",
        4000,
        505,
        random -> hinge.fit(noise(random, x.length, 0.0015)).statistic() > critical,
        0.0165);
  }

  @Test
  void aCoefficientThatFallsBeyondAPressureIsFoundThere() {
    TestCurve test = pressureSweep(new Random(506), 20, -0.05, false);
    PressureSweep sweep = PressureSweep.in(test).get(0);
    Breaks breaks = (Breaks) sweep.result();
    double truth = 20 * 249.08891;
    assertTrue(breaks.lowPa() <= truth * 1.1 && breaks.highPa() >= truth * 0.9, breaks.toString());
    assertTrue(breaks.velocityMPerS().isPresent());
    Finding said = ReadAloud.read(SweepWords.findings(test, List.of())).get(0);
    assertTrue(said.evidence().toString().contains("ft/s"));
  }

  @Test
  void aConstantCoefficientIsCalledSo() {
    TestCurve test = pressureSweep(new Random(507), 20, 0, false);
    PressureSweep sweep = PressureSweep.in(test).get(0);
    assertTrue(sweep.result() instanceof Constant);
    ReadAloud.read(SweepWords.findings(test, List.of()));
  }

  @Test
  void aChangeOfRangeWithinTheSweepSaysNothing() {
    TestCurve test = pressureSweep(new Random(508), 20, -0.05, true);
    NotTold told = (NotTold) PressureSweep.in(test).get(0).result();
    assertTrue(told.reason().contains("range"));
  }

  @Test
  void aSpringTooWeakForTheTestPressureSaysNothing() {
    TestCurve test = pressureSweep(new Random(509), 20, -0.05, false);
    TestCurve weak = with(test, new TestSetUp.Spring(1, 100, 0.1, 1));
    NotTold told = (NotTold) PressureSweep.in(weak).get(0).result();
    assertTrue(told.reason().contains("valve"));
  }

  @Test
  @Tag("bench")
  void tables() {
    rate("turnover on a plateau of 5", 20_000, 601, AcrossLiftsTest::plateau, 0.012);
    for (double drop : new double[] {-0.003, -0.005, -0.01}) {
      double found = share(4000, 602, r -> Turnover.in(test(last(r, drop), List.of())).isPresent());
      print("turnover found, last lift " + 100 * drop + " %", found);
    }
    rate("opening against closing, 10 lifts", 20_000, 603, AcrossLiftsTest::sweeps, 0.012);
    for (double less : new double[] {-0.003, -0.005, -0.01}) {
      double found =
          share(
              4000,
              604,
              r -> SweepDifference.in(bothSweeps(r, l -> l > 8.5e-3 ? less : 0)).isPresent());
      print("closing less by " + 100 * less + " % at 3 of 10 lifts, found", found);
    }
    for (int n : new int[] {5, 6, 7, 8, 9, 10, 12, 15}) {
      double[] x = new double[n];
      for (int i = 0; i < n; i++) {
        x[i] = Math.log(5 + 35.0 * i / (n - 1));
      }
      BreakpointFit hinge = new BreakpointFit(x, diagonal(n, 0.0015), 1e5);
      System.out.printf(
          Locale.ROOT,
          "critical value, %d pressures 5..40 inH2O: 5 %% %.2f, 1 %% %.2f%n",
          n,
          hinge.critical(0.05),
          hinge.critical(0.01));
      double critical = hinge.critical(0.01);
      rate(
          "breakpoint, none there, " + n + " pressures",
          20_000,
          605 + n,
          r -> hinge.fit(noise(r, n, 0.0015)).statistic() > critical,
          0.0125);
      for (double exponent : new double[] {-0.01, -0.02, -0.05}) {
        double found =
            share(
                4000,
                606,
                r -> hinge.fit(falling(r, x, Math.log(20), exponent)).statistic() > critical);
        print(n + " pressures, breaks at 20, exponent " + exponent + ", found", found);
      }
    }
  }

  private static boolean plateau(Random random) {
    return Turnover.in(test(last(random, 0), List.of())).isPresent();
  }

  private static boolean sweeps(Random random) {
    return SweepDifference.in(bothSweeps(random, lift -> 0)).isPresent();
  }

  private static List<LiftPoint> last(Random random, double drop) {
    List<LiftPoint> points = new ArrayList<>();
    for (int i = 0; i < 5; i++) {
      double flow = PLATEAU * (1 + (i == 4 ? drop : 0) + REPEAT * random.nextGaussian());
      points.add(point(i, 8e-3 + i * 1e-3, flow, Sweep.OPENING, 6974, shared(flow, 0.008)));
    }
    return points;
  }

  private static TestCurve bothSweeps(Random random, DoubleUnaryOperator change) {
    return bothSweeps(random, change, OptionalDouble.empty());
  }

  private static TestCurve bothSweeps(
      Random random, DoubleUnaryOperator change, OptionalDouble liftU95) {
    List<LiftPoint> points = new ArrayList<>();
    for (int i = 0; i < 10; i++) {
      double lift = 2e-3 + i * 1e-3;
      for (Sweep sweep : List.of(Sweep.OPENING, Sweep.CLOSING)) {
        double share = sweep == Sweep.CLOSING ? change.applyAsDouble(lift) : 0;
        double flow = InventedBench.flow(lift) * (1 + share + REPEAT * random.nextGaussian());
        points.add(
            point(points.size(), lift, flow, sweep, 6974, shared(flow, 0.008), "a", liftU95));
      }
    }
    return test(points, List.of());
  }

  private static TestCurve pressureSweep(
      Random random, double breakInH2O, double exponent, boolean rangeChanges) {
    List<LiftPoint> points = new ArrayList<>();
    List<Rung> ladder = new ArrayList<>();
    for (double inH2O = 5; inH2O <= 40; inH2O += 5) {
      double pressure = inH2O * 249.08891;
      double coefficient =
          Math.pow(Math.max(1, inH2O / breakInH2O), exponent)
              * (1 + 0.0008 * random.nextGaussian());
      int rung = points.size();
      points.add(
          point(
              rung,
              12e-3,
              PLATEAU * coefficient,
              Sweep.OPENING,
              pressure,
              shared(PLATEAU * coefficient, 0.008),
              rangeChanges && inH2O > 22 ? "b" : "a",
              OptionalDouble.empty()));
      ladder.add(new Rung(rung + 1, 12e-3, Sweep.OPENING, OptionalDouble.of(pressure), false));
    }
    return test(points, ladder);
  }

  private static double[] falling(Random random, double[] x, double at, double exponent) {
    double[] y = noise(random, x.length, 0.0015);
    for (int i = 0; i < y.length; i++) {
      y[i] += exponent * Math.max(0, x[i] - at);
    }
    return y;
  }

  private static double[] noise(Random random, int size, double u) {
    double[] y = new double[size];
    for (int i = 0; i < size; i++) {
      y[i] = u * random.nextGaussian();
    }
    return y;
  }

  private static double[] logs(double... pressures) {
    return java.util.Arrays.stream(pressures).map(Math::log).toArray();
  }

  private static double[][] diagonal(int size, double u) {
    double[][] covariance = new double[size][size];
    for (int i = 0; i < size; i++) {
      covariance[i][i] = u * u;
    }
    return covariance;
  }

  private static List<Contribution> shared(double flow, double calibration) {
    return List.of(
        new Contribution("fluctuation", Kind.REPEAT, REPEAT * flow, 60, 1, ""),
        new Contribution("calibration", Kind.SYSTEMATIC, calibration, 50, flow, "A"),
        new Contribution("zero of the gauge", Kind.SET_UP, 0.004, 50, flow, ""));
  }

  private static LiftPoint point(
      int index, double lift, double flow, Sweep sweep, double pressure, List<Contribution> b) {
    return point(index, lift, flow, sweep, pressure, b, "a", OptionalDouble.empty());
  }

  private static LiftPoint point(
      int index,
      double lift,
      double flow,
      Sweep sweep,
      double pressure,
      List<Contribution> budget,
      String range,
      OptionalDouble liftU95) {
    LiftPoint p = InventedBench.point(index + 1, lift, flow, budget);
    LiftPoint.Taken taken = p.taken();
    return new LiftPoint(
        new LiftPoint.Taken(taken.rung(), 1, 1, taken.keptAt(), taken.liftM(), sweep, range),
        p.flow(),
        new LiftPoint.Setting(pressure, true, p.setting().liftReadM(), liftU95),
        p.average(),
        List.of(),
        budget);
  }

  private static TestCurve test(List<LiftPoint> points, List<Rung> ladder) {
    Plan p = InventedBench.plan(InventedBench.ladder());
    return curve(points, ladder.isEmpty() ? p.ladder() : ladder, p.setUp().spring());
  }

  private static TestCurve with(TestCurve test, TestSetUp.Spring spring) {
    return curve(test.points(), test.plan().ladder(), Optional.of(spring));
  }

  private static TestCurve curve(
      List<LiftPoint> points, List<Rung> ladder, Optional<TestSetUp.Spring> spring) {
    Plan p = InventedBench.plan(InventedBench.ladder());
    TestSetUp s = p.setUp();
    TestSetUp.Valves v = s.valves();
    Plan plan =
        p.with(ladder)
            .with(
                new TestSetUp(
                    new TestSetUp.Valves(v.fitted(), v.opened(), v.headsM(), v.seat(), spring),
                    s.smallestAreaM2(),
                    s.adapter(),
                    s.fitted(),
                    s.indicator()));
    return new TestCurve(
        "test",
        "bench",
        "A",
        Optional.empty(),
        plan,
        Optional.of(new TestCurve.Room(295, 100e3, 0.5, 1.18)),
        List.of(),
        points);
  }

  private static void rate(
      String what, int trials, long seed, Predicate<Random> alarm, double limit) {
    double share = share(trials, seed, alarm);
    print(what + ", false in " + trials + " trials, seed " + seed, share);
    assertTrue(share <= limit, what + ": " + share + " with seed " + seed);
  }

  private static void print(String what, double share) {
    System.out.printf(Locale.ROOT, "%s: %.2f %%%n", what, 100 * share);
  }

  private static double share(int trials, long seed, Predicate<Random> found) {
    Random random = new Random(seed);
    int count = 0;
    for (int i = 0; i < trials; i++) {
      count += found.test(random) ? 1 : 0;
    }
    return (double) count / trials;
  }
}
