package meniscus.drivers.simulated;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.List;
import meniscus.core.air.AirState;
import meniscus.core.flow.Direction;
import meniscus.core.flow.Expansibility;
import meniscus.core.flow.Nozzle;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.EnumSource;
import org.junit.jupiter.params.provider.ValueSource;

/** The flows of the simulated bench against formulas worked out here, not there. */
class AirflowTest {

  private static final Scenario DEMO = Scenario.demo();
  private static final Scenario IDEAL = DEMO.without(Effect.values());
  private static final Mounted AS_RECEIVED = new Mounted.Head(DEMO.before());
  private static final Mounted BLENDED = new Mounted.Head(DEMO.after());

  @ParameterizedTest
  @EnumSource(Direction.class)
  void inSteadyFlowTheElementPassesWhatPortAndLeaksPass(Direction direction) {
    Scenario calm = IDEAL.scaled(Effect.LEAKAGE, 1).scaled(Effect.PLENUM_STORAGE, 1);
    Stand stand = new Stand(calm, 1);
    stand.bench.direction(direction);
    stand.bench.mount(AS_RECEIVED);
    stand.bench.setLift(0.3 * Stand.INCH);
    stand.bench.blower(true);
    stand.run(60);
    Truth truth = stand.bench.truth();
    assertTrue(truth.flows().leakKgPerS() > 1e-4 * truth.flows().portKgPerS(), "there is a leak");
    assertEquals(
        1,
        (truth.flows().portKgPerS() + truth.flows().leakKgPerS()) / truth.flows().elementKgPerS(),
        1e-6,
        truth::toString);
  }

  @Test
  void inRestlessFlowWhatTheElementPassesMoreIsStored() {
    Stand stand = Stand.running(DEMO, BLENDED, 0.55 * Stand.INCH, Stand.AIM, 5);
    double before = stand.bench.truth().pressures().testPa();
    double[] surplus =
        stand.follow(
            0.4,
            truth ->
                truth.flows().elementKgPerS()
                    - truth.flows().portKgPerS()
                    - truth.flows().leakKgPerS());
    double rise = stand.bench.truth().pressures().testPa() - before;
    double stored = Stand.mean(surplus) * 0.4;
    assertTrue(Math.abs(rise) > 20, "the pressure moved, by " + rise + " Pa");
    // Hand formula V/(κRT)·Δp with R = 287.05 J/(kg K) of dry air, 0.5 % less than the moist air's.
    double expected =
        DEMO.plenumM3() / (1.4 * 287.05 * stand.bench.truth().air().roomTemperatureK()) * rise;
    assertEquals(1, stored / expected, 0.008);
  }

  /**
   * The plenum alone, emptying the room into itself through an opening: √Δp falls in a straight
   * line, (√Δp0 − √Δp1) · 2 V/(κRT) / (A √(2ρ)) seconds.
   */
  @Test
  void theShutOffPlenumFillsInTheTimeOfTheHandFormula() {
    Stand stand = new Stand(IDEAL.scaled(Effect.PLENUM_STORAGE, 1), 1);
    stand.bench.mount(AS_RECEIVED);
    stand.bench.plugged(false);
    stand.bench.blower(true);
    stand.run(30);
    Truth start = stand.bench.truth();
    assertEquals(1, start.pressures().testPa() / 7000, 1e-3, "held at the first aim");
    stand.bench.isolated(true);
    double half = start.pressures().testPa() / 2;
    double seconds = 0;
    while (stand.bench.truth().pressures().testPa() > half) {
      stand.run(0.002);
      seconds += 0.002;
    }
    double density = start.air().roomPressurePa() / (287.05 * start.air().roomTemperatureK());
    double store = DEMO.plenumM3() / (1.4 * 287.05 * start.air().roomTemperatureK());
    double expected =
        (Math.sqrt(start.pressures().testPa()) - Math.sqrt(half))
            * 2
            * store
            / (DEMO.leaks().openHolesM2() * Math.sqrt(2 * density));
    assertEquals(1, seconds / expected, 0.01, seconds + " s against " + expected + " s");
  }

  @Test
  void withoutStorageTheFlowsAgreeAtOnce() {
    Scenario restless = DEMO.without(Effect.PLENUM_STORAGE);
    Stand stand = Stand.running(restless, BLENDED, 0.3 * Stand.INCH, Stand.AIM, 6);
    double[] surplus =
        stand.follow(
            2,
            truth ->
                (truth.flows().elementKgPerS()
                        - truth.flows().portKgPerS()
                        - truth.flows().leakKgPerS())
                    / truth.flows().portKgPerS());
    assertEquals(0, Stand.deviation(surplus), 1e-9);
  }

