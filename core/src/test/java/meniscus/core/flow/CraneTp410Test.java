package meniscus.core.flow;

import static org.junit.jupiter.api.Assertions.assertEquals;

import org.junit.jupiter.api.Test;

/**
 * Crane Technical Paper 410, example 7.23, as worked in the documentation of the library fluids:
 * water through a 2 inch bore in a 4.026 inch pipe, manometer of 4.4 inches of mercury under water;
 * printed: 106 US gallons a minute, flow coefficient 0.625.
 */
class CraneTp410Test {

  private static final double INCH = 0.0254;
  private static final double WATER = 62.364 * 0.45359237 / Math.pow(0.3048, 3);
  private static final double GALLON_A_MINUTE = 3.785411784e-3 / 60;

  private final OrificePlate plate = OrificePlate.inPipe(2 * INCH, 4.026 * INCH, Tapping.CORNER);
  private final double dropPa = 4.4 * INCH * 9.80665 * (13_595.1 - WATER);

  private final double massFlow =
      plate.massFlow(WATER, 1.1e-3, Double.POSITIVE_INFINITY, 1e6, dropPa, Expansibility.ISO_2003);

  @Test
  void flow() {
    assertEquals(106, massFlow / WATER / GALLON_A_MINUTE, 0.5);
  }

  @Test
  void flowCoefficient() {
    double c = plate.coefficient(plate.boreReynolds(massFlow, 1.1e-3));
    assertEquals(0.625, c / Math.sqrt(1 - Math.pow(plate.ratio(), 4)), 0.002);
  }
}
