package meniscus.core.air;

import static org.junit.jupiter.api.Assertions.assertEquals;

import org.junit.jupiter.api.Test;

/**
 * IEC 61094-2:2009 annex F, table F.1 (density by CIPM-2007), at a carbon dioxide fraction of
 * 0.0004; the values as quoted in the public test data of the open-source library phonometry.
 */
class Iec61094Test {

  private final AirState room = new AirState(273.15 + 23, 101_325, 0.5);
  private final AirState thin = new AirState(273.15 + 20, 80_000, 0.65);

  @Test
  void density() {
    assertEquals(1.1860848, room.density(), 5e-8);
    assertEquals(0.9441589, thin.density(), 5e-8);
  }

  @Test
  void speedOfSound() {
    assertEquals(345.86652, room.soundSpeed(), 5e-6);
    assertEquals(344.38267, thin.soundSpeed(), 5e-6);
  }

  @Test
  void ratioOfSpecificHeats() {
    assertEquals(1.4007573, room.kappa(), 5e-8);
    assertEquals(1.4000266, thin.kappa(), 5e-8);
  }

  @Test
  void viscosity() {
    assertEquals(1.826566e-5, room.viscosity(), 5e-12);
    assertEquals(1.811295e-5, thin.viscosity(), 5e-12);
  }
}
