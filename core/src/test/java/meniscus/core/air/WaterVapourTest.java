package meniscus.core.air;

import static org.junit.jupiter.api.Assertions.assertEquals;

import org.junit.jupiter.api.Test;

/** Saturation pressure against two steam tables. */
class WaterVapourTest {

  /** IAPWS-IF97 (R7-97) table 35: 0.353658941e-2 MPa at 300 K; our equation is another one. */
  @Test
  void saturationPressureIsThatOfTheSteamTable() {
    assertEquals(3536.58941, MoistAirEquations.saturationPressure(300), 3.5);
  }

  /** NBS/NRC steam table: 1055.154 Pa at 291.5 K and 50 %, as used in the tests of Orekit. */
  @Test
  void vapourPressureAtHalfHumidity() {
    assertEquals(1055.154, 0.5 * MoistAirEquations.saturationPressure(291.5), 0.5);
  }
}
