package meniscus.core.bench;

import java.util.List;
import java.util.Optional;

/**
 * What stands behind a calibration.
 *
 * @param points in the order taken
 * @param plates each with its leave-one-out error
 * @param chiSquare of the fit
 * @param degreesOfFreedom of the fit
 * @param chanceOfWorse probability of a χ² this large if all stated uncertainties are right
 * @param widened factor by which the coefficients' uncertainty was widened for lack of fit; 1 when
 *     it fits
 * @param leaveOneOutError root mean square of the plates' errors when each is predicted by the
 *     others [1]
 * @param disagreeing the plate to look at, when one does not go with the others
 * @param remarks in words
 */
public record Evidence(
    List<Point> points,
    List<PlateResult> plates,
    double chiSquare,
    int degreesOfFreedom,
    double chanceOfWorse,
    double widened,
    double leaveOneOutError,
    Optional<String> disagreeing,
    List<String> remarks) {

  /**
   * @param plate its name
   * @param testPressurePa across the plate [Pa]
   * @param dropPa over the flow element [Pa]
   * @param ratio flow that must have passed the element over what the uncorrected element says [1]
   * @param standardUncertainty of the ratio, all sources [1]
   * @param residual ratio − fitted curve [1]
   */
  public record Point(
      String plate,
      double testPressurePa,
      double dropPa,
      double ratio,
      double standardUncertainty,
      double residual) {}

  /**
   * @param plate its name
   * @param error mean ratio of this plate − what the other plates predict, relative [1]
   * @param standardUncertainty of that error [1]
   */
  public record PlateResult(String plate, double error, double standardUncertainty) {

    /** Error in units of its standard uncertainty. */
    public double score() {
      return error / standardUncertainty;
    }
  }

  /**
   * Where a sound calibration would be worse than this once in a thousand, the plates do not go
   * together (our own choice: a shop takes some tens of them in its life).
   */
  private static final double LEAST_CHANCE = 0.001;

  /** True when plates, gauges and curve go together within their stated uncertainties. */
  public boolean consistent() {
    return !(chanceOfWorse < LEAST_CHANCE);
  }

  public Evidence {
    points = List.copyOf(points);
    plates = List.copyOf(plates);
    remarks = List.copyOf(remarks);
  }
}
