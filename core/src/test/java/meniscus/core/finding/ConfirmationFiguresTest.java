package meniscus.core.finding;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.Random;
import meniscus.core.finding.PressureSweep.Constant;
import meniscus.core.finding.PressureSweep.NotTold;
import meniscus.core.lift.LiftPoint;
import meniscus.core.lift.TestCurve;
import org.junit.jupiter.api.Tag;
import org.junit.jupiter.api.Test;

/**
 * How often the confirming experiment says what is so, on throats whose truth is known and which
 * the program's equations did not make. The seeds here were used for nothing else.
 */
@Tag("long")
class ConfirmationFiguresTest {

  private static final Known CONFIRMED = Known.BY_AREA_AND_HEALTHY_LIFT;

  private static final double[] RATIOS = {0.6, 0.8, 1.0, 1.2, 1.4, 1.6};

  /** What was said in a number of jobs. */
  private record Said(int jobs, int falls, int doesNot) {
    double fallsShare() {
      return (double) falls / jobs;
    }

    double doesNotShare() {
      return (double) doesNot / jobs;
    }

    /** Whether a share of at most {@code p} is believable: three sigma of the binomial law. */
    boolean atMost(int count, double p) {
      return count <= p * jobs + 3 * Math.sqrt(p * (1 - p) * jobs) + 0.5;
    }

    boolean atLeast(int count, double p) {
      return count >= p * jobs - 3 * Math.sqrt(p * (1 - p) * jobs) - 0.5;
    }
  }

  /** How the coefficient's bend is known. */
  private enum Known {
    BY_AREA_AND_HEALTHY_LIFT(true, true),
    BY_HEALTHY_LIFT(false, true),
    BY_AREA(true, false),
    NOT(false, false);

    final boolean area;
    final boolean healthyLift;

    Known(boolean area, boolean healthyLift) {
      this.area = area;
      this.healthyLift = healthyLift;
    }
  }

  /** CdA of a throat against an ideal nozzle's, 5 to 28 inH2O: worked out apart from both. */
  @Test
  void compressibilityAloneBendsTheCoefficient() {
    double[][] published = {{0.58, 2.2}, {0.82, 1.1}, {1.00, 0}, {1.12, -0.8}, {1.29, -2.3}};
    for (double[] row : published) {
      double share = row[0] * row[0];
      double low = 5 * 249.08891;
      double change =
          Throat.logChange(share, SweptThroat.FULL_PA, 101_325)
              - Throat.logChange(share, low, 101_325);
      assertEquals(row[1], 100 * change, 0.35, "at CdA over smallest area of " + row[0]);
      double other =
          Math.log(
              SweptThroat.reported(row[0], SweptThroat.FULL_PA)
                  / SweptThroat.reported(row[0], low));
      assertEquals(100 * other, 100 * change, 0.1, "at CdA over smallest area of " + row[0]);
    }
  }

  @Test
  void aSoundThroatIsSeldomSaidToFall() {
    for (double ratio : new double[] {0.6, 1.2, 1.6}) {
      Said said = said(40, 7101, new SweptThroat(ratio, 0, 0.4, 0.003, 0.005), CONFIRMED);
      assertTrue(said.atMost(said.falls, 0.02), ratio + ": " + said);
      assertTrue(said.atLeast(said.doesNot, 0.95), ratio + ": " + said);
    }
  }

  @Test
  void aFallOfTwoPercentIsFound() {
    for (double ratio : new double[] {0.6, 1.2, 1.6}) {
      Said said = said(40, 7102, new SweptThroat(ratio, 0.02, 0.4, 0.003, 0.005), CONFIRMED);
      assertTrue(said.atLeast(said.falls, 0.95), ratio + ": " + said);
    }
  }

  /** As many as a gauge of one reading a second leaves time for. */
  @Test
  void fivePressuresAreEnough() {
    Said sound = said(40, 7109, new SweptThroat(1.2, 0, 0.4, 0.003, 0.005, 5), CONFIRMED);
    assertTrue(sound.atMost(sound.falls, 0.02) && sound.atLeast(sound.doesNot, 0.95));
    Said stalls = said(40, 7110, new SweptThroat(1.2, 0.02, 0.4, 0.003, 0.005, 5), CONFIRMED);
    assertTrue(stalls.atLeast(stalls.falls, 0.95), stalls.toString());
  }

