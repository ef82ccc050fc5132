package meniscus.core.finding;

import java.util.List;
import java.util.Optional;
import java.util.function.DoubleUnaryOperator;
import meniscus.core.decide.Estimate;
import meniscus.core.flow.Nozzle;

/**
 * What compressibility alone does to the flow coefficient of a port as the test pressure rises.
 *
 * <p>One-dimensional: isentropic from rest to the smallest section, where the velocity head is m
 * times the test pressure, m = (CdA/A)². Below that section a fixed share of the head comes back (m
 * above 1) or is lost as well (m below 1). The air there has expanded by m·Δp, while CdA reckons
 * with Δp, so CdA changes by Y(m·Δp)/Y(Δp), Y of {@link Nozzle#expansionFactor}: nothing at m = 1,
 * −5 % from 5 to 28 inH2O where CdA is 1.57 times the smallest area, +2 % where it is 0.58 times.
 * Our own derivation from the nozzle's relations; no port was measured for it.
 */
final class Throat {

  /** Air, near enough for this correction. */
  private static final double KAPPA = 1.4;

  /** Doubt of the model itself, in m: 0.5 % of CdA a 28 inH2O. Our own choice. */
  static final double MODEL_DOUBT = 0.14;

  /**
   * Doubt of carrying m from a healthy lift or an earlier run, where the port itself has shown what
   * the model cannot know: 0.2 % of CdA a 28 inH2O. Our own choice.
   */
  static final double TRANSFER_DOUBT = 0.06;

  /** How well a smallest area is known that someone measured in a port [1]. Our own choice. */
  private static final double AREA_KNOWN_TO = 0.03;

  /** Ports have CdA of 0.6 to 1.6 times their smallest area, m of 0.36 to 2.6. */
  static final Estimate ANY_PORT = new Estimate(1.4, 0.7, Double.POSITIVE_INFINITY);

  // Of a central difference: its error goes with the square.
  private static final double STEP = 0.01;

  private Throat() {}

  /**
   * ln of CdA at a test pressure over CdA at none.
   *
   * @param share m
   * @param upstreamPa absolute, at rest
   */
  static double logChange(double share, double dropPa, double upstreamPa) {
    double there = Math.min(share * dropPa, 0.999 * upstreamPa);
    return Math.log(
        Nozzle.expansionFactor(upstreamPa, Math.max(0, there), KAPPA)
            / Nozzle.expansionFactor(upstreamPa, dropPa, KAPPA));
  }

  /** Change of {@link #logChange} with m. */
  static double perShare(double share, double dropPa, double upstreamPa) {
    return (logChange(share + STEP, dropPa, upstreamPa)
            - logChange(share - STEP, dropPa, upstreamPa))
        / (2 * STEP);
  }

  /**
   * m from the port's smallest section.
   *
   * @param restArea CdA at no pressure [m²], by the m that is believed
   */
  static Estimate of(DoubleUnaryOperator restArea, double smallestAreaM2) {
    double share = share(restArea, 1 / (smallestAreaM2 * smallestAreaM2));
    return new Estimate(
        share, Math.hypot(2 * AREA_KNOWN_TO * share, MODEL_DOUBT), Double.POSITIVE_INFINITY);
  }

  /**
   * m from another sweep of the same port: its velocity head goes with the square of the flow.
   *
   * @param other m there
   * @param otherRestAreaM2 CdA there at no pressure
   * @param restArea CdA here at no pressure [m²], by the m that is believed
   */
  static Estimate of(Estimate other, double otherRestAreaM2, DoubleUnaryOperator restArea) {
    double share = share(restArea, other.value() / (otherRestAreaM2 * otherRestAreaM2));
    double square = Math.pow(restArea.applyAsDouble(share) / otherRestAreaM2, 2);
    return new Estimate(
        share,
        Math.hypot(other.standardUncertainty() * square, TRANSFER_DOUBT),
        other.degreesOfFreedom());
  }

  /**
   * m of a sweep, m being {@code perSquare} times the square of CdA at no pressure. What is
   * measured is CdA at the lowest test pressure, which m bends already: at m = 2.6 and 7 inH2O by
   * 1.4 %, and m by 3 %. Each step leaves less than a tenth of what the one before was off.
   */
  private static double share(DoubleUnaryOperator restArea, double perSquare) {
    double share = 1;
    for (int step = 0; step < 5; step++) {
      share = perSquare * Math.pow(restArea.applyAsDouble(share), 2);
    }
    return share;
  }

  /** Weighted mean of what several sources say; they must not part by more than three sigma. */
  static Optional<Estimate> agreed(List<Estimate> sources) {
    double weights = 0;
    double sum = 0;
    for (Estimate source : sources) {
      double weight = 1 / (source.standardUncertainty() * source.standardUncertainty());
      weights += weight;
      sum += weight * source.value();
    }
    double mean = sum / weights;
    boolean part =
        sources.stream().anyMatch(s -> Math.abs(s.value() - mean) > 3 * s.standardUncertainty());
    if (sources.isEmpty() || part) {
      return Optional.empty();
    }
    // What all of them take for granted does not average out.
    double u = Math.max(1 / Math.sqrt(weights), TRANSFER_DOUBT);
    return Optional.of(new Estimate(mean, u, Double.POSITIVE_INFINITY));
  }
}
