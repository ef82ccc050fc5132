package meniscus.core.roundrobin;

import java.util.stream.IntStream;
import org.hipparchus.distribution.continuous.ChiSquaredDistribution;
import org.hipparchus.linear.CholeskyDecomposition;
import org.hipparchus.linear.MatrixUtils;
import org.hipparchus.linear.RealMatrix;
import org.hipparchus.linear.RealVector;

/**
 * How well some of the benches agree.
 *
 * @param covariance of all benches
 * @param of which of them
 * @param q their generalised sum of squares about their best mean
 * @param trace of what Q grows by with the variance between benches
 */
record Agreement(RealMatrix covariance, int[] of, double q, double trace) {

  static Agreement of(RealVector x, RealMatrix covariance, int[] of) {
    RealMatrix inverse = inverse(covariance.getSubMatrix(of, of));
    RealVector weights = weights(inverse);
    RealVector some =
        MatrixUtils.createRealVector(IntStream.of(of).mapToDouble(x::getEntry).toArray());
    RealVector off = some.mapSubtract(weights.dotProduct(some));
    return new Agreement(
        covariance,
        of,
        off.dotProduct(inverse.operate(off)),
        inverse.getTrace() - total(inverse) * weights.dotProduct(weights));
  }

  /** Chance of a Q at least as large where every statement is true. */
  double chance() {
    return 1 - new ChiSquaredDistribution(of.length - 1).cumulativeProbability(q);
  }

  /** Weights of all benches in the best mean of these, each wider by a variance. */
  RealVector wider(double variance) {
    RealMatrix own = covariance.getSubMatrix(of, of);
    RealVector some =
        weights(
            inverse(
                own.add(MatrixUtils.createRealIdentityMatrix(of.length).scalarMultiply(variance))));
    RealVector all = MatrixUtils.createRealVector(covariance.getRowDimension());
    for (int i = 0; i < of.length; i++) {
      all.setEntry(of[i], some.getEntry(i));
    }
    return all;
  }

  /** Rows of the inverse added, so that they add up to 1. */
  private static RealVector weights(RealMatrix inverse) {
    RealVector ones = MatrixUtils.createRealVector(inverse.getRowDimension()).mapAdd(1);
    return inverse.operate(ones).mapDivide(total(inverse));
  }

  private static double total(RealMatrix matrix) {
    RealVector ones = MatrixUtils.createRealVector(matrix.getRowDimension()).mapAdd(1);
    return ones.dotProduct(matrix.operate(ones));
  }

  static RealMatrix inverse(RealMatrix positive) {
    return new CholeskyDecomposition(positive, 1e-9, 0).getSolver().getInverse();
  }
}
