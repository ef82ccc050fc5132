package meniscus.core.finding;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.Random;
import meniscus.core.finding.Cause.Answer;
import meniscus.core.finding.Finding.Kind;
import meniscus.core.lift.LiftPoint;
import meniscus.core.lift.Rung;
import meniscus.core.lift.Sweep;
import meniscus.core.lift.TestCurve;
import meniscus.core.steadiness.Verdict;
import meniscus.core.time.Moment;
import meniscus.core.uncertainty.Contribution;
import org.junit.jupiter.api.Tag;
import org.junit.jupiter.api.Test;

/**
 * The suspected lift with the air going the other way, on made-up ports whose truth is known both
 * ways: flow after NACA Report 1135 through a throat, as in {@link SweptThroat}.
 */
class OtherWayControlTest {

  private static final double[] LIFTS_MM = {4, 6, 8, 10, 12, 14};
  private static final double FULL_PA = SweptThroat.FULL_PA;
  private static final double ROOM_PA = 100_000;
  private static final double SMALLEST_M2 = 1.2e-3;

  /** What a point is good to. */
  private static final double POINT_U = 0.003;

  /**
   * A port.
   *
   * @param stalls share lost at the highest lift and test pressure, drawn alone: it sets in at a
   *     quarter of that pressure
   * @param narrows share lost at the highest lift both ways, at every test pressure
   * @param rough the air there is rougher
   */
  private record Port(double stalls, double narrows, boolean rough) {
    double area(double liftM, double pressurePa, boolean drawn) {
      double open = 1.25 * SMALLEST_M2 * (1 - Math.exp(-liftM / 4e-3));
      boolean highest = liftM > 13e-3;
      double load = Math.log(4 * pressurePa / FULL_PA) / Math.log(4);
      double lost = highest ? narrows + (drawn ? stalls * Math.max(0, load) : 0) : 0;
      double ratio = open * (1 - narrows * (highest ? 1 : 0)) / SMALLEST_M2;
      return open
          * (1 - lost)
          * SweptThroat.reported(ratio, pressurePa, ROOM_PA + (drawn ? 0 : pressurePa))
          / SweptThroat.reported(ratio, 1, ROOM_PA);
    }
  }

  /**
   * @param swept whether the test pressure was swept there
   * @param turned whether the control was taken
   */
  private static TestCurve test(Random random, Port port, boolean swept, boolean turned) {
    List<Rung> ladder = new ArrayList<>();
    List<LiftPoint> points = new ArrayList<>();
    for (double mm : LIFTS_MM) {
      add(
          ladder,
          points,
          random,
          port,
          new Rung(ladder.size() + 1, mm * 1e-3, Sweep.OPENING, OptionalDouble.empty(), false));
    }
    Confirmation led =
        new Confirmation(
            14e-3,
            OptionalDouble.of(10e-3),
            Confirmation.of(SuspectPoints.plan(ladder, OptionalDouble.empty()), 14e-3, List.of())
                .pressuresPa(),
            turned ? OptionalDouble.of(12e-3) : OptionalDouble.empty());
    for (Rung rung : led.rungs(ladder.size() + 1)) {
      if (swept || !rung.sweep().plansWay()) {
        add(ladder, points, random, port, rung);
      }
    }
    return new TestCurve(
        "made up",
        "bench",
        "A",
        Optional.empty(),
        SuspectPoints.plan(ladder, OptionalDouble.of(SMALLEST_M2)),
        Optional.of(new TestCurve.Room(295, ROOM_PA, 0.5, 1.18)),
        List.of(),
        points);
  }

  private static void add(
      List<Rung> ladder, List<LiftPoint> points, Random random, Port port, Rung rung) {
    ladder.add(rung);
    double pressure = rung.testPressurePa().orElse(FULL_PA);
    double area = port.area(rung.liftM(), pressure, rung.sweep().plansWay());
    double flow = 100 * area * (1 + POINT_U * random.nextGaussian());
    boolean rough = port.rough && rung.liftM() > 13e-3;
    points.add(
        SuspectPoints.of(
            rung.sweep(),
            SuspectPoints.point(
                rung.number(),
                Moment.ofSeconds(25.0 * rung.number()),
                rung.liftM(),
                flow,
                pressure,
                List.of(
                    new Contribution("air", Contribution.Kind.REPEAT, POINT_U * flow, 30, 1, "")),
                rough ? Verdict.UNSTEADY : Verdict.STEADY,
                rough ? 6 : 2,
                60)));
  }

