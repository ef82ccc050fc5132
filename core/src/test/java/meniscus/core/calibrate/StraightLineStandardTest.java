package meniscus.core.calibrate;

import static org.junit.jupiter.api.Assertions.assertEquals;

import java.util.Arrays;
import org.junit.jupiter.api.Test;

/**
 * ISO/TS 28037:2010, worked examples of clauses 6 and 7 (pages 13, 15 and 21), values as quoted in
 * the documentation of the GTC library.
 */
class StraightLineStandardTest {

  private static final double[] X = {1, 2, 3, 4, 5, 6};

  private static Fit line(Observations pairs) {
    return LeastSquares.fit(pairs, PolynomialBasis.polynomial(1));
  }

  private static double u(Fit fit, int k) {
    return Math.sqrt(fit.covariance()[k][k]);
  }

  private static double[] six(double value) {
    double[] all = new double[6];
    Arrays.fill(all, value);
    return all;
  }

  @Test
  void equalUncertaintiesOfY() {
    double[] y = {3.3, 5.6, 7.1, 9.3, 10.7, 12.1};
    Fit fit = line(Observations.exactX(X, y, six(0.5)));
    assertEquals(1.867, fit.coefficients()[0], 0.0005);
    assertEquals(1.757, fit.coefficients()[1], 0.0005);
    assertEquals(0.465, u(fit, 0), 0.0005);
    assertEquals(0.120, u(fit, 1), 0.0005);
    assertEquals(-0.050, fit.covariance()[0][1], 0.0005);
    assertEquals(1.665, fit.chiSquare(), 0.0005);
    assertEquals(4, fit.degreesOfFreedom());
  }

  @Test
  void readingTheLineBackwardsAndForwards() {
    double[] y = {3.3, 5.6, 7.1, 9.3, 10.7, 12.1};
    Fit fit = line(Observations.exactX(X, y, six(0.5)));
    double x = fit.inverse(10.5);
    assertEquals(4.91327913279133, x, 5e-14);
    assertEquals(0.32203556012891, fit.inverseStandardUncertainty(x, 0.5), 5e-14);
    assertEquals(8.01666666666667, fit.value(3.5), 5e-14);
    assertEquals(0.406409531732455, fit.standardUncertainty(3.5, 0.2), 5e-15);
  }

  @Test
  void unequalUncertaintiesOfY() {
    double[] y = {3.2, 4.3, 7.6, 8.6, 11.7, 12.8};
    Fit fit = line(Observations.exactX(X, y, new double[] {0.5, 0.5, 0.5, 1, 1, 1}));
    assertEquals(0.885, fit.coefficients()[0], 0.0005);
    assertEquals(2.057, fit.coefficients()[1], 0.0005);
    assertEquals(0.530, u(fit, 0), 0.0005);
    assertEquals(0.178, u(fit, 1), 0.0005);
    assertEquals(-0.082, fit.covariance()[0][1], 0.0005);
    assertEquals(4.131, fit.chiSquare(), 0.0005);
    double x = fit.inverse(10.5);
    assertEquals(4.67425641025641, x, 5e-14);
    assertEquals(0.533180902231294, fit.inverseStandardUncertainty(x, 1), 5e-14);
  }

  /** Page 21: uncertainties of x and y. */
  @Test
  void uncertaintiesInBothAxes() {
    double[] x = {1.2, 1.9, 2.9, 4.0, 4.7, 5.9};
    double[] y = {3.4, 4.4, 7.2, 8.5, 10.8, 13.5};
    double[] uy = {0.2, 0.2, 0.2, 0.4, 0.4, 0.4};
    Fit fit = line(Observations.of(x, six(0.2), y, uy));
    assertEquals(0.5788, fit.coefficients()[0], 0.00005);
    assertEquals(2.1597, fit.coefficients()[1], 0.00005);
    assertEquals(0.4764, u(fit, 0), 0.00005);
    assertEquals(0.1355, u(fit, 1), 0.00005);
    assertEquals(-0.0577, fit.covariance()[0][1], 0.00005);
    assertEquals(2.743, fit.chiSquare(), 0.0005);
  }

  /** Appendix E: uncertainty of y known but for a factor, before the extra factor of 2. */
  @Test
  void uncertaintyFromTheResiduals() {
    double[] y = {3.014, 5.225, 7.004, 9.061, 11.201, 12.762};
    Fit fit = line(Observations.unweighted(X, y)).scaledByResiduals();
    assertEquals(1.172, fit.coefficients()[0], 0.0005);
    assertEquals(1.964, fit.coefficients()[1], 0.0005);
    assertEquals(0.159, u(fit, 0), 0.0005);
    assertEquals(0.041, u(fit, 1), 0.0005);
    assertEquals(-0.006, fit.covariance()[0][1], 0.0005);
  }
}
