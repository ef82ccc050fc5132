package meniscus.core.bench;

import java.util.List;
import java.util.Objects;

/**
 * One independent error behind a calibration, and what one standard uncertainty of it does to each
 * coefficient. The covariance of the coefficients is the sum over all errors of effect × effectᵀ.
 *
 * @param source in words
 * @param sharedId when the same error is met again outside the calibration, as that of a gauge is;
 *     empty when it is the calibration's own
 * @param effects on the coefficients, with sign
 * @param degreesOfFreedom behind it
 */
public record CoefficientError(
    String source, String sharedId, List<Double> effects, double degreesOfFreedom) {
  public CoefficientError {
    Objects.requireNonNull(source);
    Objects.requireNonNull(sharedId);
    effects = List.copyOf(effects);
  }
}
