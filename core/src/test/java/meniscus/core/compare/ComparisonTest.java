package meniscus.core.compare;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.function.DoubleUnaryOperator;
import meniscus.core.bench.Repeatability;
import meniscus.core.finding.Finding;
import meniscus.core.finding.Finding.Kind;
import meniscus.core.lift.InventedBench;
import meniscus.core.lift.LiftPoint;
import meniscus.core.lift.Plan;
import meniscus.core.lift.TestCurve;
import meniscus.core.lift.TestSetUp;
import meniscus.core.steadiness.Verdict;
import meniscus.core.uncertainty.Contribution;
import org.junit.jupiter.api.Test;

class ComparisonTest {

  private static final Optional<Repeatability> KNOWN =
      Optional.of(new Repeatability(List.of(new Repeatability.Node(5e-3, 0.003)), 0.5, 40));

  /** No noise at all: what remains is what the budgets and the repeatability say. */
  private static final InventedBench EXACT =
      new InventedBench(1, new InventedBench.Errors(0, 0, 0, 0, 0));

  @Test
  void whatBothTestsShareCancels() {
    Comparison same = ReadAloud.compared(exact(KNOWN, 1.0), exact(KNOWN, 1.0), Question.PLAIN);
    List<TestCurve> other =
        exact(KNOWN, 1.0).stream().map(t -> of(t, "bench B", t.calibration())).toList();
    Comparison different = ReadAloud.compared(exact(KNOWN, 1.0), other, Question.PLAIN);
    double flow = InventedBench.flow(6e-3);
    // Hand arithmetic: √2 · 0.3 % re-fixing with the bench's 0.8 % cancelled, and not.
    double u = Math.sqrt(2) * 0.003 * flow;
    double ofTwoBenches = Math.sqrt(2 * (0.003 * 0.003 + 0.008 * 0.008)) * flow;
    assertEquals(u, at(same, 6).estimate().standardUncertainty(), 1e-9 * flow);
    assertEquals(ofTwoBenches, at(different, 6).estimate().standardUncertainty(), 1e-9 * flow);
    assertTrue(has(different, Kind.OTHER_BENCH_OR_CALIBRATION));
    assertFalse(has(same, Kind.OTHER_BENCH_OR_CALIBRATION));
    List<TestCurve> later =
        exact(KNOWN, 1.0).stream().map(t -> of(t, t.bench(), "calibration B")).toList();
    assertTrue(
        has(
            ReadAloud.compared(exact(KNOWN, 1.0), later, Question.PLAIN),
            Kind.OTHER_BENCH_OR_CALIBRATION));
  }

  @Test
  void aSharedErrorThatMovesFlowsUnequallyCancelsOnlyAsFarAsItIsShared() {
    Comparison c = ReadAloud.compared(exact(KNOWN, 1.0), exact(KNOWN, 1.05), Question.PLAIN);
    double flow = InventedBench.flow(6e-3);
    double refix = Math.hypot(0.003 * flow, 0.003 * 1.05 * flow);
    double left = 0.008 * 0.05 * flow;
    assertEquals(Math.hypot(refix, left), at(c, 6).estimate().standardUncertainty(), 1e-9 * flow);
  }

  @Test
  void setUpErrorsDoNotCancelThoughTheyBearTheSameName() {
    DoubleUnaryOperator none = lift -> 1;
    List<TestCurve> before = List.of(withSetUpError(EXACT.run("before", Optional.empty(), none)));
    List<TestCurve> after = List.of(withSetUpError(EXACT.run("after", Optional.empty(), none)));
    Comparison c = ReadAloud.compared(before, after, Question.PLAIN);
    double flow = InventedBench.flow(6e-3);
    assertEquals(
        Math.sqrt(2) * 0.01 * flow, at(c, 6).estimate().standardUncertainty(), 1e-9 * flow);
  }

