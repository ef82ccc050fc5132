package meniscus.core.uncertainty;

import java.util.Locale;
import java.util.Objects;
import meniscus.core.quantity.Worded;

/**
 * One line of an uncertainty budget.
 *
 * @param source in words that a bench owner understands
 * @param kind repeat (would differ if the same set-up were read again), set-up (fixed for one
 *     fitting of the head) or systematic (fixed for the bench)
 * @param standardUncertainty of the input, in the input's own SI unit
 * @param degreesOfFreedom of it; infinite when it comes from limits
 * @param sensitivity change of the value per change of the input
 * @param sharedId values with the same id share this very error, fully and with the sign of the
 *     sensitivity; empty when it is this value's own
 */
public record Contribution(
    String source,
    Kind kind,
    double standardUncertainty,
    double degreesOfFreedom,
    double sensitivity,
    String sharedId) {

  /** What an error sticks to; decides what cancels in a comparison. */
  public enum Kind implements Worded {
    REPEAT,
    SET_UP,
    SYSTEMATIC;

    @Override
    public String word() {
      return name().toLowerCase(Locale.ROOT).replace('_', '-');
    }
  }

  public Contribution {
    Objects.requireNonNull(source);
    Objects.requireNonNull(kind);
    Objects.requireNonNull(sharedId);
    if (!(standardUncertainty >= 0) || !(degreesOfFreedom > 0) || !Double.isFinite(sensitivity)) {
      throw new IllegalArgumentException(
          "\""
              + source
              + "\" needs a standard uncertainty of 0 or more and positive degrees of freedom");
    }
  }

  /** What it adds to the value, with sign: uncertainty × sensitivity. */
  public double effect() {
    return standardUncertainty * sensitivity;
  }
}
