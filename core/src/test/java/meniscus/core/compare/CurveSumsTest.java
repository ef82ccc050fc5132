package meniscus.core.compare;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import java.util.function.DoubleUnaryOperator;
import meniscus.core.lift.InventedBench;
import meniscus.core.lift.LiftPoint;
import meniscus.core.lift.Plan;
import meniscus.core.lift.PortKind;
import meniscus.core.lift.TestCurve;
import meniscus.core.uncertainty.Contribution;
import meniscus.core.uncertainty.Contribution.Kind;
import org.junit.jupiter.api.Tag;
import org.junit.jupiter.api.Test;

/** One curve, or two, in a number: checked by calculus and by hand. */
@Tag("long")
class CurveSumsTest {

  private static final Plan.Part PART = new Plan.Part("H1", "", "port 1", "", "");

  /** Flow k·lift at 2, 4 … 10 mm, with a calibration error of 1 % and readings good to 0.5 %. */
  private static TestCurve test(PortKind kind, DoubleUnaryOperator flow) {
    List<LiftPoint> points = new ArrayList<>();
    List<Double> lifts = List.of(2e-3, 4e-3, 6e-3, 8e-3, 10e-3);
    for (double lift : lifts) {
      double value = flow.applyAsDouble(lift);
      points.add(
          InventedBench.point(
              points.size() + 1,
              lift,
              value,
              List.of(
                  new Contribution("reading", Kind.REPEAT, 0.005 * value, 60, 1, ""),
                  new Contribution("plate", Kind.SYSTEMATIC, 0.01, 50, value, "plate A"))));
    }
    TestCurve bare =
        new TestCurve(
            kind.word(),
            "bench A",
            "calibration A",
            Optional.empty(),
            InventedBench.plan(lifts),
            Optional.empty(),
            List.of(),
            points);
    return InventedBench.of(PART, kind, List.of(), bare);
  }

  private static CamFlow.Cam halfSine(double highestM, int steps) {
    double[] degrees = new double[steps + 1];
    double[] lifts = new double[steps + 1];
    for (int i = 0; i <= steps; i++) {
      degrees[i] = 240.0 * i / steps - 120;
      lifts[i] = Math.max(0, highestM * Math.sin(Math.PI * i / steps));
    }
    return new CamFlow.Cam(degrees, lifts);
  }

  @Test
  void throughAHalfSineAStraightCurveFlowsTwoOverPiOfItsHighest() {
    CamFlow through = CamFlow.of(test(PortKind.INTAKE, lift -> 10 * lift), halfSine(9e-3, 2400));
    assertEquals(0.09 * 2 / Math.PI, through.meanFlow().value(), 1e-6);
    assertEquals(240, through.openDegrees(), 1e-9);
    assertEquals(9e-3, through.highestLiftM());
    // The plate's error is one for all lifts; readings average out in part.
    double relative = through.meanFlow().standardUncertainty() / through.meanFlow().value();
    assertTrue(relative > 0.0100 && relative < 0.0112, "was " + relative);
  }

  @Test
  void aBentCurveCountsHowFarItBends() {
    DoubleUnaryOperator bent = lift -> 0.1 * Math.tanh(lift / 4e-3);
    CamFlow through = CamFlow.of(test(PortKind.INTAKE, bent), halfSine(10e-3, 2400));
    double exact = 0;
    for (int i = 0; i < 100_000; i++) {
      exact += bent.applyAsDouble(10e-3 * Math.sin(Math.PI * (i + 0.5) / 100_000)) / 100_000;
    }
    double error = through.meanFlow().value() - exact;
    assertTrue(Math.abs(error) < 2 * through.meanFlow().standardUncertainty());
    assertEquals(exact, through.meanFlow().value(), 0.02 * exact);
  }

  @Test
  void aCamBeyondTheTestOrOutOfOrderIsRefused() {
    TestCurve test = test(PortKind.INTAKE, lift -> 10 * lift);
    CamFlow.Cam high = halfSine(11e-3, 24);
    assertTrue(
        assertThrows(IllegalArgumentException.class, () -> CamFlow.of(test, high))
            .getMessage()
            .contains("11.00 mm"));
    assertThrows(
        IllegalArgumentException.class,
        () -> new CamFlow.Cam(new double[] {0, 10, 10}, new double[] {0, 1e-3, 0}));
    assertThrows(
        IllegalArgumentException.class,
        () -> new CamFlow.Cam(new double[] {0, 10, 20}, new double[] {0, 0, 0}));
    assertThrows(
        IllegalArgumentException.class,
        () -> new CamFlow.Cam(new double[] {0, 10, 20}, new double[] {0, -1e-3, 0}));
  }

  @Test
  void theRatioOfExhaustToIntakeLosesWhatBothShare() {
    FlowRatio ratio =
        FlowRatio.of(
            List.of(test(PortKind.EXHAUST, lift -> 7.5 * lift)),
            List.of(test(PortKind.INTAKE, lift -> 10 * lift)));
    assertEquals(0.75, ratio.ratio().value(), 1e-12);
    assertEquals(5, ratio.liftsM().size());
    // By hand: readings of 0.5 % at flows 2:4:6:8:10, both sides: 0.005·√(220)/30·√2 of the ratio.
    assertEquals(
        0.75 * 0.005 * Math.sqrt(220) / 30 * Math.sqrt(2),
        ratio.ratio().standardUncertainty(),
        1e-9);
  }

