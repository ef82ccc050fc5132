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
 * @param sizes of its faults
 * @param sizeUncertainties their standard uncertainties
 * @param coefficients c0, c1, c2
 * @param covariance of the coefficients
 * @param gains change of each coefficient per change of each ratio
 * @param quality how well it goes with the readings
 */
record RivalFit(
    Rival rival,
    RealVector sizes,
    RealVector sizeUncertainties,
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

  private static final int MOST_STEPS = 40; // our own choice: an end in any case

  /** From here on the steps are halved, so that they cannot go to and fro for ever. */
  private static final int FULL_STEPS = 12;

  /** In standard deviations of the sizes beforehand. */
  private static final double CLOSE_ENOUGH = 1e-6;

  static RivalFit of(ReadingsModel model, Rival rival) {
    // Sizes in standard deviations beforehand, from the middle of what is held possible.
    RealVector place = MatrixUtils.createRealVector(new double[rival.faults().size() + 1]);
    State state = new State(model, rival, place);
    for (int step = 0; step < MOST_STEPS && !rival.faults().isEmpty(); step++) {
      RealVector change = state.best.subtract(place);
      place = place.add(step < FULL_STEPS ? change : change.mapMultiply(0.5));
      state = new State(model, rival, place);
      if (change.getLInfNorm() <= CLOSE_ENOUGH) {
        break;
      }
    }
    return state.fit();
  }

  /** Size of the one fault that it is about; 0 without one. */
  double size() {
    return rival.faults().size() == 1 ? sizes.getEntry(0) : 0;
  }

  double sizeUncertainty() {
    return rival.faults().size() == 1 ? sizeUncertainties.getEntry(0) : 0;
  }

  /** The model linearised at one place. */
  private static final class State {
    private final ReadingsModel model;
    private final Rival rival;
    private final RealVector scale;
    private final double logScale;
    private final RealMatrix slopes;
    private final RealVector misfit;
    private final RealMatrix errors;
    private final RealMatrix inverse;
    private final RealVector weighted;
    private final double logDeterminant;
    private final RealVector best;

    State(ReadingsModel model, Rival rival, RealVector place) {
      this.model = model;
      this.rival = rival;
      int n = model.size();
      RealVector effect = rival.effectOf(sizes(place), n);
      this.scale = effect.map(f -> Math.exp(-f));
      this.logScale = -effect.dotProduct(MatrixUtils.createRealVector(new double[n]).mapAdd(1));
      RealVector corrected = model.y().ebeMultiply(scale);
      this.slopes =
          MatrixUtils.createRealDiagonalMatrix(corrected.toArray())
              .multiply(rival.slopesAt(sizes(place), n));
      this.misfit = corrected.add(slopes.operate(place)).subtract(model.expected());
      RealMatrix scaling = MatrixUtils.createRealDiagonalMatrix(scale.toArray());
      this.errors = scaling.multiply(model.covariance()).multiply(scaling);
      CholeskyDecomposition cholesky =
          new CholeskyDecomposition(
              errors.add(model.ofCurve()).add(slopes.multiplyTransposed(slopes)), 1e-9, 0);
      double sum = 0;
      for (int i = 0; i < n; i++) {
        sum += 2 * Math.log(cholesky.getL().getEntry(i, i));
      }
      this.logDeterminant = sum;
      this.inverse = cholesky.getSolver().getInverse();
      this.weighted = inverse.operate(misfit);
      this.best = slopes.transpose().operate(weighted);
    }

    private RealVector sizes(RealVector place) {
      RealVector sizes = rival.before();
      for (int k = 0; k < sizes.getDimension(); k++) {
        sizes.addToEntry(k, place.getEntry(k) * rival.faults().get(k).spread());
      }
      return sizes;
    }

    RivalFit fit() {
      RealMatrix prior = model.prior();
      RealMatrix toCurve = prior.multiply(model.powers().transpose()).multiply(inverse);
      RealVector coefficients = toCurve.operate(misfit);
      coefficients.addToEntry(0, 1);
      RealMatrix explained = slopes.transpose().multiply(inverse).multiply(slopes);
      RealVector u = rival.before();
      for (int k = 0; k < u.getDimension(); k++) {
        u.setEntry(
            k,
            rival.faults().get(k).spread() * Math.sqrt(Math.max(0, 1 - explained.getEntry(k, k))));
      }
      return new RivalFit(
          rival,
          sizes(best),
          u,
          coefficients,
          prior.subtract(toCurve.multiply(model.powers()).multiply(prior)),
          toCurve.multiply(MatrixUtils.createRealDiagonalMatrix(scale.toArray())),
          new Quality(
              -0.5 * misfit.dotProduct(weighted)
                  - 0.5 * logDeterminant
                  + logScale
                  + logShareAllowed(u),
              weighted.dotProduct(errors.operate(weighted)),
              inverse.multiply(errors).getTrace()));
    }

    /** Of sizes, how much of the fitted distribution is possible, over how much of the prior. */
    private double logShareAllowed(RealVector u) {
      double sum = 0;
      for (int k = 0; k < u.getDimension(); k++) {
        Rival.Fault fault = rival.faults().get(k);
        if (fault.least() > Double.NEGATIVE_INFINITY && u.getEntry(k) > 0) {
          NormalDistribution normal = new NormalDistribution();
          double after =
              normal.cumulativeProbability(
                  (sizes(best).getEntry(k) - fault.least()) / u.getEntry(k));
          double before =
              normal.cumulativeProbability((fault.mean() - fault.least()) / fault.spread());
          sum += Math.log(Math.max(after, 1e-300) / before);
        }
      }
      return sum;
    }
  }
}
