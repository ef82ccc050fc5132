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

  /** Two parts in a million: the standard rounds two constants to seven and four figures. */
  @Test
  void density() {
    assertEquals(1.1860848, room.density(), 1.1860848 * 2e-6);
    assertEquals(0.9441589, thin.density(), 0.9441589 * 2e-6);
  }

  @Test
  void speedOfSound() {
    assertEquals(345.86652, room.soundSpeed(), 1e-5);
    assertEquals(344.38267, thin.soundSpeed(), 1e-5);
  }

  @Test
  void ratioOfSpecificHeats() {
    assertEquals(1.4007573, room.kappa(), 1e-7);
    assertEquals(1.4000266, thin.kappa(), 1e-7);
  }

  @Test
  void viscosity() {
    assertEquals(1.826566e-5, room.viscosity(), 1e-11);
    assertEquals(1.811295e-5, thin.viscosity(), 1e-11);
  }
}
