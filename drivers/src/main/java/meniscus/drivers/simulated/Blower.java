package meniscus.drivers.simulated;

/**
 * Pressure rise in air of 1.2 kg/m³: control × shutOffPa − shutOffPa (Q / freeFlow)², the control
 * running from 0 to 1.
 *
 * @param shutOffPa rise without flow, fully up [Pa]
 * @param freeFlowM3PerS flow without rise, fully up [m³/s]
 * @param spinS time constant of the control's answer [s]
 * @param efficiency of compression [1]
 */
public record Blower(
    double shutOffPa,
    double freeFlowM3PerS,
    double spinS,
    double efficiency,
    Regulator regulator,
    Unrest unrest,
    Warmth warmth) {

  /**
   * Whoever holds the test pressure.
   *
   * @param perS integral gain [1/s]
   * @param part proportional gain [1]
   */
  public record Regulator(double perS, double part) {}

  /**
   * How the rise does not stay.
   *
   * @param wander relative standard deviation of it [1]
   * @param wanderS its correlation time [s]
   * @param ripple relative amplitude of it [1]
   * @param rippleHz [Hz]
   */
  public record Unrest(double wander, double wanderS, double ripple, double rippleHz) {}

  /**
   * What the warm motor does.
   *
   * @param upS time constant of warming [s]
   * @param fade share of the rise lost when warm [1]
   * @param motorRiseK warming of blown air, beside compression [K]
   * @param roomRiseK warming of the room [K]
   */
  public record Warmth(double upS, double fade, double motorRiseK, double roomRiseK) {}

  /** The same blower with another pressure without flow. */
  public Blower withShutOffPa(double otherPa) {
    double flow = freeFlowM3PerS * Math.sqrt(otherPa / shutOffPa);
    return new Blower(otherPa, flow, spinS, efficiency, regulator, unrest, warmth);
  }
}
