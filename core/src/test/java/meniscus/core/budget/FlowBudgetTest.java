package meniscus.core.budget;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import meniscus.core.bench.Bench;
import meniscus.core.bench.Calibration;
import meniscus.core.bench.Leakage;
import meniscus.core.bench.PointMeans;
import meniscus.core.flow.Direction;
import meniscus.core.lift.Plan;
import meniscus.core.quantity.Unit;
import meniscus.core.uncertainty.Budget;
import meniscus.core.uncertainty.Contribution;
import meniscus.core.uncertainty.Contribution.Kind;
import org.junit.jupiter.api.Test;

class FlowBudgetTest {

  private static final Plan PLAN = SmallBench.plan(Direction.SUCTION);
  private static final Calibration CALIBRATION = SmallBench.calibration(Direction.SUCTION);

  private static PointMeans means(double dropPa) {
    return Simulated.means(
        SmallBench.bench(),
        CALIBRATION.element(),
        Optional.of(SmallBench.leakage(Direction.SUCTION)),
        PLAN,
        dropPa,
        SmallBench.TEST_PRESSURE,
        SmallBench.room());
  }

  private static Budget budget(double dropPa) {
    return budget(SmallBench.bench(), dropPa);
  }

  private static Budget budget(Bench bench, double dropPa) {
    return new Budget(
        FlowBudget.of(
                bench,
                Optional.of(CALIBRATION),
                Optional.of(SmallBench.leakage(Direction.SUCTION)),
                PLAN)
            .contributions(means(dropPa)));
  }

  private static double effect(Budget budget, String source) {
    List<Contribution> found =
        budget.contributions().stream().filter(c -> c.source().startsWith(source)).toList();
    assertFalse(found.isEmpty(), "nothing from " + source);
    return new Budget(found).standardUncertainty();
  }

  @Test
  void aDropReadAtAnotherMomentThanThePressureCountsWhileThePressureDrifts() {
    PointMeans means = means(1200);
    PointMeans apart =
        new PointMeans(
            means.seconds(),
            new PointMeans.Pressures(
                means.dropPa(),
                means.testPressurePa(),
                50,
                OptionalDouble.empty(),
                OptionalDouble.empty(),
                0.1),
            means.air(),
            means.flow(),
            means.liftM(),
            means.slopeM2PerS());
    FlowBudget budget =
        FlowBudget.of(SmallBench.bench(), Optional.of(CALIBRATION), Optional.empty(), PLAN);
    String source = "drop and test pressure read";
    // 50 Pa/s for 0.1 s are 5 Pa, and the flow at a given drop goes with the root of the pressure.
    double expected = means.flowM3PerS() * 5 / (2 * means.testPressurePa());
    assertEquals(
        expected, effect(new Budget(budget.contributions(apart)), source), 0.15 * expected);
    assertTrue(
        budget.contributions(means).stream().noneMatch(each -> each.source().startsWith(source)));
  }

  /** Rectangular limits have the variance a²/3 each (JCGM 100:2008, 4.3.7). */
  @Test
  void theLiftThatWasReadHasAnInterval() {
    FlowBudget budget =
        FlowBudget.of(SmallBench.bench(), Optional.of(CALIBRATION), Optional.empty(), PLAN);
    PointMeans means = means(1200);
    double lift = means.liftM().orElseThrow();
    double leaning = lift * (1 - Math.cos(Math.toRadians(3)));
    double reading = 0.02e-3;
    double halfAStep = 0.005e-3;
    double zero = 0.01e-3;
    double backlash = 0.01e-3;
    double sum = 0;
    for (double limit : new double[] {reading, halfAStep, zero, backlash, leaning}) {
      sum += limit * limit / 3;
    }
    assertEquals(1.96 * Math.sqrt(sum), budget.liftU95(means).orElseThrow(), 1e-9);
  }

  @Test
  void theTableNamesEverySourceInWords() {
    Budget budget = budget(1200);
    String table = budget.table("flow", means(1200).flowM3PerS(), Unit.CUBIC_FOOT_PER_MINUTE);
    for (String source :
        List.of(
            "fluctuation",
            "drop over the flow element: zero",
            "drop over the flow element: accuracy",
            "test pressure: zero",
            "test pressure: accuracy",
            "plates",
            "room temperature",
            "barometer",
            "humidity",
            "air inside the bench",
            "leaks",
            "air stored by the plenum",
            "lift: reading",
            "lift: zero",
            "lift: leaning",
            "lift: backlash")) {
      assertTrue(table.contains(source), source + " is missing in\n" + table);
    }
  }

  @Test
  void theBudgetNamesTheCalibrationByItsHash() {
    assertEquals(Optional.of("0123"), Calibration.usedIn(budget(1200).contributions()));
    List<Contribution> without =
        FlowBudget.of(SmallBench.bench(), Optional.empty(), Optional.empty(), PLAN)
            .contributions(means(1200));
    assertEquals(Optional.empty(), Calibration.usedIn(without));
  }

