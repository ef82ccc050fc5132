package meniscus.core.uncertainty;

import java.util.ArrayList;
import java.util.List;

/**
 * The error of a gauge within its specification: unknown, but the same whenever it reads the same,
 * nearly the same at near readings, and unrelated at readings far apart.
 *
 * <p>Modelled as independent errors at readings of 1, 2, 4, 8 … SI units. Between two of them the
 * error is a mix with cos² + sin² = 1, so that its standard uncertainty is as specified at every
 * reading. Two readings less than an octave apart are thus partly, equal readings fully correlated.
 * Our own model; a specification says nothing of it. It lets a gauge's error cancel between
 * calibration and test and between before and after, as far as they are read near each other.
 */
public final class GaugeError {

  // Zero has no logarithm; below any gauge in SI.
  private static final double SMALLEST_READING = 1e-9;

  private GaugeError() {}

  /**
   * Contributions of the gauge's error to one value.
   *
   * @param source in words
   * @param standardUncertainty at this reading [SI]
   * @param reading of the gauge [SI]
   * @param sensitivity of the value to the gauge's error
   * @param gaugeId names the gauge within its epoch
   */
  public static List<Contribution> contributions(
      String source,
      double standardUncertainty,
      double reading,
      double sensitivity,
      String gaugeId) {
    List<Contribution> contributions = new ArrayList<>(2);
    double place = Math.log(Math.max(Math.abs(reading), SMALLEST_READING)) / Math.log(2);
    int below = (int) Math.floor(place);
    double angle = (place - below) * Math.PI / 2;
    double[] weights = {Math.cos(angle), Math.sin(angle)};
    for (int k = 0; k < weights.length; k++) {
      contributions.add(
          new Contribution(
              source,
              Contribution.Kind.SYSTEMATIC,
              standardUncertainty,
              Double.POSITIVE_INFINITY,
              sensitivity * weights[k],
              gaugeId + "/" + (below + k)));
    }
    return contributions;
  }
}
