package meniscus.core.flow;

import static org.junit.jupiter.api.Assertions.assertEquals;

import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/**
 * The nozzle's expansion factor by another route: v²/2 = ∫dp/ρ integrated numerically. The expected
 * numbers come from an independent script's quadrature (101325 Pa, κ 1.4); the same integral is
 * done here again.
 */
class ExpansionByQuadratureTest {

  private static final double UPSTREAM = 101_325;

  @ParameterizedTest
  @CsvSource({
    "1, 0.9986821765608233",
    "5, 0.9933934140843206",
    "10, 0.9867426799219656",
    "15, 0.9800469864851059",
    "20, 0.9733054977355491",
    "25, 0.9665173515282354",
    "28, 0.9624216993995609"
  })
  void expansionFactorAtInchesOfWater(double inches, double expected) {
    double dropPa = inches * 249.08891;
    assertEquals(expected, Nozzle.expansionFactor(UPSTREAM, dropPa, 1.4), 1e-9);
    assertEquals(expected, integrated(dropPa / UPSTREAM), 1e-9);
  }

  /** qm √(R T0)/(A p0) at r = 0.931167: 0.35709051. */
  @ParameterizedTest
  @CsvSource("0.931167, 0.35709051094367356")
  void massFunction(double ratio, double expected) {
    double r = 1 - 28 * 249.08891 / UPSTREAM;
    assertEquals(ratio, r, 1e-6);
    assertEquals(expected, Nozzle.massFlux(1, 1, 1 - r, 1.4), 1e-8);
  }

  /** Y = ρ2 v/√(2 Δp) with p0 = ρ0 = 1; Simpson's rule over p of ∫dp/ρ, ρ = p^(1/κ). */
  private static double integrated(double drop) {
    int steps = 1000;
    double h = drop / steps;
    double sum = 0;
    for (int i = 0; i <= steps; i++) {
      double weight = i == 0 || i == steps ? 1 : i % 2 == 1 ? 4 : 2;
      sum += weight * Math.pow(1 - i * h, -1 / 1.4);
    }
    double velocity = Math.sqrt(2 * sum * h / 3);
    return Math.pow(1 - drop, 1 / 1.4) * velocity / Math.sqrt(2 * drop);
  }
}