  /** A leak that cannot be told from nothing lies between nothing and its limit, either way. */
  @Test
  void aLeakTooSmallToSeeIsReckonedWithUpToItsLimit() {
    double limit = 2e-4;
    Leakage unseen =
        new Leakage(Direction.SUCTION, "bench blanked", 0, 0.65, 0, limit, SmallBench.AT);
    Budget budget =
        new Budget(
            FlowBudget.of(SmallBench.bench(), Optional.of(CALIBRATION), Optional.of(unseen), PLAN)
                .contributions(means(1200)));
    Contribution leak =
        budget.contributions().stream()
            .filter(each -> each.source().equals("leaks: too small to see"))
            .findFirst()
            .orElseThrow();
    assertEquals(limit / Math.sqrt(3), leak.standardUncertainty(), 1e-15);
    // Leaked plenum air of about 92 kPa counts as reference air of 101 kPa at the port.
    assertEquals(1, Math.abs(leak.sensitivity()), 0.15);
  }

  /** Between a root-law element and a port that breathe the same air, the weather drops out. */
  @Test
  void weatherCancelsBetweenElementAndPortThatSeeTheSameAir() {
    Budget budget = budget(1200);
    double flow = means(1200).flowM3PerS();
    // Alone, 0.3 K of 296 K would be 0.05 % and 58 Pa of 99200 Pa 0.03 % of a volume flow.
    assertTrue(effect(budget, "room temperature") / flow < 1e-5);
    assertTrue(effect(budget, "barometer") / flow < 5e-5);
  }

  @Test
  void beforeAndAfterShareCalibrationAndGaugesButNeitherZeroNorLiftNorLeak() {
    Budget before = budget(1200);
    Budget after = budget(1205);
    double flow = means(1200).flowM3PerS();
    double variance =
        Math.pow(before.standardUncertainty(), 2)
            + Math.pow(after.standardUncertainty(), 2)
            - 2 * before.covariance(after);
    double ownOfOne = before.only(c -> c.sharedId().isEmpty()).standardUncertainty();
    assertEquals(2 * ownOfOne * ownOfOne, variance, 0.02 * variance);
    for (Contribution c : before.contributions()) {
      boolean session =
          c.source().contains("zero") || c.source().contains("lift") || c.source().contains("leak");
      if (session) {
        assertEquals("", c.sharedId(), c.source());
        assertEquals(Kind.SET_UP, c.kind(), c.source());
      }
    }
    assertTrue(Math.sqrt(variance) < before.standardUncertainty(), "of " + flow);
  }

  @Test
  void aGaugeErrorThatTheCalibrationSharesIsCountedOnceWithItsSign() {
    Budget budget = budget(1024);
    // Half the gauge's error against the part the calibration took over: opposite signs.
    double alone =
        budget
            .only(
                c ->
                    c.source().startsWith("drop over the flow element: accuracy")
                        && c.standardUncertainty() > 0.1)
            .standardUncertainty();
    assertTrue(effect(budget, "drop over the flow element: accuracy") < 0.6 * alone);
  }

  @Test
  void aZeroErrorMattersMoreAtLowDrop() {
    double high =
        effect(budget(2000), "drop over the flow element: zero") / means(2000).flowM3PerS();
    double low = effect(budget(400), "drop over the flow element: zero") / means(400).flowM3PerS();
    assertEquals(5, low / high, 0.1);
    // A root law: half of 0.5 Pa in 2000 Pa.
    assertEquals(0.5 * 0.5 / 2000, high, 0.02 * high);
  }

  @Test
  void beyondTheCalibratedDropsTheBudgetSaysSo() {
    Budget beyond = budget(150);
    assertTrue(effect(beyond, "drop beyond the calibrated range") > 0);
    assertTrue(budget(1000).contributions().stream().noneMatch(c -> c.source().contains("beyond")));
  }

  @Test
  void anUncalibratedElementCountsAsItsMakerStatesIt() {
    Bench bench = SmallBench.bench();
    PointMeans means =
        Simulated.means(
            bench,
            SmallBench.ELEMENT,
            Optional.empty(),
            PLAN,
            1200,
            SmallBench.TEST_PRESSURE,
            SmallBench.room());
    Budget budget =
        new Budget(
            FlowBudget.of(bench, Optional.empty(), Optional.empty(), PLAN).contributions(means));
    assertEquals(0.01, effect(budget, "flow element, not calibrated") / means.flowM3PerS(), 0.0005);
    // 1 cfm, rectangular from 0.
    assertEquals(
        0.000471947 / Math.sqrt(3) * 1.05, effect(budget, "leaks: never measured"), 0.05e-3);
  }

  @Test
  void motorHeatOnBlowingWithoutAThermometerCounts() {
    Plan blowing = SmallBench.plan(Direction.BLOWING);
    Calibration calibration = SmallBench.calibration(Direction.BLOWING);
    PointMeans means =
        Simulated.means(
            SmallBench.bench(),
            calibration.element(),
            Optional.of(SmallBench.leakage(Direction.BLOWING)),
            blowing,
            1200,
            SmallBench.TEST_PRESSURE,
            SmallBench.room());
    Budget budget =
        new Budget(
            FlowBudget.of(
                    SmallBench.bench(),
                    Optional.of(calibration),
                    Optional.of(SmallBench.leakage(Direction.BLOWING)),
                    blowing)
                .contributions(means));
    // Element and port both see the heated air: their root laws cancel but for the leak.
    assertTrue(effect(budget, "air inside the bench") / means.flowM3PerS() < 2e-4);
  }
}
