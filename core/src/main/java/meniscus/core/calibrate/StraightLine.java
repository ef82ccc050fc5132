package meniscus.core.calibrate;

import meniscus.core.refusal.Refusal;

/**
 * A straight line through pairs with independent errors in both axes, after ISO/TS 28037:2010,
 * clauses 6 and 7.
 *
 * @param offset y at x = 0
 * @param slope of y over x
 * @param offsetU standard uncertainty of the offset
 * @param slopeU standard uncertainty of the slope
 * @param covariance of the two
 * @param residuals y less the line at the observed x; treat them as read-only
 * @param chiSquare weighted sum of squares of what is left over
 */
record StraightLine(
    double offset,
    double slope,
    double offsetU,
    double slopeU,
    double covariance,
    double[] residuals,
    double chiSquare) {

  // Our own choice: an end in any case, and the last digits that are not rounding.
  private static final int MOST_STEPS = 100;
  private static final double CLOSE_ENOUGH = 1e-13;

  /** Below this share of x², the spread of x is rounding (our own choice). */
  private static final double NO_SPREAD = 1e-20;

  /**
   * @param x stimulus
   * @param ux its standard uncertainties, 0 where x is exact
   * @param y response
   * @param uy its standard uncertainties, positive
   * @throws Refusal when the pairs do not tell a line, or no best line is found
   */
  static StraightLine of(double[] x, double[] ux, double[] y, double[] uy) {
    double offset = 0;
    double slope = 0;
    for (int step = 0; step < MOST_STEPS; step++) {
      Step next = new Step(offset, slope, x, ux, y, uy);
      offset += next.offsetChange;
      slope += next.slopeChange;
      double size = Math.hypot(offset, slope * next.meanX);
      if (Math.hypot(next.offsetChange, next.slopeChange * next.meanX) <= CLOSE_ENOUGH * size) {
        return next.line(offset, slope, x, y);
      }
    }
    throw new Refusal(
        "no best line was found: the uncertainties in x are too large for the spread of x");
  }

  /** One step of clause 7.2, from a line to a better one. */
  private static final class Step {
    final double meanX;
    final double offsetChange;
    final double slopeChange;
    private final double weights;
    private final double spread;
    private final double chiSquare;

    Step(double offset, double slope, double[] x, double[] ux, double[] y, double[] uy) {
      int n = x.length;
      double[] weight = new double[n];
      double[] trueX = new double[n];
      double[] misfit = new double[n];
      double sumX = 0;
      double sumMisfit = 0;
      double sum = 0;
      for (int i = 0; i < n; i++) {
        double varianceX = ux[i] * ux[i];
        double varianceY = uy[i] * uy[i];
        weight[i] = 1 / (varianceY + slope * slope * varianceX);
        misfit[i] = y[i] - offset - slope * x[i];
        trueX[i] = x[i] + slope * varianceX * misfit[i] * weight[i];
        sum += weight[i];
        sumX += weight[i] * trueX[i];
        sumMisfit += weight[i] * misfit[i];
      }
      weights = sum;
      meanX = sumX / sum;
      double meanMisfit = sumMisfit / sum;
      double xx = 0;
      double xm = 0;
      for (int i = 0; i < n; i++) {
        xx += weight[i] * (trueX[i] - meanX) * (trueX[i] - meanX);
        xm += weight[i] * (trueX[i] - meanX) * (misfit[i] - meanMisfit);
      }
      spread = xx;
      if (!(spread > NO_SPREAD * sum * meanX * meanX)) {
        throw new Refusal("the points lie too close together in x to tell a line");
      }
      slopeChange = xm / spread;
      offsetChange = meanMisfit - slopeChange * meanX;
      double left = 0;
      for (int i = 0; i < n; i++) {
        double rest = misfit[i] - meanMisfit - slopeChange * (trueX[i] - meanX);
        left += weight[i] * rest * rest;
      }
      chiSquare = left;
    }

    StraightLine line(double offset, double slope, double[] x, double[] y) {
      double[] residuals = new double[x.length];
      for (int i = 0; i < x.length; i++) {
        residuals[i] = y[i] - offset - slope * x[i];
      }
      return new StraightLine(
          offset,
          slope,
          Math.sqrt(1 / weights + meanX * meanX / spread),
          Math.sqrt(1 / spread),
          -meanX / spread,
          residuals,
          chiSquare);
    }
  }
}
