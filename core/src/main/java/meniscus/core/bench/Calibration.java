package meniscus.core.bench;

import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.Objects;
import java.util.Optional;
import meniscus.core.flow.Direction;
import meniscus.core.uncertainty.Contribution;

/**
 * A flow element calibrated on this bench: the corrected element, the errors behind its
 * coefficients, and the evidence. Holds for one direction and one range.
 *
 * @param id names this version: the SHA-256 of its file's bytes; empty while it has no file
 * @param direction suction or blowing
 * @param range of the bench
 * @param at when it was taken
 * @param epoch of the bench
 * @param element corrected
 * @param errors behind its coefficients
 * @param evidence points, plates, how well it fits
 */
public record Calibration(
    String id,
    Direction direction,
    String range,
    Instant at,
    int epoch,
    FittedElement element,
    List<CoefficientError> errors,
    Evidence evidence) {

  /**
   * Beyond the calibrated drops the coefficient may go on changing: one standard uncertainty for
   * each factor e in drop. Our own estimate; the standard's Reynolds-number term changes by less.
   */
  private static final double BEYOND_PER_E_FOLD = 0.005;

  /** Begins the shared id of an error that only values of this very calibration share. */
  private static final String OWN = "calibration ";

  public Calibration {
    Objects.requireNonNull(id);
    Objects.requireNonNull(direction);
    Objects.requireNonNull(range);
    Objects.requireNonNull(at);
    Objects.requireNonNull(element);
    Objects.requireNonNull(evidence);
    errors = List.copyOf(errors);
  }

  /** The same calibration under the name of its file. */
  public Calibration named(String sha256) {
    return new Calibration(sha256, direction, range, at, epoch, element, errors, evidence);
  }

  /**
   * What the calibration's errors do to a flow measured with it.
   *
   * @param dropPa over the element, not 0
   * @param relativeSensitivity change of the value per relative change of the element's flow
   */
  public List<Contribution> contributions(double dropPa, double relativeSensitivity) {
    double within =
        Math.min(Math.max(Math.abs(dropPa), element.lowestDropPa()), element.highestDropPa());
    double x = Math.log(within / element.referenceDropPa());
    double correction = element.correction(dropPa);
    List<Contribution> contributions = new ArrayList<>();
    for (int i = 0; i < errors.size(); i++) {
      CoefficientError error = errors.get(i);
      double relative = polynomial(error.effects(), x) / correction;
      contributions.add(
          new Contribution(
              error.source(),
              Contribution.Kind.SYSTEMATIC,
              Math.abs(relative),
              error.degreesOfFreedom(),
              Math.copySign(1, relative) * relativeSensitivity,
              error.sharedId().isEmpty() ? ownId(i) : error.sharedId()));
    }
    double beyond = Math.abs(Math.log(Math.abs(dropPa) / within));
    if (beyond > 0) {
      contributions.add(
          new Contribution(
              "drop beyond the calibrated range",
              Contribution.Kind.SYSTEMATIC,
              beyond * Math.max(BEYOND_PER_E_FOLD, Math.abs(endSlope(x)) / correction),
              Double.POSITIVE_INFINITY,
              relativeSensitivity,
              ownId(Math.abs(dropPa) < within ? "below" : "above")));
    }
    return contributions;
  }

  private String ownId(Object part) {
    return OWN + id + "/" + part;
  }

  /** The calibration that a value was worked out with, as its budget names it. */
  public static Optional<String> usedIn(List<Contribution> budget) {
    return budget.stream()
        .map(Contribution::sharedId)
        .filter(shared -> shared.startsWith(OWN) && shared.indexOf('/') > 0)
        .map(shared -> shared.substring(OWN.length(), shared.lastIndexOf('/')))
        .findFirst();
  }

  /** Slope of the correction over ln drop at x. */
  private double endSlope(double x) {
    List<Double> c = element.coefficients();
    double slope = 0;
    for (int k = c.size() - 1; k >= 1; k--) {
      slope = slope * x + k * c.get(k);
    }
    return slope;
  }

  private static double polynomial(List<Double> coefficients, double x) {
    double value = 0;
    for (int k = coefficients.size() - 1; k >= 0; k--) {
      value = value * x + coefficients.get(k);
    }
    return value;
  }
}