  @Test
  @Tag("bench")
  void tableOfFivePressures() {
    for (double ratio : new double[] {0.6, 1.2, 1.6}) {
      for (double stall : new double[] {0, 0.02}) {
        row(400, new SweptThroat(ratio, stall, 0.4, 0.003, 0.005, 5), CONFIRMED);
      }
    }
  }

  @Test
  void withoutKnowledgeOfTheThroatNothingIsClaimed() {
    Said said = said(40, 7103, new SweptThroat(1.5, 0, 0.4, 0.003, 0.005), Known.NOT);
    assertTrue(said.atMost(said.falls, 0.02), said.toString());
    assertEquals(0, said.doesNot);
  }

  @Test
  void itNamesWhatWouldTell() {
    SweptThroat sound = new SweptThroat(1.3, 0, 0.4, 0.003, 0.005);
    TestCurve test = sound.test(new Random(7104), false, false);
    NotTold told = (NotTold) PressureSweep.in(test).get(0).result();
    assertTrue(told.remedy().contains("healthy lift"), told.toString());
    TestCurve coarse =
        new SweptThroat(1.3, 0, 0.4, 0.02, 0.005).test(new Random(7105), true, false);
    NotTold noisy = (NotTold) PressureSweep.in(coarse).get(0).result();
    assertTrue(noisy.remedy().contains("longer"), noisy.toString());
  }

  @Test
  void aHealthyLiftTellsHowTheCoefficientBends() {
    SweptThroat sound = new SweptThroat(1.4, 0, 0.4, 0.002, 0.001);
    List<PressureSweep> sweeps = PressureSweep.in(sound.test(new Random(7106), false, true));
    assertEquals(2, sweeps.size());
    assertTrue(sweeps.get(0).control());
    assertTrue(sweeps.get(1).result() instanceof Constant, sweeps.get(1).result().toString());
  }

  @Test
  void anEarlierRunTellsHowTheCoefficientBends() {
    SweptThroat sound = new SweptThroat(1.4, 0, 0.4, 0.002, 0.001);
    SweptThroat stalls = new SweptThroat(1.4, 0.03, 0.4, 0.002, 0.001);
    TestCurve earlier = sound.test(new Random(7107), false, false);
    TestCurve later = stalls.test(new Random(7108), false, false);
    PressureSweep sweep = PressureSweep.in(later, List.of(earlier)).get(0);
    assertEquals(Optional.of(true), sweep.told());
  }

  /** The air leaves at one pressure and comes back at a lower one: 3 % less on the way down. */
  @Test
  void hysteresisShowsWhereTheWayDownFlowsLess() {
    int found = 0;
    int falsely = 0;
    for (int job = 0; job < 40; job++) {
      TestCurve sound =
          new SweptThroat(1, 0, 0.4, 0.002, 0.001).test(new Random(7111 + job), true, false);
      TestCurve late = lessOnTheWayDown(sound, 0.5, 0.9);
      found += PressureSweep.in(late).get(0).hysteresisPa().isEmpty() ? 0 : 1;
      falsely += PressureSweep.in(sound).get(0).hysteresisPa().isEmpty() ? 0 : 1;
      if (job == 0) {
        List<String> evidence = SweepWords.findings(late, List.of()).get(0).evidence();
        assertTrue(
            evidence.stream().anyMatch(e -> e.contains("on the way down it flows less")),
            evidence.toString());
      }
    }
    assertTrue(found >= 38, "found in " + found + " of 40");
    assertTrue(falsely <= 2, "said of " + falsely + " of 40 sound sweeps");
  }