  /** Expansion factors against core's, written by other hands, and against a published value. */
  @ParameterizedTest
  @ValueSource(doubles = {1, 10, 28, 40})
  void airExpandsAsPublished(double inchesOfWater) {
    double drop = inchesOfWater * Stand.INCH_OF_WATER;
    double ratio = 1 - drop / 101_325;
    double root = Math.pow(ratio, 1 / 1.4);
    assertEquals(
        Nozzle.expansionFactor(101_325, drop, 1.4),
        Passage.of(AS_RECEIVED).expansion(ratio, root),
        1e-9);
    assertEquals(
        Expansibility.ISO_2003.factor(0, 101_325, drop, 1.4),
        Passage.of(DEMO.plates().get(0)).expansion(ratio, root),
        1e-9);
  }

  /**
   * ACGIH Industrial Ventilation / ASHRAE: V = 4005 √(velocity pressure) ft/min in air of 0.075
   * lb/ft³, pressure in inches of water at 68 °F (248.642 Pa, from memory). At 1 inH2O expansion
   * takes 0.13 % off it (isentropic factor 0.99868).
   */
  @Test
  void theVelocityOfOneInchOfWaterIsTheTradesConstant() {
    Stand stand = Stand.running(IDEAL, AS_RECEIVED, 0.3 * Stand.INCH, 248.642, 1);
    Truth truth = stand.bench.truth();
    double density = density(truth);
    double velocity = truth.flows().portKgPerS() / (density * truth.area().meanM2());
    double inPlainAir = velocity * Math.sqrt(density / 1.20139) / 0.99868;
    assertEquals(4005, inPlainAir / 0.3048 * 60, 2);
  }

  /** qm = C ε A √(2 ρ Δp), by hand for a 28 mm plate at 28 inH2O. */
  @Test
  void aPlatePassesWhatItsCoefficientSays() {
    Mounted.Plate plate = DEMO.plates().get(2);
    Truth truth = Stand.running(IDEAL, plate, 0, Stand.AIM, 1).bench.truth();
    assertEquals(Stand.AIM, truth.pressures().testPa(), 0.1);
    double ratio = 1 - truth.pressures().testPa() / truth.air().roomPressurePa();
    double expansibility = 1 - 0.351 * (1 - Math.pow(ratio, 1 / 1.4));
    double flow =
        0.6110
            * 1.0015
            * expansibility
            * Math.PI
            / 4
            * 0.028
            * 0.028
            * Math.sqrt(2 * density(truth) * Stand.AIM);
    assertEquals(1, truth.flows().portKgPerS() / flow, 1e-6);
  }

  /** On suction the element sees thinned air: density in the ratio of the absolute pressures. */
  @Test
  void theElementsDropBelongsToTheThinnedAirOfThePlenum() {
    Scenario.Element element = DEMO.elements().get(0);
    Truth truth = Stand.running(IDEAL, AS_RECEIVED, 0.5 * Stand.INCH, Stand.AIM, 1).bench.truth();
    double plenumPa = truth.air().roomPressurePa() - truth.pressures().testPa();
    double thinned = density(truth) * plenumPa / truth.air().roomPressurePa();
    double area = Math.PI / 4 * element.boreM() * element.boreM();
    double reynolds = 4 * truth.flows().elementKgPerS() / (Math.PI * element.boreM() * 1.82e-5);
    double coefficient = 0.5961 + 0.000521 * Math.pow(1e6 / reynolds, 0.7);
    double expansibility =
        1 - 0.351 * (1 - Math.pow(1 - truth.pressures().elementDropPa() / plenumPa, 1 / 1.4));
    double flow =
        coefficient
            * expansibility
            * area
            * Math.sqrt(2 * thinned * truth.pressures().elementDropPa());
    assertEquals(1, truth.flows().elementKgPerS() / flow, 2e-4);
  }

  @Test
  void theElementsTrueCoefficientIsOffTheTextbooksByWhatTheScenarioHides() {
    Truth textbook =
        Stand.running(IDEAL, AS_RECEIVED, 0.5 * Stand.INCH, Stand.AIM, 1).bench.truth();
    Truth hidden =
        Stand.running(
                IDEAL.scaled(Effect.ELEMENT_ERROR, 1), AS_RECEIVED, 0.5 * Stand.INCH, Stand.AIM, 1)
            .bench
            .truth();
    double drops = textbook.pressures().elementDropPa() / hidden.pressures().elementDropPa();
    assertEquals(1.025, Math.sqrt(drops), 0.0005);
  }

  /** Fully up, the pressures add up to the curve: ρ/1.2 · (shut-off − shut-off (Q/free flow)²). */
  @Test
  void aTiredBlowerStandsOnItsCurve() {
    Scenario tired = Variants.tiredBlower().without(Effect.values());
    Truth truth = Stand.running(tired, AS_RECEIVED, 0.6 * Stand.INCH, Stand.AIM, 1).bench.truth();
    assertEquals(1, truth.blowerControl());
    double sum = truth.pressures().testPa() + truth.pressures().elementDropPa();
    double inlet =
        density(truth) * (truth.air().roomPressurePa() - sum) / truth.air().roomPressurePa();
    double share = truth.flows().elementKgPerS() / inlet / tired.blower().freeFlowM3PerS();
    double curve = inlet / 1.2 * tired.blower().shutOffPa() * (1 - share * share);
    assertEquals(1, sum / curve, 1e-3);
  }

