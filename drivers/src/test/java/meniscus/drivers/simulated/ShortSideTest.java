package meniscus.drivers.simulated;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.Arrays;
import java.util.List;
import meniscus.core.air.ReferenceAir;
import meniscus.core.flow.Direction;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

/** Separation at the short side: levels, shares, dwell times, and the mean that is left. */
class ShortSideTest {

  private static final long SEED = 20261;
  private static final Scenario DEMO = Scenario.demo();
  private static final Scenario ALONE = Variants.only(DEMO, Effect.SHORT_SIDE);

  @Test
  void theFlowJumpsBetweenTwoLevelsAndStaysAsLongAsTheFormulaSays() {
    Stand stand = at(ALONE, 0.5, SEED);
    double[] shares = new double[750_000];
    double[] separated = new double[shares.length];
    for (int i = 0; i < shares.length; i++) {
      shares[i] = stand.follow(0.002, truth -> truth.area().separatedShare())[0];
      separated[i] = stand.bench.truth().area().separated() ? 1 : 0;
    }
    double share = Stand.mean(shares);
    assertTrue(share > 0.25 && share < 0.5, "share " + share);
    int jumps = 0;
    for (int i = 1; i < separated.length; i++) {
      jumps += separated[i] != separated[i - 1] ? 1 : 0;
    }
    double spells = jumps / 2.0;
    double meanShare = Stand.mean(separated);
    double dwellSeparated = meanShare * 1500 / spells;
    double dwellAttached = (1 - meanShare) * 1500 / spells;
    // Means of that many exponential times: four standard errors.
    double four = 4 / Math.sqrt(spells);
    assertEquals(1, dwellSeparated / (0.3 / (1 - share)), four, "dwell separated, seed " + SEED);
    assertEquals(1, dwellAttached / (0.3 / share), four, "dwell attached, seed " + SEED);
    // Two states of relaxation time τ: the mean's standard error is √(s(1−s)·2τ/T), again four.
    assertEquals(share, meanShare, 4 * Math.sqrt(share * (1 - share) * 2 * 0.3 / 1500));
  }

  @Test
  void theLevelsAreTheDepthApart() {
    Stand stand = at(ALONE, 0.55, SEED);
    double[] areas = stand.follow(60, truth -> truth.area().effectiveM2());
    double[] levels = Arrays.stream(areas).distinct().sorted().toArray();
    assertEquals(2, levels.length);
    assertEquals(0.92, levels[0] / levels[1], 1e-12);
  }

  @ParameterizedTest
  @ValueSource(doubles = {0.3, 0.45, 0.5, 0.55, 0.6})
  void overALongTimeTheMeanIsTheLaddersTruth(double liftInches) {
    Scenario placedWell = DEMO.without(Effect.REFIXING, Effect.LIFT_ZERO, Effect.VALVE_SUCTION);
    Stand stand = at(placedWell, liftInches, SEED);
    double mean = Stand.mean(stand.follow(900, truth -> truth.area().effectiveM2()));
    double truth = ladder(liftInches).afterAreaM2();
    // Switching's own standard error over 900 s is at most 8 % · 0.5 · √(0.6/900) = 0.10 %.
    assertEquals(1, mean / truth, 0.004, "seed " + SEED);
  }

  @Test
  void belowItsCriticalVelocityNothingSeparates() {
    Stand stand = at(ALONE, 0.3, SEED);
    assertEquals(0, Stand.mean(stand.follow(120, truth -> truth.area().separated() ? 1 : 0)));
  }

  @Test
  void atAHighLiftALowerTestPressureBringsTheFlowBack() {
    Stand stand = at(ALONE, 0.6, SEED);
    assertTrue(stand.bench.truth().area().separatedShare() > 0.95);
    stand.bench.aimPressure(Stand.AIM / 2);
    stand.run(30);
    assertTrue(stand.bench.truth().area().separatedShare() < 0.01);
  }

  @Test
  void blownBackwardsItDoesNotTakeTheTurn() {
    Stand stand = new Stand(ALONE, SEED);
    stand.bench.direction(Direction.BLOWING);
    stand.bench.mount(new Mounted.Head(DEMO.after()));
    stand.bench.setLift(0.6 * Stand.INCH);
    stand.bench.blower(true);
    stand.run(30);
    assertEquals(0, Stand.mean(stand.follow(60, truth -> truth.area().separated() ? 1 : 0)));
  }

  @Test
  void aShortSideThatRecoversLateDiffersBetweenOpeningAndClosing() {
    SimulatedShortSide sharp = DEMO.after().shortSide();
    SimulatedShortSide late =
        new SimulatedShortSide(
            sharp.direction(),
            sharp.criticalMPerS(),
            sharp.widthMPerS(),
            sharp.depth(),
            sharp.relaxationS(),
            sharp.roughness(),
            0.08);
    Port port = DEMO.after();
    Port lagging =
        new Port(
            port.name(),
            port.headM(),
            port.smallestAreaM2(),
            port.steps(),
            late,
            port.turbulence(),
            port.turbulenceS());
    Stand stand = at(ALONE.with(DEMO.before(), lagging), 0.45, SEED);
    double opening = Stand.mean(stand.follow(15, truth -> truth.area().separated() ? 1 : 0));
    stand.bench.setLift(0.6 * Stand.INCH);
    stand.run(40);
    stand.bench.setLift(0.45 * Stand.INCH);
    stand.run(4);
    double closing = Stand.mean(stand.follow(15, truth -> truth.area().separated() ? 1 : 0));
    assertTrue(closing > opening + 0.1, opening + " opening, " + closing + " closing");
  }

  private static Stand at(Scenario scenario, double liftInches, long seed) {
    return Stand.running(
        scenario, new Mounted.Head(scenario.after()), liftInches * Stand.INCH, Stand.AIM, seed);
  }

  private static TrueLift ladder(double liftInches) {
    return TrueLift.ladder(
            DEMO,
            List.of(liftInches * Stand.INCH),
            Direction.SUCTION,
            Stand.AIM,
            ReferenceAir.DRY_20C.state())
        .get(0);
  }
}
