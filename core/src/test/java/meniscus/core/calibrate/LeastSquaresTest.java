package meniscus.core.calibrate;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;

import java.util.Arrays;
import java.util.Random;
import org.junit.jupiter.api.Test;

class LeastSquaresTest {

  @Test
  void aSharedErrorDoesNotShrinkWithMorePoints() {
    for (int n : new int[] {4, 40, 120}) {
      double[] x = new double[n];
      double[] uy = new double[n];
      double[] shared = new double[n];
      for (int i = 0; i < n; i++) {
        x[i] = i;
        uy[i] = 0.01;
        shared[i] = 0.5;
      }
      Observations pairs = Observations.exactX(x, new double[n], uy).withShared(shared);
      Fit level = LeastSquares.fit(pairs, PolynomialBasis.polynomial(0));
      assertEquals(Math.hypot(0.5, 0.01 / Math.sqrt(n)), level.standardUncertainty(0), 1e-9);
    }
  }

  @Test
  void errorsInXThatAreAllTheSameMoveTheCurveSideways() {
    double[] x = {1, 2, 3, 4, 5};
    double[] y = {2, 4, 6, 8, 10};
    double[] tiny = {1e-3, 1e-3, 1e-3, 1e-3, 1e-3};
    double[] ux = {0.1, 0.1, 0.1, 0.1, 0.1};
    Fit fit = LeastSquares.fit(Observations.of(x, ux, y, tiny), PolynomialBasis.polynomial(1));
    assertEquals(2, fit.slope(3), 1e-12);
    // Effective uncertainty of one pair is slope × u(x): 0.2, so 0.2/√5 at the middle.
    assertEquals(0.2 / Math.sqrt(5), fit.standardUncertainty(3), 1e-5);
  }

  /**
   * A quadratic with noise in both axes: the stated uncertainty covers the truth as often as said.
   */
  @Test
  void statedUncertaintyOfACurveWithErrorsInBothAxesCovers() {
    long seed = 20261125;
    Random random = new Random(seed);
    int runs = 2000;
    int covered = 0;
    for (int run = 0; run < runs; run++) {
      int n = 12;
      double[] x = new double[n];
      double[] y = new double[n];
      double[] ux = new double[n];
      double[] uy = new double[n];
      for (int i = 0; i < n; i++) {
        double truth = 1 + i;
        ux[i] = 0.02;
        uy[i] = 0.05;
        x[i] = truth + ux[i] * random.nextGaussian();
        y[i] = 3 - truth + 0.2 * truth * truth + uy[i] * random.nextGaussian();
      }
      Fit fit = LeastSquares.fit(Observations.of(x, ux, y, uy), PolynomialBasis.polynomial(2));
      double truth = 3 - 9 + 0.2 * 81;
      if (Math.abs(fit.value(9) - truth) <= fit.u95(9)) {
        covered++;
      }
    }
    assertEquals(0.95, covered / (double) runs, 0.015, "seed " + seed);
  }

  @Test
  void gainsSayWhatOneResponseDoesToTheCoefficients() {
    double[] x = {1, 2, 3.5, 4};
    double[] y = {2, 3, 5.1, 5.7};
    double[] u = {0.1, 0.2, 0.1, 0.3};
    double[] ux = {0.05, 0.02, 0.01, 0.04};
    Fit fit = LeastSquares.fit(Observations.of(x, ux, y, u), PolynomialBasis.polynomial(1));
    double step = 1e-5;
    y[2] += step;
    Fit moved = LeastSquares.fit(Observations.of(x, ux, y, u), PolynomialBasis.polynomial(1));
    for (int k = 0; k < 2; k++) {
      double change = (moved.coefficients()[k] - fit.coefficients()[k]) / step;
      // To first order: the weights themselves depend a little on the slope.
      assertEquals(fit.gains()[k][2], change, 0.02);
    }
  }

  @Test
  void pointsThatCannotTellTheCoefficientsApartAreRefused() {
    double[] same = {3, 3, 3};
    double[] ones = {1, 1, 1};
    IllegalArgumentException refused =
        assertThrows(
            IllegalArgumentException.class,
            () ->
                LeastSquares.fit(
                    Observations.exactX(same, ones, ones), PolynomialBasis.polynomial(1)));
    assertEquals(
        "the points lie too close together in x to tell the coefficients apart",
        refused.getMessage());
    assertThrows(
        IllegalArgumentException.class,
        () ->
            LeastSquares.fit(Observations.exactX(same, ones, ones), PolynomialBasis.polynomial(3)));
  }

  @Test
  void chanceOfWorseIsSmallWhenTheCurveIsWrong() {
    double[] x = {0, 1, 2, 3, 4, 5};
    double[] bent = Arrays.stream(x).map(v -> v * v).toArray();
    double[] u = {0.1, 0.1, 0.1, 0.1, 0.1, 0.1};
    Observations pairs = Observations.exactX(x, bent, u);
    assertEquals(0, LeastSquares.fit(pairs, PolynomialBasis.polynomial(1)).chanceOfWorse(), 1e-9);
    assertEquals(1, LeastSquares.fit(pairs, PolynomialBasis.polynomial(2)).chanceOfWorse(), 1e-9);
  }
}
