package meniscus.core.flow;

import static org.junit.jupiter.api.Assertions.assertEquals;

import meniscus.core.quantity.Unit;
import org.junit.jupiter.api.Test;

/**
 * V = 4005 √VP ft/min and V = 1096.7 √(VP/ρ) for standard air of 0.075 lb/ft³ (ACGIH Industrial
 * Ventilation, ASHRAE; text quoted publicly). They carry an inch of water at 68 to 70 °F.
 */
class VelocityPressureTest {

  /** So far upstream pressure that air is incompressible. */
  private static final double INCOMPRESSIBLE = 1e12;

  private static final double DENSITY = Unit.POUND_PER_CUBIC_FOOT.toSi(0.075);

  @Test
  void aWarmInchOfWaterGives4005FeetAMinute() {
    double velocity = velocity(Unit.INCH_OF_WATER_20C.toSi(1));
    assertEquals(4005, velocity, 0.5);
    assertEquals(1096.7 / Math.sqrt(0.075), velocity, 0.5);
  }

  /** 60 √(2 · 249.08891 Pa / (1 lb/ft³)) in feet: 1097.8 by the conventional inch (NIST SP 811). */
  @Test
  void aConventionalInchGivesAThousandthMore() {
    double velocity = velocity(Unit.INCH_OF_WATER.toSi(1));
    assertEquals(1097.8, velocity * Math.sqrt(0.075), 0.1);
    // Regression by hand.
    assertEquals(4008.5, velocity, 0.1);
  }

  private static double velocity(double dropPa) {
    double metresASecond = Nozzle.massFlux(DENSITY, INCOMPRESSIBLE, dropPa, 1.4) / DENSITY;
    return Unit.FOOT_PER_SECOND.fromSi(metresASecond) * 60;
  }
}