  @Test
  void oneRunASideWithoutRepeatabilityCannotTellYet() {
    InventedBench bench = new InventedBench(7, InventedBench.Errors.USUAL);
    Comparison c =
        ReadAloud.compared(
            List.of(bench.run("before", Optional.empty(), lift -> 1)),
            List.of(bench.run("after", Optional.empty(), lift -> 1.05)),
            Question.PLAIN);
    for (LiftDifference lift : c.lifts()) {
      assertEquals(Outcome.CANNOT_TELL_YET, lift.outcome());
      assertTrue(lift.difference().estimate().u95() > 0);
      assertTrue(lift.difference().repeatsNeeded().orElseThrow() >= 1);
      assertFalse(lift.difference().scatterKnown());
    }
    String next = find(c, Kind.REPEATABILITY).orElseThrow().nextStep();
    assertTrue(next.contains("meniscus repeat") && next.contains("--from"), next);
  }

  @Test
  void aDropAtOneHighLiftComesOutAsALossThere() {
    InventedBench bench = new InventedBench(11, InventedBench.Errors.USUAL);
    DoubleUnaryOperator change = lift -> lift > 10.5e-3 && lift < 11.5e-3 ? 0.935 : 1;
    Comparison c =
        ReadAloud.compared(
            List.of(bench.run("before", KNOWN, lift -> 1)),
            List.of(bench.run("after", KNOWN, change)),
            Question.PLAIN);
    assertEquals(List.of(11e-3), c.lifts(Outcome.LOSS));
    assertTrue(has(c, Kind.TURNOVER));
  }

  @Test
  void gainBelowAndLossAboveWithRoughAirIsALikelyShortSide() {
    InventedBench bench = new InventedBench(12, InventedBench.Errors.USUAL);
    DoubleUnaryOperator change = lift -> lift < 5.5e-3 ? 1.04 : lift > 9.5e-3 ? 0.93 : 1;
    Comparison c =
        ReadAloud.compared(
            List.of(bench.run("before", KNOWN, lift -> 1)),
            List.of(rough(bench.run("after", KNOWN, change), 9.5e-3)),
            Question.PLAIN);
    Finding shortSide = find(c, Kind.LIKELY_SHORT_SIDE).orElseThrow();
    assertTrue(shortSide.sentence().contains("likely"));
    assertTrue(shortSide.evidence().size() >= 2);
    assertTrue(has(c, Kind.GAINED_BELOW_LOST_ABOVE));
    assertTrue(has(c, Kind.UNSTEADINESS));
  }

  /** A loss below is a matter of the seat, whatever is gained above it. */
  @Test
  void lossBelowAndGainAboveAreToldAsTheyAreAndAreNoShortSide() {
    InventedBench bench = new InventedBench(13, InventedBench.Errors.USUAL);
    DoubleUnaryOperator change = lift -> lift < 3.5e-3 ? 0.94 : lift > 8.5e-3 ? 1.05 : 1;
    Comparison c =
        ReadAloud.compared(
            List.of(bench.run("before", KNOWN, lift -> 1)),
            List.of(rough(bench.run("after", KNOWN, change), 9.5e-3)),
            Question.PLAIN);
    String sentence = find(c, Kind.LOST_BELOW_GAINED_ABOVE).orElseThrow().sentence();
    assertTrue(sentence.matches("Flow lost below, gained above: loss at .*, gain at .*"), sentence);
    Finding low = find(c, Kind.LOST_AT_LOW_LIFT).orElseThrow();
    assertTrue(low.sentence().contains("not the short side"), low.sentence());
    assertTrue(low.nextStep().contains("seat"), low.nextStep());
    for (Kind none :
        List.of(Kind.LIKELY_SHORT_SIDE, Kind.LOSES_AT_HIGH_LIFT, Kind.GAINED_BELOW_LOST_ABOVE)) {
      assertFalse(has(c, none), none.word());
    }
  }

  /** From 9 mm on the port rules (0.2 of a head of 45 mm), below 5.4 mm the seat does. */
  @Test
  void aLossThatGoesOnIntoOneAboveIsThatOneAndOnlyBelowItTheSeats() {
    assertFalse(has(lossFrom(6.5e-3), Kind.LOST_AT_LOW_LIFT), "joined");
    assertTrue(has(lossFrom(6.5e-3), Kind.LOSES_AT_HIGH_LIFT));
    Finding seat = find(lossFrom(2.5e-3), Kind.LOST_AT_LOW_LIFT).orElseThrow();
    assertTrue(
        seat.liftsM().stream().allMatch(lift -> lift > 2.5e-3 && lift < 5.4e-3),
        seat.liftsM().toString());
    DoubleUnaryOperator apart = lift -> lift < 3.5e-3 || lift > 8.5e-3 ? 0.93 : 1;
    Comparison both = changed(apart);
    assertTrue(has(both, Kind.LOST_AT_LOW_LIFT) && has(both, Kind.LOSES_AT_HIGH_LIFT));
  }

