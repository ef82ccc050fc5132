package meniscus.core.air;

import static org.junit.jupiter.api.Assertions.assertEquals;

import org.junit.jupiter.api.Test;

/**
 * U.S. Standard Atmosphere 1976. It is dry, an ideal gas, and of slightly other composition, so
 * density and sound speed agree within those differences only.
 */
class UsStandardAtmosphereTest {

  private final AirState seaLevel = AirState.dry(288.15, 101_325);

  @Test
  void seaLevelDensityWithinTheRealGasPart() {
    assertEquals(1.2250, seaLevel.density(), 1.2250 * 5e-4);
  }

  /** R = 8314.32/28.9644 = 287.053 J/(kg K). */
  @Test
  void gasConstantWithinTheRealGasPart() {
    assertEquals(287.053, seaLevel.gasConstant(), 287.053 * 5e-4);
  }

  @Test
  void seaLevelSpeedOfSound() {
    assertEquals(340.294, seaLevel.soundSpeed(), 340.294 * 5e-4);
  }

  /** Viscosity by Sutherland's formula, 1.726e-5 Pa s at 2000 m and 275.154 K. */
  @Test
  void viscosityIn2000Metres() {
    assertEquals(1.726e-5, AirState.dry(275.154, 79_501).viscosity(), 1.726e-5 * 5e-3);
  }

  /** 97716.74009473655 Pa at 304.8 m geometric: run with the open-source library fluids. */
  @Test
  void pressureAtAThousandFeetIsThatOfTheLibraryFluids() {
    assertEquals(97716.74009473655, Barometer.stationPressure(101_325, 304.8), 0.098);
  }

  /** Printed in the 1976 table: 89 876 Pa at 1000 m, 79 501 Pa at 2000 m (from memory). */
  @Test
  void pressureInTheTable() {
    assertEquals(89_876, Barometer.stationPressure(101_325, 1000), 1);
    assertEquals(79_501, Barometer.stationPressure(101_325, 2000), 1);
  }
}
