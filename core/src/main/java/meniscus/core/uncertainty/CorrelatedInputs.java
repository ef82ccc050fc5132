package meniscus.core.uncertainty;

import java.util.ArrayList;
import java.util.List;
import org.hipparchus.linear.EigenDecompositionSymmetric;
import org.hipparchus.linear.MatrixUtils;
import org.hipparchus.linear.RealMatrix;

/**
 * Inputs whose errors are correlated (coefficients of one fit, quantities read together), turned
 * into independent errors that a {@link Budget} can add and two budgets can share.
 *
 * <p>The covariance matrix is split as V = F·Fᵀ along its principal axes; the k-th independent
 * error has a standard uncertainty of 1 and moves input i by F[i][k]. Works for singular matrices.
 */
public final class CorrelatedInputs {

  private final RealMatrix factor;
  private final double degreesOfFreedom;

  /**
   * @param covariance of the inputs, symmetric, no negative variance along any axis
   * @param degreesOfFreedom behind it
   */
  public CorrelatedInputs(double[][] covariance, double degreesOfFreedom) {
    int size = covariance.length;
    double[] scale = new double[size];
    RealMatrix correlation = MatrixUtils.createRealMatrix(size, size);
    for (int i = 0; i < size; i++) {
      scale[i] = Math.sqrt(covariance[i][i]);
    }
    for (int i = 0; i < size; i++) {
      for (int j = 0; j < size; j++) {
        double product = scale[i] * scale[j];
        double symmetric = 0.5 * (covariance[i][j] + covariance[j][i]);
        correlation.setEntry(i, j, product > 0 ? symmetric / product : 0);
      }
    }
    EigenDecompositionSymmetric axes = new EigenDecompositionSymmetric(correlation);
    this.factor = MatrixUtils.createRealMatrix(size, size);
    for (int k = 0; k < size; k++) {
      double eigenvalue = axes.getEigenvalue(k);
      if (eigenvalue < -1e-9 * size) {
        throw new IllegalArgumentException("the covariances contradict the variances");
      }
      double root = Math.sqrt(Math.max(0, eigenvalue));
      for (int i = 0; i < size; i++) {
        factor.setEntry(i, k, scale[i] * axes.getV().getEntry(i, k) * root);
      }
    }
    this.degreesOfFreedom = degreesOfFreedom;
  }

  /**
   * Contributions to one value.
   *
   * @param source in words
   * @param kind what the errors stick to
   * @param sensitivities of the value to each input
   * @param sharedId of these inputs; each independent error adds its number to it
   */
  public List<Contribution> contributions(
      String source, Contribution.Kind kind, double[] sensitivities, String sharedId) {
    double[] effects = factor.preMultiply(sensitivities);
    List<Contribution> contributions = new ArrayList<>();
    for (int k = 0; k < effects.length; k++) {
      contributions.add(
          new Contribution(
              source, kind, 1, degreesOfFreedom, effects[k], sharedId + "/" + (k + 1)));
    }
    return contributions;
  }
}
