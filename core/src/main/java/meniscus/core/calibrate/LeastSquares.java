package meniscus.core.calibrate;

import meniscus.core.refusal.Refusal;
import org.hipparchus.linear.CholeskyDecomposition;
import org.hipparchus.linear.MatrixUtils;
import org.hipparchus.linear.QRDecomposition;
import org.hipparchus.linear.RealMatrix;
import org.hipparchus.linear.RealVector;

/**
 * Generalised least squares with errors in both axes and any covariances within each axis, after
 * the Gauss-Newton scheme of ISO/TS 28037:2010: each step linearises the curve at the current
 * estimates of the true x, so that errors of x count through the local slope, and moves those
 * estimates along.
 */
public final class LeastSquares {

  // Our own choice: an end in any case, and the last digits that are not rounding.
  private static final int MOST_STEPS = 100;
  private static final double CLOSE_ENOUGH = 1e-13;

  private LeastSquares() {}

  /**
   * Fits a curve.
   *
   * @throws Refusal when there are fewer pairs than coefficients, when the pairs do not tell the
   *     coefficients apart, or when no best curve is found
   */
  public static Fit fit(Observations pairs, PolynomialBasis basis) {
    int n = pairs.size();
    int p = basis.size();
    if (n < p) {
      throw new Refusal(
          "a curve with " + p + " coefficients needs " + p + " points or more, not " + n);
    }
    double[] trueX = new double[n];
    for (int i = 0; i < n; i++) {
      trueX[i] = pairs.x(i);
    }
    RealVector coefficients = MatrixUtils.createRealVector(new double[p]);
    for (int step = 0; step < MOST_STEPS; step++) {
      Step next = new Step(pairs, basis, coefficients, trueX);
      coefficients = coefficients.add(next.change);
      boolean settled = next.exactX || (step > 0 && next.small(coefficients));
      if (settled) {
        return result(pairs, basis, coefficients, next);
      }
      trueX = next.trueX;
    }
    throw new Refusal(
        "no best curve was found: the uncertainties in x are too large for the spread of x");
  }

  private static Fit result(
      Observations pairs, PolynomialBasis basis, RealVector coefficients, Step last) {
    int n = pairs.size();
    double[] residuals = new double[n];
    for (int i = 0; i < n; i++) {
      double[] powers = basis.values(pairs.x(i));
      residuals[i] = pairs.y(i) - coefficients.dotProduct(MatrixUtils.createRealVector(powers));
    }
    return new Fit(
        basis,
        coefficients.toArray(),
        last.covariance().getData(),
        last.gains().getData(),
        residuals,
        last.chiSquare,
        n - basis.size(),
        pairs.lowestX(),
        pairs.highestX());
  }

  /** One linearised step. */
  private static final class Step {
    final RealVector change;
    final double[] trueX;
    final double chiSquare;
    final boolean exactX;
    private final QRDecomposition decomposed;
    private final double[] scale;
    private final RealMatrix lower;

    Step(Observations pairs, PolynomialBasis basis, RealVector coefficients, double[] trueX) {
      int n = pairs.size();
      double[] slope = new double[n];
      RealVector misfit = MatrixUtils.createRealVector(new double[n]);
      RealMatrix design = MatrixUtils.createRealMatrix(n, basis.size());
      for (int i = 0; i < n; i++) {
        double[] powers = basis.values(trueX[i]);
        design.setRow(i, powers);
        slope[i] = coefficients.dotProduct(MatrixUtils.createRealVector(basis.slopes(trueX[i])));
        double curve = coefficients.dotProduct(MatrixUtils.createRealVector(powers));
        misfit.setEntry(i, pairs.y(i) - curve - slope[i] * (pairs.x(i) - trueX[i]));
      }
      RealMatrix covariance = MatrixUtils.createRealMatrix(n, n);
      double sumX = 0;
      for (int i = 0; i < n; i++) {
        for (int j = 0; j < n; j++) {
          double fromX = slope[i] * pairs.covarianceX(i, j) * slope[j];
          covariance.setEntry(i, j, pairs.covarianceY(i, j) + fromX);
        }
        sumX += pairs.covarianceX(i, i);
      }
      this.exactX = sumX == 0;
      CholeskyDecomposition cholesky = new CholeskyDecomposition(covariance, 1e-9, 0);
      this.lower = cholesky.getL();
      RealVector whiteMisfit = misfit.copy();
      MatrixUtils.solveLowerTriangularSystem(lower, whiteMisfit);
      RealMatrix whiteDesign = whiten(lower, design);
      this.scale = normalise(whiteDesign);
      this.decomposed = new QRDecomposition(whiteDesign, 1e-12);
      if (!decomposed.getSolver().isNonSingular()) {
        throw new Refusal("the points lie too close together in x to tell the coefficients apart");
      }
      RealVector scaled = decomposed.getSolver().solve(whiteMisfit);
      RealVector left = whiteMisfit.subtract(whiteDesign.operate(scaled));
      this.chiSquare = left.dotProduct(left);
      this.change = MatrixUtils.createRealVector(new double[scale.length]);
      for (int k = 0; k < scale.length; k++) {
        change.setEntry(k, scaled.getEntry(k) / scale[k]);
      }
      this.trueX = exactX ? trueX : movedX(pairs, slope, lower, left);
    }