  private static Comparison lossFrom(double liftM) {
    return changed(lift -> lift > liftM ? 0.93 : 1);
  }

  private static Comparison changed(DoubleUnaryOperator change) {
    InventedBench bench = new InventedBench(14, InventedBench.Errors.USUAL);
    return Comparison.of(
        List.of(bench.run("before", KNOWN, lift -> 1)),
        List.of(bench.run("after", KNOWN, change)),
        Question.PLAIN);
  }

  @Test
  void unequalTestPressuresSayNothingOfTheShortSide() {
    InventedBench bench = new InventedBench(12, InventedBench.Errors.USUAL);
    DoubleUnaryOperator change = lift -> lift < 5.5e-3 ? 1.04 : lift > 9.5e-3 ? 0.93 : 1;
    Comparison c =
        ReadAloud.compared(
            List.of(bench.run("before", KNOWN, lift -> 1)),
            List.of(shortOfPressure(rough(bench.run("after", KNOWN, change), 9.5e-3))),
            Question.PLAIN);
    assertTrue(has(c, Kind.TEST_PRESSURES_DIFFER));
    assertFalse(has(c, Kind.LIKELY_SHORT_SIDE));
  }

  @Test
  void testsOfTwoPortsAreSaidToBeOfTwoPorts() {
    Plan.Part other = new Plan.Part("Heron head", "", "cylinder 2", "", "");
    List<TestCurve> after =
        exact(KNOWN, 1.1).stream()
            .map(test -> InventedBench.of(other, test.plan().port(), List.of(), test))
            .toList();
    Comparison c = ReadAloud.compared(exact(KNOWN, 1.0), after, Question.PLAIN);
    String evidence = find(c, Kind.PART_DIFFERS).orElseThrow().evidence().toString();
    assertTrue(evidence.contains("port: ") && evidence.contains(" and cylinder 2"), evidence);
  }

  @Test
  void anotherSetUpIsCannotTellYetUnlessSomeoneSaysWhyNot() {
    List<TestCurve> after = exact(KNOWN, 1.1).stream().map(ComparisonTest::bareEntry).toList();
    Comparison plain = ReadAloud.compared(exact(KNOWN, 1.0), after, Question.PLAIN);
    assertTrue(has(plain, Kind.SETUP_DIFFERS));
    assertTrue(plain.lifts(Outcome.GAIN).isEmpty());
    Question despite =
        new Question(OptionalDouble.empty(), 0.01, Optional.of("entries were shown alike"), false);
    Comparison overridden = ReadAloud.compared(exact(KNOWN, 1.0), after, despite);
    assertEquals(12, overridden.lifts(Outcome.GAIN).size());
    assertTrue(
        find(overridden, Kind.OVERRIDDEN)
            .orElseThrow()
            .evidence()
            .toString()
            .contains("entries were shown alike"));
  }

  @Test
  void equalFlowsAreNoRealChangeWithinTheSmallestDifferenceThatCanBeDecided() {
    Comparison c = ReadAloud.compared(exact(KNOWN, 1.0), exact(KNOWN, 1.0), Question.PLAIN);
    assertEquals(12, c.lifts(Outcome.NO_REAL_CHANGE).size());
    assertEquals(Outcome.NO_REAL_CHANGE, c.mean().outcome());
  }

  @Test
  void aMarginThatTheBenchCannotDecideCountsTheRepeats() {
    Question onePercent = new Question(OptionalDouble.of(0.01), 0.01, Optional.empty(), false);
    Comparison c = ReadAloud.compared(exact(KNOWN, 1.0), exact(KNOWN, 1.0), onePercent);
    assertEquals(Outcome.CANNOT_TELL_YET, at(c, 6).outcome());
    // Hand arithmetic: (t + t)·√(2/n)·0.3 % ≤ 1 % with t(1 - 0.05/26) ≈ 3.0, t(0.8) ≈ 0.85: n = 3.
    assertEquals(2, at(c, 6).repeatsNeeded().orElseThrow());
  }

