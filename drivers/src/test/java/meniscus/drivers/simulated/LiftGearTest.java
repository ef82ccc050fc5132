package meniscus.drivers.simulated;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import meniscus.core.flow.Direction;
import org.junit.jupiter.api.Test;

/** Opener, spring, suction and the dial's play. */
class LiftGearTest {

  private static final Scenario DEMO = Scenario.demo();
  private static final Scenario IDEAL = DEMO.without(Effect.values());

  @Test
  void aClosingSweepReadsHighByTheBacklash() {
    Stand stand = new Stand(IDEAL.scaled(Effect.BACKLASH, 1), 1);
    double opening = dialAfterTurningTo(stand, 5e-3);
    dialAfterTurningTo(stand, 9e-3);
    double closing = dialAfterTurningTo(stand, 5e-3);
    assertEquals(5e-3, opening, 1e-12);
    assertEquals(0.012e-3, closing - opening, 1e-9);
    assertEquals(5e-3, stand.bench.truth().valve().liftM(), 1e-12, "the valve is where it was");
  }

  @Test
  void aValveDroppedOnItsSeatTakesThePlayOut() {
    Stand stand = new Stand(IDEAL.scaled(Effect.BACKLASH, 1), 1);
    dialAfterTurningTo(stand, 9e-3);
    assertEquals(0, dialAfterTurningTo(stand, 0));
    assertEquals(5e-3, dialAfterTurningTo(stand, 5e-3), 1e-12);
  }

  @Test
  void theTestPressureBendsTheDialsBridge() {
    Stand stand = new Stand(IDEAL.scaled(Effect.LIFT_ZERO, 1), 1);
    stand.bench.aimPressure(Stand.AIM);
    double off = dialAfterTurningTo(stand, 5e-3);
    stand.bench.blower(true);
    double on = dialAfterTurningTo(stand, 5e-3);
    assertEquals(0.004e-3, off - 5e-3, 1e-9, "zero");
    // 0.7 nm/Pa · 6974 Pa.
    assertEquals(4.88e-6, on - off, 1e-8);
  }

  /**
   * A 2.02 in head at 28 inH2O: 14.42 N (F = Δp π D²/4). With 0.11 kg and 0.8 N of the indicator
   * against 9 N and 900 N/m the valve floats at (14.42 + 1.08 + 0.80 − 9) / 900 = 8.11 mm.
   */
  @Test
  void aLightSpringIsSuckedOpenToWhereItsForceBalances() {
    Scenario light = Variants.only(Variants.lightSpring(), Effect.VALVE_SUCTION);
    Port demo = light.before();
    Port port =
        new Port(
            demo.name(),
            2.02 * Stand.INCH,
            demo.smallestAreaM2(),
            demo.steps(),
            demo.shortSide(),
            demo.turbulence(),
            demo.turbulenceS());
    Stand stand = Stand.running(light, new Mounted.Head(port), 2e-3, Stand.AIM, 1);
    assertTrue(stand.bench.truth().valve().floats());
    assertEquals(8.11e-3, stand.bench.truth().valve().liftM(), 0.01e-3);
    stand.bench.setLift(10e-3);
    stand.run(10);
    assertFalse(stand.bench.truth().valve().floats(), "the opener has caught up");
    stand.bench.blower(false);
    stand.bench.setLift(2e-3);
    stand.run(30);
    assertEquals(2e-3, stand.bench.truth().valve().liftM(), 1e-6);
  }

  @Test
  void aHeavySpringHoldsTheValveButTheOpenerGivesALittle() {
    Scenario heavy = Variants.only(DEMO, Effect.VALVE_SUCTION);
    Mounted head = new Mounted.Head(DEMO.before());
    double drawn = Stand.running(heavy, head, 2e-3, Stand.AIM, 1).bench.truth().valve().liftM();
    // 13.30 N on a 1.94 in head over 4 N/µm.
    assertEquals(2e-3 + 3.325e-6, drawn, 0.01e-6);

    Stand blown = new Stand(heavy, 1);
    blown.bench.direction(Direction.BLOWING);
    blown.bench.mount(head);
    blown.bench.setLift(2e-3);
    blown.bench.aimPressure(Stand.AIM);
    blown.bench.blower(true);
    blown.run(30);
    assertEquals(2e-3 - 3.325e-6, blown.bench.truth().valve().liftM(), 0.01e-6);
  }

  @Test
  void turningTakesItsTime() {
    Stand stand = new Stand(IDEAL, 1);
    stand.bench.setLift(8e-3);
    stand.run(1);
    assertEquals(4e-3, stand.bench.truth().valve().liftM(), 0.01e-3);
    assertFalse(stand.bench.openerRests());
    stand.run(1.01);
    assertTrue(stand.bench.openerRests());
  }

  private static double dialAfterTurningTo(Stand stand, double liftM) {
    stand.bench.setLift(liftM);
    stand.run(20);
    return stand.bench.dialM();
  }
}
