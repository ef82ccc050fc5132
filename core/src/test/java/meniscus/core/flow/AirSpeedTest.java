package meniscus.core.flow;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;

import meniscus.core.air.AirState;
import org.junit.jupiter.api.Test;

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
