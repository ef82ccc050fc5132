package meniscus.core.flow;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;

import meniscus.core.air.AirState;
import meniscus.core.quantity.Unit;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

class AirSpeedTest {

  @Test
  void theMeanIsFlowOverArea() {
    // 250 cfm through 2.2 in²: 250/60/(2.2/144) = 272.7 ft/s.
    double cubicFoot = Math.pow(0.3048, 3);
    double speed = AirSpeed.mean(250 * cubicFoot / 60, 2.2 * 0.0254 * 0.0254);
    assertEquals(272.727 * 0.3048, speed, 1e-3);
    assertThrows(IllegalArgumentException.class, () -> AirSpeed.mean(1, 0));
  }

  /**
   * A thermal anemometer's manual: 450 ft/min in a duct of 24 by 12 in is 900 cfm. A ventilation
   * page: 5 m/s in a duct of 200 mm is 565 m³/h.
   */
  @Test
  void theMeanIsThatOfPublishedDucts() {
    double foot = 0.3048;
    assertEquals(
        450 * foot / 60, AirSpeed.mean(900 * Math.pow(foot, 3) / 60, 2 * foot * foot), 1e-9);
    assertEquals(5, AirSpeed.mean(565 / 3600.0, Math.PI * 0.1 * 0.1), 0.005);
  }

  /**
   * A page's worked example: 102 000 against 101 325 Pa in air of 1.225 kg/m³ is 33.2 m/s, without
   * compressibility, which takes M²/8 off: the impact pressure is ½ρv² (1 + M²/4 + …).
   */
  @Test
  void theProbesSpeedIsThatOfAPublishedExample() {
    AirState air = AirState.dry(288.15, 101_325);
    assertEquals(1.225, air.density(), 1e-3);
    AirSpeed.AtProbe found = AirSpeed.atProbe(air, 675);
    assertEquals(33.2 * (1 - found.mach() * found.mach() / 8), found.speed(), 0.05);
  }

  /**
   * An inch of water at 20 °C in standard air of 0.075 lb/ft³ is 4005 ft/min (ACGIH, ASHRAE), which
   * leaves out compressibility: 0.04 % here.
   */
  @Test
  void theProbesSpeedIsTheVentilationRule() {
    AirState air = AirState.dry(294.26, 101_325);
    double speed = AirSpeed.atProbe(air, Unit.INCH_OF_WATER_20C.toSi(1)).speed();
    assertEquals(4005, Unit.FOOT_PER_SECOND.fromSi(speed) * 60, 4);
  }

  /**
   * p/p0 of compressible flow tables for κ = 1.4: a textbook's appendix to Mach 0.64 and 0.84 to
   * 0.90, an aeronautical data book to 0.99. Dry air's own κ is 0.1 % higher.
   */
  @ParameterizedTest
  @CsvSource({
    "0.15, 0.9844",
    "0.50, 0.8430",
    "0.54, 0.8201",
    "0.60, 0.7840",
    "0.64, 0.7591",
    "0.84, 0.6300",
    "0.90, 0.5913",
    "0.95, 0.5595",
    "0.99, 0.5345"
  })
  void theProbesMachNumberIsThatOfTheTables(double mach, double pressureRatio) {
    AirState air = AirState.dry(288.15, 101_325);
    double impact = 101_325 / pressureRatio - 101_325;
    assertEquals(mach, AirSpeed.atProbe(air, impact).mach(), 1e-3);
  }

  /**
   * The same two tables: A/A* and T/T0. Speed over still air's speed of sound is M √(T/T0), and
   * what a section passes is ρ* a* A*, with 0.6339 and √0.8333 of still air's.
   */
  @ParameterizedTest
  @CsvSource({
    "0.10, 5.8218, 0.9980", "0.15, 3.9103, 0.9955", "0.50, 1.3398, 0.9524",
    "0.52, 1.3034, 0.9487", "0.56, 1.2403, 0.9410", "0.60, 1.1882, 0.9328",
    "0.64, 1.1452, 0.9243", "0.82, 1.0305, 0.8815"
  })
  void theSpeedInASectionIsThatOfTheTables(double mach, double area, double temperature) {
    double share = 0.6339 * Math.sqrt(0.8333) / area;
    assertEquals(
        mach * Math.sqrt(temperature),
        AirSpeed.inSection(share, 1, 1, 1.4).orElseThrow(),
        5e-4,
        "Mach " + mach);
  }

  /**
   * U.S. Standard Atmosphere at sea level, calibrated against true airspeed: 100 m/s makes an
   * impact pressure of p((1 + 0.2 M²)^3.5 − 1), worked out here from a = 340.294 m/s.
   */
  @Test
  void theProbesSpeedIsThatOfTheImpactPressure() {
    AirState air = AirState.dry(288.15, 101_325);
    double mach = 100 / 340.294;
    double impact = 101_325 * (Math.pow(1 + 0.2 * mach * mach, 3.5) - 1);
    AirSpeed.AtProbe found = AirSpeed.atProbe(air, impact);
    assertEquals(100, found.speed(), 0.1);
    assertEquals(mach, found.mach(), 3e-4);
    // Bernoulli without compressibility is 1 % high by then.
    assertEquals(1.01, Math.sqrt(2 * impact / air.density()) / found.speed(), 0.002);
  }

  @Test
  void noSpeedAtOrAboveThatOfSoundAndNoneBelowZero() {
    AirState air = AirState.dry(288.15, 101_325);
    assertThrows(IllegalArgumentException.class, () -> AirSpeed.atProbe(air, 95_000));
    assertThrows(IllegalArgumentException.class, () -> AirSpeed.atProbe(air, -1));
    assertEquals(0, AirSpeed.atProbe(air, 0).speed());
  }

  /**
   * A calculator's worked example, with numbers of no real engine: cylinder 0.85 m, valve 0.02 m,
   * piston speed 0.011 m/s, coefficient 11.8 and sound at 3.4 m/s make 0.495233.
   */
  @Test
  void theMachIndexIsThatOfAPublishedExample() {
    double meanArea = 11.8 * Math.PI / 4 * 0.02 * 0.02;
    double stroke = 0.1;
    double revolutions = 0.011 / (2 * stroke);
    assertEquals(
        0.495233050847458, AirSpeed.machIndex(0.85, stroke, revolutions, meanArea, 3.4), 1e-12);
  }

  /** Z = (B/Dv)² s/(a Ci) with 101.6, 51.3, 88.9 mm, 6500 a minute, Ci 0.35 and 343 m/s: 0.629. */
  @Test
  void theMachIndexIsTheSameByValveDiameterAndMeanCoefficient() {
    double meanArea = 0.35 * Math.PI / 4 * 0.0513 * 0.0513;
    double index = AirSpeed.machIndex(0.1016, 0.0889, 6500 / 60.0, meanArea, 343);
    double pistonSpeed = 2 * 0.0889 * 6500 / 60;
    assertEquals(Math.pow(101.6 / 51.3, 2) * pistonSpeed / (343 * 0.35), index, 1e-12);
    assertEquals(0.629, index, 5e-4);
  }
}
