package meniscus.core.calibrate;

import java.util.List;
import meniscus.core.bench.FlowElement;
import org.hipparchus.linear.MatrixUtils;
import org.hipparchus.linear.RealMatrix;
import org.hipparchus.linear.RealVector;

/**
 * The readings of a calibration as a Gaussian model: ratio = c0 + c1 x + c2 x², x = ln(drop /
 * reference), with what is known of the coefficients before any plate is read, and errors of known
 * covariance.
 */
final class ReadingsModel {

  /** c0, c1 and c2. */
  static final int COEFFICIENTS = 3;

  /**
   * Standard uncertainty of the level c0: what the description of a home-made element is worth. Our
   * own choice; every explanation has the same level to fit, so it tells nothing between them.
   */
  private static final double LEVEL = 0.05;

  /**
   * Of the slope, an e-fold of drop, for elements that follow the root law. The Reynolds-number
   * term of ISO 5167-2:2003, eq. 4 (bore ratio 0) has 0.15 to 0.5 % between bore Reynolds numbers
   * of 100 000 and 20 000.
   */
  private static final double SLOPE = 0.004;

  /** Of the bend: the same term has 0.05 to 0.17 %. */
  private static final double BEND = 0.001;

  /**
   * Of slope and bend of an element that is described as linear: entry and exit losses take up to a
   * tenth of its drop, and grow with flow. Our own estimate.
   */
  private static final double LINEAR_SLOPE = 0.02;

  private static final double LINEAR_BEND = 0.005; // a quarter of the slope: our own estimate

  private final List<CorrectionRatio> ratios;
  private final double[] x;
  private final RealVector y;
  private final RealMatrix covariance;
  private final RealMatrix powers;
  private final FlowElement element;
  private final double[] spread;

  /**
   * @param ratios in the order taken
   * @param x ln(drop/reference) of each
   * @param covariance of the ratios
   * @param element that is calibrated
   */
  ReadingsModel(
      List<CorrectionRatio> ratios, double[] x, RealMatrix covariance, FlowElement element) {
    this.ratios = List.copyOf(ratios);
    this.x = x.clone();
    this.y =
        MatrixUtils.createRealVector(ratios.stream().mapToDouble(CorrectionRatio::value).toArray());
    this.covariance = covariance;
    this.powers = MatrixUtils.createRealMatrix(x.length, COEFFICIENTS);
    for (int i = 0; i < x.length; i++) {
      powers.setRow(i, new double[] {1, x[i], x[i] * x[i]});
    }
    this.element = element;
    this.spread = spread(element);
  }

  /** The same element with other readings. */
  ReadingsModel like(List<CorrectionRatio> others, double[] theirX, RealMatrix theirCovariance) {
    return new ReadingsModel(others, theirX, theirCovariance, element);
  }

  /** Standard uncertainties of the coefficients before any plate is read. */
  private static double[] spread(FlowElement element) {
    double[] root = {LEVEL, SLOPE, BEND};
    double[] linear = {LEVEL, LINEAR_SLOPE, LINEAR_BEND};
    return element.fold(
        orifice -> root, nozzle -> root, line -> linear, charted -> root, fitted -> root);
  }

  List<CorrectionRatio> ratios() {
    return ratios;
  }

  int size() {
    return x.length;
  }

  double x(int i) {
    return x[i];
  }

  RealVector y() {
    return y;
  }

  /** Of the errors of the ratios. */
  RealMatrix covariance() {
    return covariance;
  }

  /** 1, x, x² by row. */
  RealMatrix powers() {
    return powers;
  }

  /** What the description alone predicts: 1. */
  RealVector expected() {
    return MatrixUtils.createRealVector(new double[size()]).mapAdd(1);
  }

  /** Prior covariance of the coefficients. */
  RealMatrix prior() {
    double[] variances = new double[COEFFICIENTS];
    for (int k = 0; k < COEFFICIENTS; k++) {
      variances[k] = spread[k] * spread[k];
    }
    return MatrixUtils.createRealDiagonalMatrix(variances);
  }

  /** Covariance of the curve at the readings before any plate is read. */
  RealMatrix ofCurve() {
    return powers.multiply(prior()).multiplyTransposed(powers);
  }
}
