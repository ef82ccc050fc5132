package meniscus.core.calibrate;

import java.util.function.DoubleFunction;
import meniscus.core.bench.Explanation.Kind;
import org.hipparchus.linear.MatrixUtils;
import org.hipparchus.linear.RealVector;

/**
 * One way in which readings of plates can be wrong, with what is held of it beforehand.
 *
 * @param kind of fault
 * @param plate its name where the fault is a plate's; empty otherwise
 * @param odds of this explanation before any plate is read; only ratios count
 * @param size how large it is before any plate is read
 * @param effect what a fault of a given size does to the logarithm of each ratio
 */
record Rival(Kind kind, String plate, double odds, Size size, DoubleFunction<double[]> effect) {

  /**
   * Sizes held possible: normal, cut off below.
   *
   * @param mean of them
   * @param spread standard deviation; 0 for no fault at all
   * @param least smallest that can be
   */
  record Size(double mean, double spread, double least) {}

  RealVector effectOf(double theta) {
    return MatrixUtils.createRealVector(effect.apply(theta));
  }

  /** Change of the effects with the fault's size, by central differences. */
  RealVector slopeAt(double theta) {
    double step = 1e-3 * Math.max(size.spread(), 1e-12);
    return effectOf(theta + step).subtract(effectOf(theta - step)).mapDivide(2 * step);
  }
}