  @Test
  void theDemosBlowerHoldsTheAimAtEveryLiftAndATiredOneDoesNot() {
    for (Mounted head : List.of(AS_RECEIVED, BLENDED)) {
      for (int step = 1; step <= 12; step++) {
        Stand stand = Stand.running(DEMO, head, step * 0.05 * Stand.INCH, Stand.AIM, step);
        double mean = Stand.mean(stand.follow(20, truth -> truth.pressures().testPa()));
        assertEquals(1, mean / Stand.AIM, 0.006, head + " at step " + step);
      }
    }
    double[] tired =
        Stand.running(Variants.tiredBlower(), AS_RECEIVED, 0.6 * Stand.INCH, Stand.AIM, 1)
            .follow(20, truth -> truth.pressures().testPa());
    assertTrue(Stand.mean(tired) < 0.93 * Stand.AIM);
  }

  @Test
  void theTestPressureSettlesAndWithoutSettlingIsThereAtOnce() {
    Scenario slow = IDEAL.scaled(Effect.SETTLING, 1).scaled(Effect.PLENUM_STORAGE, 1);
    Stand stand = Stand.running(slow, AS_RECEIVED, 0.3 * Stand.INCH, Stand.AIM, 1);
    assertEquals(1, stand.bench.truth().pressures().testPa() / Stand.AIM, 1e-4);
    stand.bench.setLift(0.5 * Stand.INCH);
    stand.run(1.5);
    assertTrue(stand.bench.truth().pressures().testPa() < 0.97 * Stand.AIM, "it has sunk");
    stand.run(12);
    assertEquals(1, stand.bench.truth().pressures().testPa() / Stand.AIM, 1e-3);

    Stand quick = new Stand(IDEAL, 1);
    quick.bench.aimPressure(Stand.AIM);
    quick.bench.blower(true);
    quick.run(0.1);
    assertEquals(1, quick.bench.truth().pressures().testPa() / Stand.AIM, 1e-3);
  }

  @Test
  void leaksFollowTheirLawAndDependOnTheDirection() {
    Scenario leaking = IDEAL.scaled(Effect.LEAKAGE, 1);
    Scenario.Leaks leaks = leaking.leaks();
    Truth drawn = Stand.running(leaking, new Mounted.Blank(), 0, Stand.AIM, 1).bench.truth();
    double plenumDensity =
        density(drawn) * (drawn.air().roomPressurePa() - Stand.AIM) / drawn.air().roomPressurePa();
    // 28 inH2O to the power 0.6 is 202.3 by hand: exp(0.6 · ln 6974.5) = exp(0.6 · 8.8500).
    assertEquals(9e-7 * 202.3, drawn.flows().leakKgPerS() / plenumDensity, 1e-7 * 202.3 * 9 * 1e-3);

    Truth withHead = Stand.running(leaking, AS_RECEIVED, 0, Stand.AIM, 1).bench.truth();
    assertEquals(
        (leaks.benchSuction() + leaks.joint()) / leaks.benchSuction(),
        withHead.flows().leakKgPerS() / drawn.flows().leakKgPerS(),
        1e-3);

    Stand blown = new Stand(leaking, 1);
    blown.bench.direction(Direction.BLOWING);
    blown.bench.aimPressure(Stand.AIM);
    blown.bench.blower(true);
    blown.run(40);
    assertTrue(blown.bench.truth().flows().leakKgPerS() > 1.5 * drawn.flows().leakKgPerS());
  }

  /** Compression heats by Δp/(ρ cp η), the warm motor by the rest. */
  @Test
  void blownAirIsHotAndDrawnAirIsNot() {
    Scenario warm = IDEAL.scaled(Effect.MOTOR_HEAT, 1);
    Stand stand = new Stand(warm, 1);
    stand.bench.direction(Direction.BLOWING);
    stand.bench.mount(AS_RECEIVED);
    stand.bench.setLift(0.3 * Stand.INCH);
    stand.bench.aimPressure(Stand.AIM);
    stand.bench.blower(true);
    stand.run(3600);
    Truth truth = stand.bench.truth();
    double sum = truth.pressures().testPa() + truth.pressures().elementDropPa();
    double expected = sum / (density(truth) * 1005 * 0.5) + 12;
    assertTrue(expected > 20, "more than 20 K");
    assertEquals(expected, truth.air().plenumTemperatureK() - truth.air().roomTemperatureK(), 0.1);

    Truth drawn = Stand.running(warm, AS_RECEIVED, 0.3 * Stand.INCH, Stand.AIM, 1).bench.truth();
    assertEquals(drawn.air().roomTemperatureK(), drawn.air().plenumTemperatureK());
  }

  private static double density(Truth truth) {
    return new AirState(
            truth.air().roomTemperatureK(), truth.air().roomPressurePa(), truth.air().humidity())
        .density();
  }
}
