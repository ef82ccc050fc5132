package meniscus.core.calibrate;

import static org.junit.jupiter.api.Assertions.assertEquals;

import java.util.Arrays;
import org.junit.jupiter.api.Test;

/**
 * JCGM 100:2008 (GUM) H.3, table H.6: calibration of a thermometer by a straight line; values also
 * quoted in the GTC and suncal libraries.
 */
class GumThermometerTest {

  @Test
  void correctionAgainstTemperature() {
    double[] readings = {
      21.521, 22.012, 22.512, 23.003, 23.507, 23.999, 24.513, 25.002, 25.503, 26.010, 26.511
    };
    double[] corrections = {
      -0.171, -0.169, -0.166, -0.159, -0.164, -0.165, -0.156, -0.157, -0.159, -0.161, -0.160
    };
    double[] aboveTwenty = Arrays.stream(readings).map(t -> t - 20).toArray();
    Fit fit =
        LeastSquares.fit(
                Observations.unweighted(aboveTwenty, corrections), PolynomialBasis.polynomial(1))
            .scaledByResiduals();
    double u1 = Math.sqrt(fit.covariance()[0][0]);
    double u2 = Math.sqrt(fit.covariance()[1][1]);
    assertEquals(-0.1712, fit.coefficients()[0], 0.00005);
    assertEquals(0.00218, fit.coefficients()[1], 0.000005);
    assertEquals(0.0029, u1, 0.00005);
    assertEquals(0.00067, u2, 0.000005);
    assertEquals(-0.930, fit.covariance()[0][1] / (u1 * u2), 0.0005);
    assertEquals(0.0035, fit.residualScale(), 0.00005);
    assertEquals(-0.1494, fit.value(10), 0.00005);
    assertEquals(0.0041, fit.standardUncertainty(10), 0.00005);
  }
}