  private static TestCurve lessOnTheWayDown(TestCurve test, double from, double to) {
    List<LiftPoint> points = new ArrayList<>();
    double highest =
        test.points().stream().mapToDouble(LiftPoint::testPressurePa).max().orElseThrow();
    boolean down = false;
    for (LiftPoint p : test.points()) {
      double share = p.testPressurePa() / highest;
      boolean less = down && share > from && share < to;
      points.add(
          SuspectPoints.point(
              p.rung(),
              p.keptAt(),
              p.liftM(),
              p.flowM3PerS() * (less ? 0.97 : 1),
              p.testPressurePa(),
              p.budget()));
      down |= p.testPressurePa() == highest;
    }
    return new TestCurve(
        test.name(),
        test.bench(),
        test.calibration(),
        test.repeatability(),
        test.plan(),
        test.room(),
        test.health(),
        points);
  }

  @Test
  void theExperimentLeadsUpAndDownAtAHealthyLiftAndAtTheSuspectedOne() {
    TestCurve test = new SweptThroat(1, 0, 0.4, 0.003, 0).test(new Random(1), true, true);
    Confirmation led = Confirmation.of(test.plan(), SweptThroat.SUSPECTED_M, List.of());
    assertEquals(OptionalDouble.of(SweptThroat.HEALTHY_M), led.controlM());
    assertEquals(22, led.rungs(13).size());
    assertEquals(4, led.pressuresPa().get(5) / led.pressuresPa().get(0), 1e-9);
    assertEquals(SweptThroat.HEALTHY_M, led.rungs(13).get(0).liftM());
    assertEquals(34, led.rungs(13).get(21).number());
    assertEquals(led.rungs(13), Confirmation.of(led.begun(13)).rungs(13));
    assertEquals(
        OptionalDouble.of(led.pressuresPa().get(0)), led.rungs(13).get(21).testPressurePa());
  }

  @Test
  @Tag("bench")
  void tables() {
    for (double ratio : RATIOS) {
      for (double stall : new double[] {0, 0.02}) {
        row(400, ratio, stall, CONFIRMED);
      }
    }
    for (Known known : List.of(Known.BY_HEALTHY_LIFT, Known.BY_AREA)) {
      for (double ratio : new double[] {0.6, 1.2, 1.6}) {
        row(400, ratio, 0, known);
        row(100, ratio, 0.05, known);
      }
    }
  }

  /** The slope of compressibility from nowhere: no area, no healthy lift, no earlier run. */
  @Test
  @Tag("bench")
  void tableWithNothingKnown() {
    int jobs = Integer.getInteger("meniscus.jobs", 400);
    for (double ratio : RATIOS) {
      row(jobs, ratio, 0, Known.NOT);
      row(jobs, ratio, 0.05, Known.NOT);
    }
  }

  private static void row(int jobs, double ratio, double stall, Known known) {
    row(jobs, new SweptThroat(ratio, stall, 0.4, 0.003, 0.005), known);
  }

  private static void row(int jobs, SweptThroat throat, Known known) {
    Said said = said(jobs, 7200, throat, known);
    System.out.printf(
        Locale.ROOT,
        "throat %s, CdA/A %.1f, falls by %.0f %%: said to fall %.2f %%, not to fall %.2f %% of"
            + " %d%n",
        known,
        throat.ratio(),
        100 * throat.stall(),
        100 * said.fallsShare(),
        100 * said.doesNotShare(),
        said.jobs);
  }

  private static Said said(int jobs, long seed, SweptThroat throat, Known known) {
    int falls = 0;
    int doesNot = 0;
    for (int job = 0; job < jobs; job++) {
      Random random = new Random(seed * 1_000_003 + job);
      TestCurve test = throat.test(random, known.area, known.healthyLift);
      List<PressureSweep> sweeps = PressureSweep.in(test);
      PressureSweep last = sweeps.get(sweeps.size() - 1);
      falls += last.told().orElse(false) ? 1 : 0;
      doesNot += last.told().map(it -> !it).orElse(false) ? 1 : 0;
    }
    Said said = new Said(jobs, falls, doesNot);
    System.out.println("seed " + seed + ", " + known + ", " + throat + ": " + said);
    return said;
  }
}
