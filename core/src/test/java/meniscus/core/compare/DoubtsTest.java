package meniscus.core.compare;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.EnumSet;
import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.function.UnaryOperator;
import java.util.stream.Stream;
import meniscus.core.finding.Finding;
import meniscus.core.finding.Finding.Kind;
import meniscus.core.lift.InventedBench;
import meniscus.core.lift.LiftPoint;
import meniscus.core.lift.Plan;
import meniscus.core.lift.PortKind;
import meniscus.core.lift.TestCurve;
import meniscus.core.remark.Remark;
import meniscus.core.remark.RemarkText;
import meniscus.core.remark.RemarkTextTest;
import meniscus.core.steadiness.Verdict;
import org.junit.jupiter.api.Test;

/** What a comparison says about the two days and the part, beyond its table. */
class DoubtsTest {

  private static final TestCurve.Room COOL = new TestCurve.Room(291, 100e3, 0.5, 1.195);
  private static final TestCurve.Room WARM = new TestCurve.Room(301, 100e3, 0.5, 1.155);

  private final InventedBench bench = new InventedBench(3, InventedBench.Errors.USUAL);

  private TestCurve run(
      String name, TestCurve.Room room, List<String> health, UnaryOperator<LiftPoint> each) {
    TestCurve run = bench.run(name, Optional.empty(), lift -> 1);
    return new TestCurve(
        name,
        run.bench(),
        run.calibration(),
        run.repeatability(),
        run.plan(),
        Optional.of(room),
        health,
        run.points().stream().map(each).toList());
  }

  private TestCurve plain(String name, TestCurve.Room room) {
    return run(name, room, List.of(), UnaryOperator.identity());
  }

  private static Optional<Finding> found(Kind kind, TestCurve before, TestCurve after) {
    return ReadAloud.compared(List.of(before), List.of(after), Question.PLAIN).findings().stream()
        .filter(finding -> finding.kind() == kind)
        .findFirst()
        .map(
            finding -> {
              assertFalse(finding.evidence().isEmpty(), kind + " needs evidence");
              assertFalse(finding.nextStep().isBlank(), kind + " needs a next step");
              return finding;
            });
  }

  @Test
  void roomAirFarApartIsSaidWithHowFar() {
    Finding finding =
        found(Kind.ROOM_AIR_FAR_APART, plain("a", COOL), plain("b", WARM)).orElseThrow();
    assertTrue(finding.evidence().get(0).contains("10.0 K"), finding.toString());
    assertTrue(found(Kind.ROOM_AIR_FAR_APART, plain("a", COOL), plain("b", COOL)).isEmpty());
  }

  @Test
  void aBenchOutOfOrderOnEitherDayIsSaidOfThatDay() {
    TestCurve bad =
        run("monday", COOL, List.of("plate check of 40 mm was beyond its limit"), p -> p);
    assertTrue(
        found(Kind.BENCH_HEALTH, bad, plain("b", COOL))
            .orElseThrow()
            .sentence()
            .contains("monday"));
    assertTrue(found(Kind.BENCH_HEALTH, plain("a", COOL), bad).isPresent());
    assertTrue(found(Kind.BENCH_HEALTH, plain("a", COOL), plain("b", COOL)).isEmpty());
  }

  @Test
  void pointsOutsideTheCalibrationAreAFindingOfTheirOwn() {
    String remark =
        "the drop over the flow element, 40.0 Pa, lies outside the calibrated 100 to 4000 Pa:"
            + " extrapolated";
    TestCurve low = run("low", COOL, List.of(), p -> p.liftM() < 2.5e-3 ? remarked(p, remark) : p);
    Finding finding = found(Kind.OUTSIDE_THE_CALIBRATION, low, plain("b", COOL)).orElseThrow();
    assertEquals(List.of(1e-3, 2e-3), finding.liftsM());
    assertTrue(finding.evidence().get(0).contains("40.0 Pa"));
    assertTrue(found(Kind.POINTS_TO_DOUBT, low, plain("b", COOL)).isEmpty());
  }

