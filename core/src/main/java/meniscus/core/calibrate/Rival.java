package meniscus.core.calibrate;

import java.util.List;
import java.util.function.DoubleFunction;
import meniscus.core.bench.Explanation.Kind;
import org.hipparchus.linear.MatrixUtils;
import org.hipparchus.linear.RealMatrix;
import org.hipparchus.linear.RealVector;

/**
 * One explanation of readings of plates, with what is held of it before any plate is read.
 *
 * @param kind of it
 * @param plate its name where the fault is a plate's; empty otherwise
 * @param odds of this explanation; only ratios count
 * @param faults none when nothing is wrong; their effects add up
 */
record Rival(Kind kind, String plate, double odds, List<Fault> faults) {

  /**
   * One way in which readings can be wrong. Sizes held possible: normal, cut off below.
   *
   * @param mean of the sizes
   * @param spread standard deviation of the sizes, above 0
   * @param least smallest size that can be
   * @param effect what a fault of a given size does to the logarithm of each ratio
   */
  record Fault(double mean, double spread, double least, DoubleFunction<double[]> effect) {

    RealVector effectOf(double size) {
      return MatrixUtils.createRealVector(effect.apply(size));
    }

    /** Change of the effects with the fault's size, by central differences. */
    RealVector slopeAt(double size) {
      double step = 1e-3 * spread;
      return effectOf(size + step).subtract(effectOf(size - step)).mapDivide(2 * step);
    }
  }

  Rival {
    faults = List.copyOf(faults);
  }

  /** Sizes held likeliest beforehand. */
  RealVector before() {
    return MatrixUtils.createRealVector(faults.stream().mapToDouble(Fault::mean).toArray());
  }

  /** What faults of these sizes do to the logarithms of so many ratios. */
  RealVector effectOf(RealVector sizes, int ratios) {
    RealVector sum = MatrixUtils.createRealVector(new double[ratios]);
    for (int k = 0; k < faults.size(); k++) {
      sum = sum.add(faults.get(k).effectOf(sizes.getEntry(k)));
    }
    return sum;
  }

  /**
   * Change of each logarithm per standard deviation of each size beforehand, a fault a column, and
   * a last column of nothing so that no fault at all is no special case.
   */
  RealMatrix slopesAt(RealVector sizes, int ratios) {
    RealMatrix slopes = MatrixUtils.createRealMatrix(ratios, faults.size() + 1);
    for (int k = 0; k < faults.size(); k++) {
      Fault fault = faults.get(k);
      slopes.setColumnVector(k, fault.slopeAt(sizes.getEntry(k)).mapMultiply(fault.spread()));
    }
    return slopes;
  }
}