  private static final Port STALLS = new Port(0.06, 0, false);
  private static final Port SHROUDED = new Port(0, 0.06, true);

  @Test
  void aLossThatIsNotThereTheOtherWayMakesAShortSideLikely() {
    TestCurve without = test(new Random(8301), STALLS, false, false);
    assertEquals(Kind.LOSES_AT_HIGH_LIFT, SignSearch.in(without).orElseThrow().kind());
    TestCurve with = test(new Random(8301), STALLS, false, true);
    Finding found = SignSearch.in(with).orElseThrow();
    assertEquals(Kind.LIKELY_SHORT_SIDE, found.kind());
    assertTrue(found.sentence().contains("the other way it does not show"), found.sentence());
  }

  @Test
  void aLossThatIsThereBothWaysTakesTheSuspicionBackThoughTheAirIsRough() {
    TestCurve without = test(new Random(8302), SHROUDED, false, false);
    assertEquals(Kind.LIKELY_SHORT_SIDE, SignSearch.in(without).orElseThrow().kind());
    TestCurve with = test(new Random(8302), SHROUDED, false, true);
    Finding found = SignSearch.in(with).orElseThrow();
    assertEquals(Kind.LOSES_AT_HIGH_LIFT, found.kind());
    assertTrue(found.sentence().contains("the other way too"), found.sentence());
    assertTrue(found.nextStep().contains("both ways"), found.nextStep());
  }

  @Test
  void sweepAndControlBearEachOtherOut() {
    TestCurve test = test(new Random(8303), STALLS, true, true);
    Finding found = SignSearch.in(test).orElseThrow();
    assertTrue(found.sentence().contains("bears it out"), found.sentence());
    assertTrue(found.sentence().contains("does not show"), found.sentence());
    Finding control =
        SweepWords.findings(test, List.of()).stream()
            .filter(finding -> finding.kind() == Kind.OTHER_WAY)
            .findFirst()
            .orElseThrow();
    assertEquals(2, control.evidence().size(), "over lift and over pressure: " + control);
  }

  @Test
  void whereNothingIsLostByItselfTheControlSaysThatItCannotTell() {
    TestCurve test = test(new Random(8304), new Port(0, 0, false), true, true);
    assertEquals(Answer.OPEN, control(test).shows());
    assertTrue(
        control(test).finding(test).nextStep().contains("--other-direction"), "names what would");
    assertTrue(SignSearch.in(test).isEmpty());
  }

  @Test
  void itIsSeldomWrong() {
    assertTrue(said(40, 8310, STALLS).get(2) <= 1);
    assertTrue(said(40, 8311, SHROUDED).get(1) <= 1);
  }

  @Test
  @Tag("bench")
  void table() {
    for (double size : new double[] {0.03, 0.06}) {
      System.out.println("stalls " + size + ": " + said(400, 8320, new Port(size, 0, false)));
      System.out.println("both ways " + size + ": " + said(400, 8321, new Port(0, size, true)));
    }
  }

  /** Of so many jobs with a loss: how often told, said not to show, said to show. */
  private static List<Integer> said(int jobs, long seed, Port port) {
    int told = 0;
    int not = 0;
    int shows = 0;
    for (int job = 0; job < jobs; job++) {
      Answer answer = control(test(new Random(seed * 1_000_003 + job), port, false, true)).shows();
      not += answer == Answer.NO ? 1 : 0;
      shows += answer == Answer.YES ? 1 : 0;
      told += answer == Answer.OPEN ? 0 : 1;
    }
    System.out.printf(
        Locale.ROOT, "seed %d, %s: told %d, not %d, shows %d%n", seed, port, told, not, shows);
    return List.of(told, not, shows);
  }

  private static OtherWayControl control(TestCurve test) {
    return OtherWayControl.in(test, PressureSweep.in(test)).get(0);
  }
}
