package meniscus.core.calibrate;

import org.hipparchus.distribution.continuous.NormalDistribution;
import org.hipparchus.linear.CholeskyDecomposition;
import org.hipparchus.linear.MatrixUtils;
import org.hipparchus.linear.RealMatrix;
import org.hipparchus.linear.RealVector;

/**
 * One explanation fitted to the readings: curve and size of the fault together, by generalised
 * least squares with Gaussian priors on both. With V the covariance of readings, curve and fault
 * before anything is read, w = V⁻¹(y − expected) gives all the rest (conditioning of a normal
 * distribution); what is not linear in the fault's size is linearised where the fit comes to rest
 * (Laplace's method).
 *
 * @param rival that was fitted
 * @param size of the fault
 * @param sizeUncertainty its standard uncertainty
 * @param coefficients c0, c1, c2
 * @param covariance of the coefficients
 * @param gains change of each coefficient per change of each ratio
 * @param quality how well it goes with the readings
 */
record RivalFit(
    Rival rival,
    double size,
    double sizeUncertainty,
    RealVector coefficients,
    RealMatrix covariance,
    RealMatrix gains,
    Quality quality) {

  /**
   * @param logEvidence logarithm of the probability density of the readings under this explanation
   * @param chiSquare weighted sum of squares of what is left over
   * @param degreesOfFreedom its expected value: readings, less what the fit takes up
   */
  record Quality(double logEvidence, double chiSquare, double degreesOfFreedom) {}

  private static final int MOST_STEPS = 40;

  /** From here on the steps are halved, so that they cannot go to and fro for ever. */
  private static final int FULL_STEPS = 12;

  private static final double CLOSE_ENOUGH = 1e-7;

  static RivalFit of(ReadingsModel model, Rival rival) {
    Rival.Size before = rival.size();
    double theta = before.mean();
    State state = new State(model, rival, theta);
    for (int step = 0; step < MOST_STEPS && before.spread() > 0; step++) {
      double change = state.bestSize - theta;
      theta += step < FULL_STEPS ? change : 0.5 * change;
      state = new State(model, rival, theta);
      if (Math.abs(change) <= CLOSE_ENOUGH * before.spread()) {
        break;
      }
    }
    return state.fit();
  }

  /** The model linearised at one size of the fault. */
  private static final class State {
    private final ReadingsModel model;
    private final Rival rival;
    private final RealVector scale;
    private final RealVector slope;
    private final RealVector misfit;
    private final RealMatrix errors;
    private final RealMatrix inverse;
    private final RealVector weighted;
    private final double logDeterminant;
    private final double logScale;
    private final double bestSize;

    State(ReadingsModel model, Rival rival, double theta) {
      this.model = model;
      this.rival = rival;
      int n = model.size();
      double spread = rival.size().spread();
      RealVector effect = rival.effectOf(theta);
      this.scale = effect.map(f -> Math.exp(-f));
      this.logScale = -effect.dotProduct(MatrixUtils.createRealVector(new double[n]).mapAdd(1));
      RealVector corrected = model.y().ebeMultiply(scale);
      this.slope = corrected.ebeMultiply(rival.slopeAt(theta));
      this.misfit =
          corrected.add(slope.mapMultiply(theta - rival.size().mean())).subtract(model.expected());
      RealMatrix scaling = MatrixUtils.createRealDiagonalMatrix(scale.toArray());
      this.errors = scaling.multiply(model.covariance()).multiply(scaling);
      RealMatrix all =
          errors
              .add(model.ofCurve())
              .add(slope.outerProduct(slope).scalarMultiply(spread * spread));
      CholeskyDecomposition cholesky = new CholeskyDecomposition(all, 1e-9, 0);
      double sum = 0;
      for (int i = 0; i < n; i++) {
        sum += 2 * Math.log(cholesky.getL().getEntry(i, i));
      }
      this.logDeterminant = sum;
      this.inverse = cholesky.getSolver().getInverse();
      this.weighted = inverse.operate(misfit);
      this.bestSize = rival.size().mean() + spread * spread * slope.dotProduct(weighted);
    }

    RivalFit fit() {
      RealMatrix prior = model.prior();
      RealMatrix toCurve = prior.multiply(model.powers().transpose()).multiply(inverse);
      RealVector coefficients = toCurve.operate(misfit);
      coefficients.addToEntry(0, 1);
      RealMatrix covariance = prior.subtract(toCurve.multiply(model.powers()).multiply(prior));
      RealMatrix gains = toCurve.multiply(MatrixUtils.createRealDiagonalMatrix(scale.toArray()));
      double spread = rival.size().spread();
      double u =
          spread
              * Math.sqrt(
                  Math.max(0, 1 - spread * spread * slope.dotProduct(inverse.operate(slope))));
      double evidence =
          -0.5 * misfit.dotProduct(weighted) - 0.5 * logDeterminant + logScale + logShareAllowed(u);
      return new RivalFit(
          rival,
          bestSize,
          u,
          coefficients,
          covariance,
          gains,
          new Quality(
              evidence,
              weighted.dotProduct(errors.operate(weighted)),
              inverse.multiply(errors).getTrace()));
    }

    /** Of sizes, how much of the fitted distribution is possible, over how much of the prior. */
    private double logShareAllowed(double u) {
      Rival.Size before = rival.size();
      if (before.least() == Double.NEGATIVE_INFINITY || !(u > 0)) {
        return 0;
      }
      NormalDistribution normal = new NormalDistribution();
      double after = normal.cumulativeProbability((bestSize - before.least()) / u);
      double prior =
          normal.cumulativeProbability((before.mean() - before.least()) / before.spread());
      return Math.log(Math.max(after, 1e-300) / prior);
    }
  }
}