    private static double[] movedX(
        Observations pairs, double[] slope, RealMatrix lower, RealVector left) {
      RealVector weighted = left.copy();
      MatrixUtils.solveUpperTriangularSystem(lower.transpose(), weighted);
      double[] moved = new double[slope.length];
      for (int i = 0; i < moved.length; i++) {
        moved[i] = pairs.x(i);
        for (int j = 0; j < moved.length; j++) {
          moved[i] += pairs.covarianceX(i, j) * slope[j] * weighted.getEntry(j);
        }
      }
      return moved;
    }

    private static RealMatrix whiten(RealMatrix lower, RealMatrix design) {
      RealMatrix white = design.copy();
      for (int k = 0; k < white.getColumnDimension(); k++) {
        RealVector column = white.getColumnVector(k);
        MatrixUtils.solveLowerTriangularSystem(lower, column);
        white.setColumnVector(k, column);
      }
      return white;
    }

    /** Makes columns of length 1, so that powers of large x can be told apart. */
    private static double[] normalise(RealMatrix matrix) {
      double[] norms = new double[matrix.getColumnDimension()];
      for (int k = 0; k < norms.length; k++) {
        RealVector column = matrix.getColumnVector(k);
        norms[k] = column.getNorm();
        if (norms[k] > 0) {
          matrix.setColumnVector(k, column.mapDivide(norms[k]));
        } else {
          norms[k] = 1;
        }
      }
      return norms;
    }

    boolean small(RealVector coefficients) {
      double most = 0;
      double size = 0;
      for (int k = 0; k < scale.length; k++) {
        most = Math.max(most, Math.abs(change.getEntry(k) * scale[k]));
        size = Math.max(size, Math.abs(coefficients.getEntry(k) * scale[k]));
      }
      return most <= CLOSE_ENOUGH * size;
    }

    RealMatrix gains() {
      int n = lower.getRowDimension();
      RealMatrix white = whiten(lower, MatrixUtils.createRealIdentityMatrix(n));
      RealMatrix gains = decomposed.getSolver().solve(white);
      for (int k = 0; k < scale.length; k++) {
        gains.setRowVector(k, gains.getRowVector(k).mapDivide(scale[k]));
      }
      return gains;
    }

    RealMatrix covariance() {
      int p = scale.length;
      RealMatrix r = decomposed.getR().getSubMatrix(0, p - 1, 0, p - 1);
      RealMatrix inverse = MatrixUtils.createRealMatrix(p, p);
      for (int k = 0; k < p; k++) {
        RealVector unit = MatrixUtils.createRealVector(new double[p]);
        unit.setEntry(k, 1);
        MatrixUtils.solveUpperTriangularSystem(r, unit);
        inverse.setColumnVector(k, unit);
      }
      RealMatrix covariance = inverse.multiplyTransposed(inverse);
      for (int i = 0; i < p; i++) {
        for (int j = 0; j < p; j++) {
          covariance.multiplyEntry(i, j, 1 / (scale[i] * scale[j]));
        }
      }
      return covariance;
    }
  }
}
