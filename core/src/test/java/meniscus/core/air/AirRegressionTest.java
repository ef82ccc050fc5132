package meniscus.core.air;

import static org.junit.jupiter.api.Assertions.assertEquals;

import org.junit.jupiter.api.Test;

/**
 * Regression only: values worked out by hand from the same equations, no outside proof. Dry
 * densities at reference conditions, and what a wrong entry costs in flow (flow at a given drop
 * goes as one over the root of density).
 */
class AirRegressionTest {

  @Test
  void dryDensitiesAtReferenceConditions() {
    assertEquals(1.2255, ReferenceAir.DRY_15C.state().density(), 6e-4);
    assertEquals(1.2046, ReferenceAir.DRY_20C.state().density(), 6e-4);
    assertEquals(1.1688, ReferenceAir.DRY_25C_100KPA.state().density(), 6e-4);
    assertEquals(1.1571, ReferenceAir.DRY_25C_99KPA.state().density(), 6e-4);
    assertEquals(1.2231, ReferenceAir.DRY_60F.state().density(), 6e-4);
  }

  /** Two gases at their partial pressures with Z = 1 (287.05 and 461.5 J/(kg K)): 1.16182377. */
  @Test
  void theSimpleFormIsWithin6In10000() {
    assertEquals(1.1618237714376098, new AirState(298.15, 100_000, 0.5).density(), 1.16182 * 6e-4);
  }

  /** Sutherland: 1.458e-6 T^1.5/(T + 110.4) = 1.81476e-5 Pa s at 20 °C. */
  @Test
  void theViscosityIsWithinHalfAPercentOfSutherland() {
    assertEquals(
        1.8147639469327497e-5,
        AirState.dry(293.15, 101_325).viscosity(),
        1.8147639469327497e-5 * 5e-3);
  }

  @Test
  void pressureAtAThousandFeetOfGeopotential() {
    double geometricM = 304.8 * 6_356_766 / (6_356_766 - 304.8);
    assertEquals(97_716.6, Barometer.stationPressure(101_325, geometricM), 1);
  }

  @Test
  void oneKelvinAtHalfHumidity() {
    AirState truth = new AirState(293.15, 101_325, 0.5);
    assertEquals(0.18439, flowError(truth, new AirState(294.15, 101_325, 0.5)), 0.002);
  }

  @Test
  void aWetBulbOf18TakenForTheDryBulbOf25() {
    assertEquals(-1.18, flowError(dry(25), dry(18)), 0.02);
  }

  @Test
  void halfHumidityAgainstDry() {
    AirState dry = AirState.dry(298.15, 101_325);
    assertEquals(0.297, flowError(dry, new AirState(298.15, 101_325, 0.5)), 0.005);
  }

  @Test
  void aSeaLevelBarometerAt300Metres() {
    double station = Barometer.stationPressure(101_325, 300);
    assertEquals(-1.77, flowError(dry(20, station), dry(20, 101_325)), 0.02);
  }

  private static double flowError(AirState truth, AirState taken) {
    return 100 * (Math.sqrt(truth.density() / taken.density()) - 1);
  }

  private static AirState dry(double celsius) {
    return dry(celsius, 101_325);
  }

  private static AirState dry(double celsius, double pressurePa) {
    return AirState.dry(273.15 + celsius, pressurePa);
  }
}
