package meniscus.core.calibrate;

import meniscus.core.refusal.Refusal;
import meniscus.core.uncertainty.Coverage;
import org.hipparchus.distribution.continuous.ChiSquaredDistribution;

/**
 * A curve fitted by {@link LeastSquares}, with the covariance of its coefficients. Arrays are not
 * copied on reading: treat them as read-only.
 *
 * @param basis powers of x
 * @param coefficients of the powers, lowest first
 * @param covariance of the coefficients
 * @param gains change of each coefficient per change of each y, coefficients by row
 * @param residuals y − curve at the observed x
 * @param chiSquare weighted sum of squares of what is left over
 * @param degreesOfFreedom pairs − coefficients
 * @param lowestX of the observations
 * @param highestX of the observations
 */
public record Fit(
    PolynomialBasis basis,
    double[] coefficients,
    double[][] covariance,
    double[][] gains,
    double[] residuals,
    double chiSquare,
    int degreesOfFreedom,
    double lowestX,
    double highestX) {

  public double value(double x) {
    return dot(coefficients, basis.values(x));
  }

  public double slope(double x) {
    return dot(coefficients, basis.slopes(x));
  }

  /** Of the curve itself at an exact x. */
  public double standardUncertainty(double x) {
    return Math.sqrt(variance(x));
  }

  private double variance(double x) {
    double[] powers = basis.values(x);
    double sum = 0;
    for (int i = 0; i < powers.length; i++) {
      sum += powers[i] * dot(covariance[i], powers);
    }
    return Math.max(0, sum);
  }

  /** Of the curve at an x that is itself uncertain. */
  public double standardUncertainty(double x, double ux) {
    return Math.hypot(standardUncertainty(x), slope(x) * ux);
  }

  /**
   * Of the x that {@link #inverse} finds for a y that is itself uncertain.
   *
   * @param x where the curve is read
   */
  public double inverseStandardUncertainty(double x, double uy) {
    return Math.hypot(standardUncertainty(x), uy) / Math.abs(slope(x));
  }

  /**
   * The x at which the curve has this value, by Newton's steps from the middle of the observations.
   *
   * @throws Refusal when the curve does not reach it
   */
  public double inverse(double y) {
    double x = 0.5 * (lowestX + highestX);
    for (int step = 0; step < 100; step++) {
      double change = (y - value(x)) / slope(x);
      x += change;
      if (Math.abs(change) <= 1e-14 * Math.max(Math.abs(x), highestX - lowestX)) {
        return x;
      }
    }
    throw new Refusal("the fitted curve does not reach " + y);
  }

  /** √(χ²/degrees of freedom): 1 when the stated uncertainties explain the scatter. */
  public double residualScale() {
    return Math.sqrt(chiSquare / degreesOfFreedom);
  }

  /**
   * The same curve with its covariance scaled by the residuals, for observations whose uncertainty
   * is known but for a factor.
   */
  public Fit scaledByResiduals() {
    double factor = chiSquare / degreesOfFreedom;
    double[][] scaled = new double[covariance.length][];
    for (int i = 0; i < scaled.length; i++) {
      scaled[i] = covariance[i].clone();
      for (int j = 0; j < scaled.length; j++) {
        scaled[i][j] *= factor;
      }
    }
    return new Fit(
        basis,
        coefficients,
        scaled,
        gains,
        residuals,
        chiSquare,
        degreesOfFreedom,
        lowestX,
        highestX);
  }

  /**
   * Probability of a χ² this large or larger if curve and stated uncertainties were right; 1 when
   * the curve goes through all pairs by construction.
   */
  public double chanceOfWorse() {
    return degreesOfFreedom == 0
        ? 1
        : 1 - new ChiSquaredDistribution(degreesOfFreedom).cumulativeProbability(chiSquare);
  }

  /** Half-width of the curve's 95 % interval at x, normal. */
  public double u95(double x) {
    return Coverage.factor95(Double.POSITIVE_INFINITY) * standardUncertainty(x);
  }

  private static double dot(double[] a, double[] b) {
    double sum = 0;
    for (int k = 0; k < a.length; k++) {
      sum += a[k] * b[k];
    }
    return sum;
  }
}