  @Test
  void aSmallSureGainWithinTheAskedMarginIsNoRealChange() {
    Question twoPercent = new Question(OptionalDouble.of(0.02), 0.01, Optional.empty(), false);
    Optional<Repeatability> fine =
        Optional.of(new Repeatability(List.of(new Repeatability.Node(5e-3, 0.0005)), 0.5, 40));
    Comparison asked = ReadAloud.compared(exact(fine, 1.0), exact(fine, 1.01), twoPercent);
    Comparison plain = ReadAloud.compared(exact(fine, 1.0), exact(fine, 1.01), Question.PLAIN);
    assertEquals(Outcome.NO_REAL_CHANGE, at(asked, 6).outcome());
    assertEquals(Outcome.GAIN, at(plain, 6).outcome());
  }

  @Test
  void liftsThatOneSideLacksAreLeftOutOrInterpolated() {
    TestCurve after = without(EXACT.run("after", KNOWN, lift -> 1), 6e-3);
    List<TestCurve> before = exact(KNOWN, 1.0);
    Comparison common = ReadAloud.compared(before, List.of(after), Question.PLAIN);
    assertEquals(11, common.lifts().size());
    assertEquals(6e-3, common.left().get(0).liftM(), 1e-12);
    assertTrue(has(common, Kind.LIFTS_NOT_IN_COMMON));
    Question between = new Question(OptionalDouble.empty(), 0.01, Optional.empty(), true);
    Comparison c = ReadAloud.compared(before, List.of(after), between);
    assertEquals(12, c.lifts().size());
    assertTrue(c.lifts().get(5).interpolated());
    Difference d = at(c, 6);
    assertTrue(Math.abs(d.estimate().value()) < 2 * d.estimate().standardUncertainty());
    assertEquals(d.before(), d.after(), 0.003 * d.before());
  }

  @Test
  void flowsAreMovedFromTheLiftThatWasReadToTheLiftThatWasAsked() {
    List<TestCurve> off = List.of(readOffBy(EXACT, 0.05e-3));
    Comparison c = ReadAloud.compared(exact(KNOWN, 1.0), off, Question.PLAIN);
    for (int mm = 2; mm <= 11; mm++) {
      Difference d = at(c, mm);
      assertEquals(0, d.relative(), 0.002, mm + " mm");
    }
  }

  @Test
  void pointsThatAreNotToBeTrustedAreNotCompared() {
    TestCurve after = EXACT.run("after", KNOWN, lift -> 1);
    Comparison c =
        ReadAloud.compared(
            exact(KNOWN, 1.0), List.of(judged(after, 4e-3, Verdict.FAULTY)), Question.PLAIN);
    assertEquals(11, c.lifts().size());
    assertTrue(c.left().get(0).reason().contains("faulty"));
  }

  @Test
  void nothingInCommonIsRefusedInPlainWords() {
    TestCurve before = EXACT.run("before", KNOWN, lift -> 1);
    TestCurve after = before;
    for (double lift : InventedBench.ladder()) {
      after = without(after, lift);
    }
    List<TestCurve> empty = List.of(after);
    Exception e =
        assertThrows(
            IllegalArgumentException.class,
            () -> ReadAloud.compared(List.of(before), empty, Question.PLAIN));
    assertTrue(e.getMessage().contains("no lift in common"));
  }

  private static Difference at(Comparison c, int millimetres) {
    return c.lifts().stream()
        .filter(lift -> Math.abs(lift.liftM() - millimetres * 1e-3) < 1e-9)
        .findFirst()
        .orElseThrow()
        .difference();
  }

  private static boolean has(Comparison c, Kind kind) {
    return find(c, kind).isPresent();
  }

  private static Optional<Finding> find(Comparison c, Kind kind) {
    return c.findings().stream().filter(f -> f.kind() == kind).findFirst();
  }

