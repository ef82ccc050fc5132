package meniscus.core.bench;

import meniscus.core.refusal.Refusal;

/**
 * A discharge coefficient out of a certificate or a data sheet.
 *
 * @param value C, 0 to 1.2
 * @param relativeStandardUncertainty of it [1]
 */
public record StatedCoefficient(double value, double relativeStandardUncertainty) {
  public StatedCoefficient {
    if (!(value > 0 && value <= 1.2)) {
      throw new Refusal("a discharge coefficient lies between 0 and 1.2, was " + value);
    }
    if (!(relativeStandardUncertainty >= 0 && relativeStandardUncertainty < 1)) {
      throw new Refusal(
          "the uncertainty of a discharge coefficient is a share from 0 to 1, was "
              + relativeStandardUncertainty);
    }
  }
}
