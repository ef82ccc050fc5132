package meniscus.core.calibrate;

import static org.junit.jupiter.api.Assertions.assertEquals;

import java.util.stream.IntStream;
import org.junit.jupiter.api.Test;

/**
 * NIST Statistical Reference Datasets, linear regression: data and certified values as quoted in
 * the test suites of GSL and Apache Commons Math.
 */
class CertifiedFitsTest {

  private static void assertClose(double certified, double fitted, double relative) {
    assertEquals(certified, fitted, relative * Math.abs(certified));
  }

  @Test
  void norrisStraightLine() {
    double[] y = {
      0.1, 338.8, 118.1, 888.0, 9.2, 228.1, 668.5, 998.5, 449.1, 778.9, 559.2, 0.3, 0.1, 778.1,
      668.8, 339.3, 448.9, 10.8, 557.7, 228.3, 998.0, 888.8, 119.6, 0.3, 0.6, 557.6, 339.3, 888.0,
      998.5, 778.9, 10.2, 117.6, 228.9, 668.4, 449.2, 0.2
    };
    double[] x = {
      0.2, 337.4, 118.2, 884.6, 10.1, 226.5, 666.3, 996.3, 448.6, 777.0, 558.2, 0.4, 0.6, 775.5,
      666.9, 338.0, 447.5, 11.6, 556.0, 228.1, 995.8, 887.6, 120.2, 0.3, 0.3, 556.8, 339.1, 887.2,
      999.0, 779.0, 11.1, 118.3, 229.2, 669.1, 448.9, 0.5
    };
    Fit fit = LeastSquares.fit(Observations.unweighted(x, y), PolynomialBasis.polynomial(1));
    assertClose(-0.262323073774029, fit.coefficients()[0], 1e-9);
    assertClose(1.00211681802045, fit.coefficients()[1], 1e-9);
    assertClose(0.000429796848199937, Math.sqrt(fit.scaledByResiduals().covariance()[1][1]), 1e-9);
    assertClose(0.884796396144373, fit.residualScale(), 1e-9);
  }

  @Test
  void pontiusLoadCellQuadratic() {
    double[] x = IntStream.range(0, 40).mapToDouble(i -> 150_000.0 * (i % 20 + 1)).toArray();
    double[] y = {
      0.11019, 0.21956, 0.32949, 0.43899, 0.54803, 0.65694, 0.76562, 0.87487, 0.98292, 1.09146,
      1.20001, 1.30822, 1.41599, 1.52399, 1.63194, 1.73947, 1.84646, 1.95392, 2.06128, 2.16844,
      0.11052, 0.22018, 0.32939, 0.43886, 0.54798, 0.65739, 0.76596, 0.87474, 0.983, 1.0915,
      1.20004, 1.30818, 1.41613, 1.52408, 1.63159, 1.73965, 1.84696, 1.95445, 2.06177, 2.16829
    };
    Fit fit = LeastSquares.fit(Observations.unweighted(x, y), PolynomialBasis.polynomial(2));
    assertClose(0.000673565789473684, fit.coefficients()[0], 1e-8);
    assertClose(7.32059160401003e-07, fit.coefficients()[1], 1e-10);
    assertClose(-3.16081871345029e-15, fit.coefficients()[2], 1e-9);
    double[][] covariance = fit.scaledByResiduals().covariance();
    assertClose(0.000107938612033077, Math.sqrt(covariance[0][0]), 1e-8);
    assertClose(1.57817399981659e-10, Math.sqrt(covariance[1][1]), 1e-8);
  }

  @Test
  void noInt1LineThroughTheOrigin() {
    double[] x = IntStream.rangeClosed(60, 70).asDoubleStream().toArray();
    double[] y = IntStream.rangeClosed(130, 140).asDoubleStream().toArray();
    Fit fit = LeastSquares.fit(Observations.unweighted(x, y), PolynomialBasis.lineThroughOrigin());
    assertClose(2.07438016528926, fit.coefficients()[0], 1e-12);
    assertClose(0.0165289256198347, Math.sqrt(fit.scaledByResiduals().covariance()[0][0]), 1e-10);
  }
}