  /** Each remark that the program makes, as it is read back from a folder. */
  @Test
  void aSoundPointThatCarriesADoubtIsNamedWithIt() {
    RemarkTextTest.WRITTEN.forEach(
        (sentence, remark) -> {
          TestCurve test =
              run("tuesday", COOL, List.of(), p -> p.liftM() < 1.5e-3 ? remarked(p, sentence) : p);
          Optional<Finding> doubt = found(Kind.POINTS_TO_DOUBT, test, plain("b", COOL));
          if (remark.weight() == Remark.Weight.DOUBT) {
            assertEquals(List.of(1e-3), doubt.orElseThrow().liftsM(), sentence);
            assertTrue(doubt.get().evidence().get(0).endsWith(sentence), doubt.toString());
          } else {
            assertTrue(doubt.isEmpty(), sentence);
          }
          assertEquals(
              remark.weight() == Remark.Weight.BEYOND_CALIBRATION,
              found(Kind.OUTSIDE_THE_CALIBRATION, test, plain("b", COOL)).isPresent(),
              sentence);
        });
  }

  /** What weighs and what does not, in the words of those who decided it. */
  @Test
  void whatMakesAValueLessSureThanItLooksIsADoubt() {
    assertEquals(
        EnumSet.of(
            Remark.Kind.AIR_MISSING,
            Remark.Kind.DROP_IN_THE_NOISE,
            Remark.Kind.BAROMETER,
            Remark.Kind.AIR_OUT_OF_RANGE),
        EnumSet.copyOf(
            Stream.of(Remark.Kind.values())
                .filter(kind -> kind.weight() == Remark.Weight.DOUBT)
                .toList()));
  }

  @Test
  void unsteadyAirIsNoDoubtWhereJumpsAre() {
    TestCurve rough = run("rough", COOL, List.of(), p -> called(p, Verdict.UNSTEADY));
    assertTrue(found(Kind.POINTS_TO_DOUBT, rough, plain("b", COOL)).isEmpty());
    TestCurve jumping = run("jumping", COOL, List.of(), p -> called(p, Verdict.SWITCHING));
    assertTrue(found(Kind.POINTS_TO_DOUBT, jumping, plain("b", COOL)).isPresent());
  }

  @Test
  void unequalTestPressuresAreSaidWithTheLifts() {
    TestCurve weak = run("weak", COOL, List.of(), p -> p.liftM() > 10.5e-3 ? short_(p) : p);
    assertEquals(
        List.of(11e-3, 12e-3),
        found(Kind.TEST_PRESSURES_DIFFER, plain("a", COOL), weak).orElseThrow().liftsM());
  }

  /** Whatever the note says: nobody knows from words alone where metal went. */
  @Test
  void metalTakenOffCallsForACautionThatNamesGuidesToo() {
    TestCurve before = plain("a", COOL);
    assertTrue(found(Kind.CAUTION, before, plain("b", COOL)).isEmpty());
    for (String what : List.of("opened the bowl", "cut the guide flush")) {
      Finding caution = found(Kind.CAUTION, before, changed(what)).orElseThrow();
      assertTrue(caution.nextStep().contains("qualified machinist"));
      assertTrue(caution.sentence().contains("shortened guide"));
    }
  }

  private TestCurve changed(String what) {
    Plan.ChangeNote note =
        new Plan.ChangeNote(what, "", OptionalDouble.empty(), OptionalDouble.empty());
    TestCurve test = plain("b", COOL);
    return InventedBench.of(test.plan().part(), PortKind.INTAKE, List.of(note), test);
  }

  private static LiftPoint remarked(LiftPoint p, String remark) {
    return with(p, p.pressureAsAsked(), p.verdict(), List.of(RemarkText.remark(remark)));
  }

  private static LiftPoint short_(LiftPoint p) {
    return with(p, false, p.verdict(), p.remarks());
  }

  private static LiftPoint called(LiftPoint p, Verdict verdict) {
    return with(p, p.pressureAsAsked(), verdict, p.remarks());
  }

  private static LiftPoint with(
      LiftPoint p, boolean pressureAsAsked, Verdict verdict, List<Remark> remarks) {
    LiftPoint.Setting set = p.setting();
    LiftPoint.Average average = p.average();
    return new LiftPoint(
        p.taken(),
        p.flow(),
        new LiftPoint.Setting(
            set.testPressurePa(), pressureAsAsked, set.liftReadM(), set.liftU95()),
        new LiftPoint.Average(
            verdict,
            average.unsteadiness(),
            average.seconds(),
            average.effectiveSamples(),
            average.byEye()),
        remarks,
        p.budget());
  }
}
