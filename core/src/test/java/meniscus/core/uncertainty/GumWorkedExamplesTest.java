package meniscus.core.uncertainty;

import static org.junit.jupiter.api.Assertions.assertEquals;

import java.util.List;
import meniscus.core.uncertainty.Contribution.Kind;
import org.junit.jupiter.api.Test;

/**
 * JCGM 100:2008 (GUM), annexes G and H, values as quoted in public test material of the GTC and
 * suncal libraries.
 */
class GumWorkedExamplesTest {

  private static Contribution own(String source, double u, double dof, double sensitivity) {
    return new Contribution(source, Kind.SYSTEMATIC, u, dof, sensitivity, "");
  }

  /** H.1: end gauge, 32 nm, 16 degrees of freedom (truncated), U99 93 nm. */
  @Test
  void endGaugeCalibration() {
    double lengthNm = 50.000623e6;
    Budget budget =
        new Budget(
            List.of(
                own("standard", 25, 18, 1),
                own("difference", 9.7, 25.6, 1),
                own("expansion difference", 0.58e-6, 50, lengthNm * 0.1),
                own("temperature difference", 0.029, 2, lengthNm * 11.5e-6)));
    assertEquals(32, budget.standardUncertainty(), 0.5);
    assertEquals(16, Math.floor(budget.effectiveDegreesOfFreedom()));
    assertEquals(93, Coverage.factor(0.99, 16) * 32, 0.5);
    assertEquals("standard", budget.largestFirst().get(0).source());
  }

  /** G.2b: four equal inputs with 10 degrees of freedom each make 40. */
  @Test
  void fourEqualInputsAddTheirDegreesOfFreedom() {
    Contribution one = own("one", 1, 10, 1);
    assertEquals(40, new Budget(List.of(one, one, one, one)).effectiveDegreesOfFreedom(), 1e-12);
  }

  /** Table G.2, two-sided (from memory; a general-purpose library agrees). */
  @Test
  void studentFactors() {
    double[][] table = {
      {1, 12.71}, {2, 4.30}, {3, 3.18}, {4, 2.78}, {5, 2.57}, {9, 2.26}, {10, 2.23}, {20, 2.09}
    };
    for (double[] row : table) {
      assertEquals(row[1], Coverage.factor95(row[0]), 0.005, "degrees of freedom " + row[0]);
    }
    assertEquals(2.92, Coverage.factor(0.99, 16), 0.005);
    assertEquals(3.17, Coverage.factor(0.99, 10), 0.005);
    assertEquals(1.960, Coverage.factor95(Double.POSITIVE_INFINITY), 0.0005);
  }

  /** H.2: resistance and reactance from readings of V, I and phase that go together. */
  @Test
  void simultaneousResistanceAndReactance() {
    double[] volts = {5.007, 4.994, 5.005, 4.990, 4.999};
    double[] amps = {19.663e-3, 19.639e-3, 19.640e-3, 19.685e-3, 19.678e-3};
    double[] phases = {1.0456, 1.0438, 1.0468, 1.0428, 1.0433};
    double[][] readings = {volts, amps, phases};
    double[] mean = new double[3];
    double[][] covariance = new double[3][3];
    for (int i = 0; i < 3; i++) {
      for (double value : readings[i]) {
        mean[i] += value / 5;
      }
    }
    for (int i = 0; i < 3; i++) {
      for (int j = 0; j < 3; j++) {
        for (int k = 0; k < 5; k++) {
          covariance[i][j] += (readings[i][k] - mean[i]) * (readings[j][k] - mean[j]) / 20;
        }
      }
    }
    assertEquals(4.999, mean[0], 0.00005);
    assertEquals(19.661e-3, mean[1], 0.00005e-3);
    assertEquals(1.04446, mean[2], 0.000005);
    assertEquals(0.0032, Math.sqrt(covariance[0][0]), 0.00005);
    assertEquals(0.0095e-3, Math.sqrt(covariance[1][1]), 0.00005e-3);
    assertEquals(0.00075, Math.sqrt(covariance[2][2]), 0.000005);
    CorrelatedInputs read = new CorrelatedInputs(covariance, 4);
    assertEquals(-0.36, correlation(budget(read, 1, 0, 0), budget(read, 0, 1, 0)), 0.005);
    assertEquals(0.86, correlation(budget(read, 1, 0, 0), budget(read, 0, 0, 1)), 0.005);
    assertEquals(-0.65, correlation(budget(read, 0, 1, 0), budget(read, 0, 0, 1)), 0.005);

    double v = mean[0];
    double i = mean[1];
    double cos = Math.cos(mean[2]);
    double sin = Math.sin(mean[2]);
    CorrelatedInputs inputs = new CorrelatedInputs(covariance, 4);
    Budget r = budget(inputs, cos / i, -v / (i * i) * cos, -v / i * sin);
    Budget x = budget(inputs, sin / i, -v / (i * i) * sin, v / i * cos);
    Budget z = budget(inputs, 1 / i, -v / (i * i), 0);

    assertEquals(127.732, v / i * cos, 0.0005);
    assertEquals(219.847, v / i * sin, 0.0005);
    assertEquals(254.260, v / i, 0.0005);
    assertEquals(0.071, r.standardUncertainty(), 0.0005);
    // The GUM prints 0.295 from rounded inputs; unrounded it is 0.2956.
    assertEquals(0.295, x.standardUncertainty(), 0.001);
    assertEquals(0.236, z.standardUncertainty(), 0.0005);
    assertEquals(-0.588, correlation(r, x), 0.0005);
    assertEquals(-0.485, correlation(r, z), 0.0005);
    assertEquals(0.993, correlation(x, z), 0.0005);
  }

  private static Budget budget(CorrelatedInputs inputs, double... sensitivities) {
    return new Budget(inputs.contributions("readings", Kind.REPEAT, sensitivities, "readings"));
  }

  private static double correlation(Budget a, Budget b) {
    return a.covariance(b) / (a.standardUncertainty() * b.standardUncertainty());
  }
}
