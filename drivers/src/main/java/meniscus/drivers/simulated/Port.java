package meniscus.drivers.simulated;

import java.util.List;

/**
 * A port with its valve.
 *
 * @param name state of the head, for people
 * @param headM diameter of the valve's head [m]
 * @param smallestAreaM2 smallest cross-section of the port [m²]
 * @param steps discharge coefficients, lifts rising; between them a natural cubic spline, beyond
 *     them constant
 * @param shortSide when it separates
 * @param turbulence relative standard deviation of the flow at constant pressure [1]
 * @param turbulenceS its correlation time [s]
 */
public record Port(
    String name,
    double headM,
    double smallestAreaM2,
    List<Step> steps,
    SimulatedShortSide shortSide,
    double turbulence,
    double turbulenceS) {

  /**
   * Discharge coefficients over the curtain area π · head · lift, attached flow.
   *
   * @param liftM [m]
   * @param suction when the bench draws [1]
   * @param blowing when the bench blows [1]
   */
  public record Step(double liftM, double suction, double blowing) {}

  /** Flowing otherwise. */
  Port with(List<Step> other) {
    return new Port(name, headM, smallestAreaM2, other, shortSide, turbulence, turbulenceS);
  }

  /** With another turn. */
  Port with(SimulatedShortSide other) {
    return new Port(name, headM, smallestAreaM2, steps, other, turbulence, turbulenceS);
  }

  public Port {
    steps = List.copyOf(steps);
    if (!(headM > 0) || !(smallestAreaM2 > 0) || !(turbulence >= 0) || !(turbulenceS > 0)) {
      throw new IllegalArgumentException("port " + name + ": sizes must be positive");
    }
    if (steps.size() < 3) {
      throw new IllegalArgumentException("port " + name + ": needs three lifts or more");
    }
  }
}
