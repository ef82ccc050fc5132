package meniscus.drivers.simulated;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.ArrayList;
import java.util.List;
import meniscus.core.lift.Sweep;
import org.junit.jupiter.api.Test;

/** The person at the bench. */
class SimulatedOperatorTest {

  private static final Scenario DEMO = Scenario.demo();

  private final SimulatedBench bench = new SimulatedBench(DEMO, 9);

  @Test
  void setsEachLiftOnTheDialAndComesFromTheSweepsSide() {
    SimulatedOperator operator = new SimulatedOperator(bench, 10);
    operator.mount(new Mounted.Head(DEMO.before()));
    operator.blower(true);
    int turnedTooFar = 0;
    for (Sweep sweep : List.of(Sweep.OPENING, Sweep.CLOSING)) {
      for (int step = 1; step <= 12; step++) {
        double liftM = (sweep == Sweep.OPENING ? step : 13 - step) * 0.05 * Stand.INCH;
        operator.goToLift(liftM, sweep);
        List<Double> path = lifts(operator);
        assertEquals(liftM, bench.dialM(), 0.02e-3);
        turnedTooFar += backwards(path, sweep) ? 1 : 0;
        assertTrue(cameFrom(path, sweep), sweep + " to " + liftM);
      }
    }
    assertTrue(turnedTooFar >= 1 && turnedTooFar <= 10, turnedTooFar + " of 24 turned too far");
  }

  @Test
  void doesOneThingAfterAnother() {
    SimulatedOperator operator = new SimulatedOperator(bench, 1);
    operator.aimPressure(4000);
    operator.blower(true);
    assertFalse(operator.idle());
    operator.advanceTo(bench.now().plusSeconds(0.3));
    assertEquals(0, bench.truth().pressures().testPa(), "a moment of thought comes first");
    operator.advanceTo(bench.now().plusSeconds(30));
    assertTrue(operator.idle());
    assertEquals(4000, bench.truth().pressures().testPa(), 150);
  }

  @Test
  void shutsTheValveWhenAskedForNoLift() {
    SimulatedOperator operator = new SimulatedOperator(bench, 1);
    operator.mount(new Mounted.Head(DEMO.before()));
    operator.goToLift(4e-3, Sweep.OPENING);
    operator.goToLift(0, Sweep.CLOSING);
    operator.advanceTo(bench.now().plusSeconds(30));
    assertEquals(0, bench.truth().valve().liftM());
  }

  @Test
  void givesUpOnAValveThatWillNotComeDown() {
    SimulatedBench light = new SimulatedBench(Variants.lightSpring(), 1);
    SimulatedOperator operator = new SimulatedOperator(light, 1);
    operator.mount(new Mounted.Head(DEMO.before()));
    operator.blower(true);
    operator.goToLift(2e-3, Sweep.OPENING);
    operator.advanceTo(light.now().plusSeconds(60));
    assertTrue(operator.idle());
    assertTrue(light.truth().valve().floats());
  }

  @Test
  void theSameSeedHasTheSameHands() {
    assertEquals(dials(3), dials(3));
    assertFalse(dials(3).equals(dials(4)));
  }

  private static List<Double> dials(long seed) {
    SimulatedBench bench = new SimulatedBench(DEMO, 1);
    SimulatedOperator operator = new SimulatedOperator(bench, seed);
    operator.goToLift(4e-3, Sweep.OPENING);
    operator.goToLift(6e-3, Sweep.OPENING);
    List<Double> dials = new ArrayList<>();
    for (int i = 0; i < 100; i++) {
      operator.advanceTo(bench.now().plusSeconds(0.1));
      dials.add(bench.dialM());
    }
    return dials;
  }

  /** True lifts until the operator is done. */
  private List<Double> lifts(SimulatedOperator operator) {
    List<Double> path = new ArrayList<>();
    while (!operator.idle()) {
      operator.advanceTo(bench.now().plusSeconds(0.02));
      path.add(bench.truth().valve().liftM());
    }
    return path;
  }

  /** Whether the valve was ever moved against the sweep by more than the suction's own play. */
  private static boolean backwards(List<Double> path, Sweep sweep) {
    for (int i = 1; i < path.size(); i++) {
      if (forward(sweep) * (path.get(i) - path.get(i - 1)) < -1e-5) {
        return true;
      }
    }
    return false;
  }

  /** Whether the last real move went with the sweep. */
  private static boolean cameFrom(List<Double> path, Sweep sweep) {
    for (int i = path.size() - 1; i > 0; i--) {
      double move = path.get(i) - path.get(i - 1);
      if (Math.abs(move) > 1e-6) {
        return forward(sweep) * move > 0;
      }
    }
    return false;
  }

  private static int forward(Sweep sweep) {
    return sweep == Sweep.OPENING ? 1 : -1;
  }
}