  @Test
  void thePortsOfAChamberAreAddedUp() {
    TestCurve exhaust = test(PortKind.EXHAUST, lift -> 3 * lift);
    TestCurve other = test(PortKind.EXHAUST, lift -> 4.5 * lift);
    TestCurve intake = test(PortKind.INTAKE, lift -> 6 * lift);
    TestCurve second = test(PortKind.INTAKE, lift -> 4 * lift);
    FlowRatio ratio = FlowRatio.of(List.of(exhaust, other), List.of(intake, second));
    assertEquals(0.75, ratio.ratio().value(), 1e-12);
    // By hand: readings of 0.5 %, all independent, 3² + 4.5² of 7.5² and 6² + 4² of 10².
    assertEquals(
        0.75 * 0.005 * Math.sqrt(220) / 30 * Math.sqrt(29.25 / 56.25 + 0.52),
        ratio.ratio().standardUncertainty(),
        1e-9);
  }

  @Test
  void twoIntakesHaveNoRatio() {
    List<TestCurve> intake = List.of(test(PortKind.INTAKE, lift -> 10 * lift));
    assertThrows(IllegalArgumentException.class, () -> FlowRatio.of(intake, intake));
    assertThrows(IllegalArgumentException.class, () -> FlowRatio.of(List.of(), intake));
  }

  /** A change of +6 % at no lift that falls evenly and is none at 7.3 mm. */
  private static Comparison changed(long seed, int runs) {
    InventedBench bench = new InventedBench(seed, InventedBench.Errors.USUAL);
    List<TestCurve> before = new ArrayList<>();
    List<TestCurve> after = new ArrayList<>();
    for (int i = 0; i < runs; i++) {
      before.add(bench.run("before", Optional.empty(), lift -> 1));
      after.add(bench.run("after", Optional.empty(), lift -> 1 + 0.06 * (1 - lift / 7.3e-3)));
    }
    return Comparison.of(before, after, Question.PLAIN);
  }

  @Test
  void theLiftWhereAGainTurnsToALossHasAnHonestInterval() {
    int found = 0;
    int covered = 0;
    double off = 0;
    for (int seed = 0; seed < 400; seed++) {
      Optional<GainTurnsToLoss> turns = GainTurnsToLoss.in(changed(7000 + seed, 4));
      if (turns.isPresent()) {
        found++;
        covered += turns.get().lowM() <= 7.3e-3 && turns.get().highM() >= 7.3e-3 ? 1 : 0;
        off += Math.abs(turns.get().liftM() - 7.3e-3) / 400;
        assertTrue(turns.get().lowM() <= turns.get().liftM(), "in order");
        assertTrue(turns.get().highM() >= turns.get().liftM(), "in order");
      }
    }
    System.out.printf(
        Locale.ROOT,
        "gain turns to loss: found %d of 400, interval holds the truth %d, mean error %.2f mm%n",
        found,
        covered,
        1e3 * off);
    assertTrue(found > 390, "found " + found);
    assertTrue(covered > 0.93 * found, covered + " of " + found);
    assertTrue(off < 0.3e-3, "mean error " + off);
  }

  @Test
  void aGainEverywhereTurnsToNoLoss() {
    InventedBench bench = new InventedBench(7, InventedBench.Errors.USUAL);
    List<TestCurve> before = new ArrayList<>();
    List<TestCurve> after = new ArrayList<>();
    for (int i = 0; i < 4; i++) {
      before.add(bench.run("before", Optional.empty(), lift -> 1));
      after.add(bench.run("after", Optional.empty(), lift -> 1.05));
    }
    assertEquals(
        Optional.empty(), GainTurnsToLoss.in(Comparison.of(before, after, Question.PLAIN)));
  }

  /** By hand: the highest flow through the smallest section, and the mean over the valve's area. */
  @Test
  void aCurveInNumbersIsWhatASlideRuleGives() {
    TestCurve curve = test(PortKind.INTAKE, lift -> 10 * lift);
    CurveSummary summary = CurveSummary.of(curve).orElseThrow();
    assertEquals(0.06, summary.meanFlow().value(), 1e-12);
    assertEquals(0.1, summary.highestFlow().value(), 1e-12);
    assertEquals(10e-3, summary.highestFlowLiftM());
    double head = curve.plan().setUp().valveHeadsM().get(0);
    assertEquals(0.06 / (Math.PI / 4 * head * head), summary.flowPerValveArea().value(), 1e-9);
    // Plate 1 % and reading 0.5 % of one lift: √(1² + 0.5²) %.
    assertEquals(0.1 * Math.hypot(0.01, 0.005), summary.highestFlow().standardUncertainty(), 1e-12);
    double smallest = curve.plan().setUp().smallestAreaM2().orElseThrow();
    // What goes through the section is what comes to it: v ρ/ρ0 = Q/A, with ρ/ρ0 from the energy
    // equation of still air, T = T0 − v²/(2 cp), and κ = 1.4 (dry air of 20 °C, cp 1005 J/(kg K)).
    double v = summary.velocityAtHighestFlow().orElseThrow().value();
    double thinner = Math.pow(1 - v * v / (2 * 1005 * 293.15), 2.5);
    assertEquals(0.1 / smallest, v * thinner, 1e-3 * v);
  }
}
