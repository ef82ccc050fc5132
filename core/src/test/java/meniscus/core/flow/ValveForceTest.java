package meniscus.core.flow;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import meniscus.core.quantity.Unit;
import org.junit.jupiter.api.Test;

class ValveForceTest {

  private static final double HEAD = Unit.INCH_LENGTH.toSi(2.02);
  private static final double TEST_PRESSURE = Unit.INCH_OF_WATER.toSi(28);

  /** Regression by hand: 14.42 N; by another route 1.0116 psi on 3.2047 in² = 3.242 lbf. */
  @Test
  void regressionForceOnALargeHead() {
    double force = ValveForce.of(HEAD, TEST_PRESSURE, Direction.SUCTION).openingN();
    assertEquals(14.42, force, 0.01);
    assertEquals(3.242, Unit.POUND_FORCE.fromSi(force), 0.002);
  }

  @Test
  void suctionOpensAndBlowingShuts() {
    double open = ValveForce.of(HEAD, TEST_PRESSURE, Direction.SUCTION).openingN();
    assertTrue(open > 0);
    assertEquals(-open, ValveForce.of(HEAD, TEST_PRESSURE, Direction.BLOWING).openingN());
  }

  @Test
  void aLightSpringIsSuckedOpenNearTheSeatAndHoldsFurtherUp() {
    ValveForce force = ValveForce.of(HEAD, TEST_PRESSURE, Direction.SUCTION);
    assertTrue(force.marginN(10, 800, 0.001, 0) < 0);
    assertTrue(force.marginN(10, 800, 0.010, 0) > 0);
  }

  @Test
  void theValvesWeightTakesFromTheMargin() {
    ValveForce force = ValveForce.of(HEAD, TEST_PRESSURE, Direction.SUCTION);
    assertEquals(force.marginN(20, 800, 0.005, 0) - 1.5, force.marginN(20, 800, 0.005, 1.5), 1e-12);
  }

  @Test
  void blowingAddsToTheSpring() {
    ValveForce force = ValveForce.of(HEAD, TEST_PRESSURE, Direction.BLOWING);
    assertEquals(10 - force.openingN(), force.marginN(10, 800, 0, 0), 1e-12);
  }

  @Test
  void impossibleNumbersAreRefused() {
    assertThrows(IllegalArgumentException.class, () -> ValveForce.of(0, 7000, Direction.SUCTION));
    assertThrows(
        IllegalArgumentException.class, () -> ValveForce.of(HEAD, -7000, Direction.SUCTION));
    ValveForce force = ValveForce.of(HEAD, TEST_PRESSURE, Direction.SUCTION);
    assertThrows(IllegalArgumentException.class, () -> force.marginN(-1, 800, 0, 0));
  }
}