  private static List<TestCurve> exact(Optional<Repeatability> known, double factor) {
    TestCurve test = EXACT.run("exact", known, lift -> factor);
    return List.of(
        mapped(
            test,
            p ->
                InventedBench.point(
                    p.rung(),
                    p.liftM(),
                    p.flowM3PerS(),
                    List.of(
                        new Contribution(
                            "calibration",
                            Contribution.Kind.SYSTEMATIC,
                            0.008,
                            50,
                            p.flowM3PerS(),
                            "calibration A")))));
  }

  private static TestCurve withSetUpError(TestCurve test) {
    return mapped(
        test,
        p ->
            InventedBench.point(
                p.rung(),
                p.liftM(),
                p.flowM3PerS(),
                List.of(
                    new Contribution(
                        "zero", Contribution.Kind.SET_UP, 0.01, 50, p.flowM3PerS(), "zero"))));
  }

  private static TestCurve rough(TestCurve test, double fromLift) {
    return mapped(
        test,
        p ->
            p.liftM() < fromLift
                ? p
                : changed(p, p.flowM3PerS(), true, Verdict.UNSTEADY, OptionalDouble.of(6)));
  }

  private static TestCurve shortOfPressure(TestCurve test) {
    return mapped(
        test,
        p ->
            p.liftM() < 9.5e-3
                ? p
                : changed(p, p.flowM3PerS(), false, p.verdict(), p.unsteadiness()));
  }

  private static TestCurve judged(TestCurve test, double lift, Verdict verdict) {
    return mapped(
        test,
        p ->
            Math.abs(p.liftM() - lift) > 1e-9
                ? p
                : changed(p, p.flowM3PerS(), true, verdict, p.unsteadiness()));
  }

  private static LiftPoint changed(
      LiftPoint p, double flow, boolean asAsked, Verdict verdict, OptionalDouble unsteadiness) {
    LiftPoint.Setting set = p.setting();
    LiftPoint.Average average = p.average();
    return new LiftPoint(
        p.taken(),
        new LiftPoint.Flow(
            p.effectiveAreaM2(), flow, p.flowU95(), p.flowRepeatU95(), p.flow().cdCurtain()),
        new LiftPoint.Setting(set.testPressurePa(), asAsked, set.liftReadM(), set.liftU95()),
        new LiftPoint.Average(
            verdict, unsteadiness, average.seconds(), average.effectiveSamples(), average.byEye()),
        p.remarks(),
        p.budget());
  }

  private static TestCurve readOffBy(InventedBench bench, double off) {
    TestCurve test =
        bench.run("off", KNOWN, lift -> InventedBench.flow(lift + off) / InventedBench.flow(lift));
    return mapped(
        test,
        p ->
            new LiftPoint(
                p.taken(),
                p.flow(),
                new LiftPoint.Setting(
                    p.testPressurePa(),
                    true,
                    OptionalDouble.of(p.liftM() + off),
                    OptionalDouble.of(0.01e-3)),
                p.average(),
                p.remarks(),
                p.budget()));
  }

  private static TestCurve without(TestCurve test, double lift) {
    List<LiftPoint> points = new ArrayList<>(test.points());
    points.removeIf(p -> Math.abs(p.liftM() - lift) < 1e-9);
    return with(test, test.bench(), test.calibration(), test.plan(), points);
  }

  private static TestCurve mapped(
      TestCurve test, java.util.function.UnaryOperator<LiftPoint> change) {
    return with(
        test,
        test.bench(),
        test.calibration(),
        test.plan(),
        test.points().stream().map(change).toList());
  }

  private static TestCurve of(TestCurve test, String bench, String calibration) {
    return with(test, bench, calibration, test.plan(), test.points());
  }

  private static TestCurve bareEntry(TestCurve test) {
    Plan p = test.plan();
    TestSetUp s = p.setUp();
    TestSetUp bare =
        new TestSetUp(
            s.valves(),
            s.smallestAreaM2(),
            s.adapter(),
            new TestSetUp.Fitted("bare", s.exit(), s.pluggedHoles()),
            s.indicator());
    return with(test, test.bench(), test.calibration(), p.with(bare), test.points());
  }

  private static TestCurve with(
      TestCurve test, String bench, String calibration, Plan plan, List<LiftPoint> points) {
    return new TestCurve(
        test.name(),
        bench,
        calibration,
        test.repeatability(),
        plan,
        test.room(),
        test.health(),
        points);
  }
}
