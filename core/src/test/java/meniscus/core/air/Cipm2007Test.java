package meniscus.core.air;

import static org.junit.jupiter.api.Assertions.assertEquals;

import org.junit.jupiter.api.Test;

/** Picard, Davis, Gläser, Fujii, Metrologia 45 (2008) 149, and densities computed with it. */
class Cipm2007Test {

  /**
   * Equation (5b) rounds Ma/R and 1 − Mv/Ma of Ma = 28.96546e-3 and Mv = 18.01528e-3 kg/mol, R =
   * 8.314472 J/(mol K), as quoted in a public note on the paper.
   */
  @Test
  void constantsAreThoseOfThePaper() {
    assertEquals(28.96546e-3 / 8.314472, MoistAirEquations.DRY_MASS_OVER_R, 5e-10);
    assertEquals(1 - 18.01528 / 28.96546, MoistAirEquations.VAPOUR_LIGHTNESS, 5e-5);
  }

  /** A mass-metrology book's appendix, p. 205, as asserted in the tests of R package masscor. */
  @Test
  void densityAt10And40DegreesIsThatOfTheBook() {
    assertEquals(1.19569, mercury(10, 730, 0.40).density(), 1e-4);
    assertEquals(1.11497, mercury(40, 760, 0.40).density(), 1e-4);
  }

  /**
   * NIST buoyancy procedure SOP 2, appendix B, example 1, as asserted in the tests of R package
   * masscor: computed with the older equation of Jones (1978).
   */
  @Test
  void densityAgreesWithTheOlderEquation() {
    assertEquals(1.17194, mercury(22.3, 748.1, 0.37).density(), 1.17194 * 5e-4);
  }

  private static AirState mercury(double celsius, double millimetres, double humidity) {
    return new AirState(273.15 + celsius, millimetres * 133.322387415, humidity);
  }
}
