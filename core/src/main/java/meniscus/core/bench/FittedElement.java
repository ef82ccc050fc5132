package meniscus.core.bench;

import java.util.List;
import java.util.Objects;
import meniscus.core.air.AirState;

/**
 * An element corrected by a calibration: flow = flow of {@code base} × k, with k a polynomial in x
 * = ln(|Δp|/{@code referenceDropPa}), k = c0 + c1 x + c2 x² … Beyond the drops that were calibrated
 * k keeps its value at the end.
 *
 * @param base the element as it was known before
 * @param coefficients c0, c1 … [1]
 * @param covariance of the coefficients, as many rows and columns [1]; the base's own uncertainty
 *     is not added to it, for the calibration replaces it
 * @param referenceDropPa drop at which x is 0 [Pa]
 * @param lowestDropPa lowest calibrated drop [Pa]
 * @param highestDropPa highest calibrated drop [Pa]
 */
public record FittedElement(
    FlowElement base,
    List<Double> coefficients,
    List<List<Double>> covariance,
    double referenceDropPa,
    double lowestDropPa,
    double highestDropPa)
    implements FlowElement {

  public FittedElement {
    Objects.requireNonNull(base);
    coefficients = List.copyOf(coefficients);
    covariance = covariance.stream().map(List::copyOf).toList();
    int size = coefficients.size();
    if (size == 0
        || covariance.size() != size
        || covariance.stream().anyMatch(row -> row.size() != size)) {
      throw new IllegalArgumentException(
          "a fitted element needs coefficients and a covariance of as many rows and columns");
    }
    if (!(referenceDropPa > 0) || !(lowestDropPa > 0) || !(lowestDropPa <= highestDropPa)) {
      throw new IllegalArgumentException(
          "a fitted element needs a reference drop and calibrated drops above zero, the lowest"
              + " first");
    }
  }

  @Override
  public double massFlow(double dropPa, AirState upstream) {
    return dropPa == 0 ? 0 : base.massFlow(dropPa, upstream) * correction(dropPa);
  }

  /** k at a drop other than 0 [1]. */
  public double correction(double dropPa) {
    double x = place(dropPa);
    double k = 0;
    for (int i = coefficients.size() - 1; i >= 0; i--) {
      k = k * x + coefficients.get(i);
    }
    return k;
  }

  @Override
  public boolean covers(double dropPa) {
    double size = Math.abs(dropPa);
    return size >= lowestDropPa && size <= highestDropPa;
  }

  /** √(vᵀ Σ v)/k with v = 1, x, x² … (JCGM 100:2008 eq. 13). */
  @Override
  public double relativeStandardUncertainty(double dropPa, AirState upstream) {
    double x = place(dropPa);
    double variance = 0;
    double rowPower = 1;
    for (List<Double> row : covariance) {
      double power = rowPower;
      for (double entry : row) {
        variance += power * entry;
        power *= x;
      }
      rowPower *= x;
    }
    return Math.sqrt(Math.max(0, variance)) / Math.abs(correction(dropPa));
  }

  private double place(double dropPa) {
    double within = Math.min(Math.max(Math.abs(dropPa), lowestDropPa), highestDropPa);
    return Math.log(within / referenceDropPa);
  }
}
