package meniscus.drivers.simulated;

/**
 * Pressure rise in air of 1.2 kg/m³: control × shutOffPa − shutOffPa (Q / freeFlow)², the control
 * running from 0 to 1.
 *
 * @param shutOffPa rise without flow, fully up [Pa]
 * @param freeFlowM3PerS flow without rise, fully up [m³/s]
 * @param spinS time constant of the control's answer [s]
 * @param regulatorPerS integral gain of whoever holds the test pressure [1/s]
 * @param regulatorPart proportional gain of the same [1]
 * @param wander relative standard deviation of the rise [1]
 * @param wanderS its correlation time [s]
 * @param ripple relative amplitude of the rise [1]
 * @param rippleHz [Hz]
 * @param warmUpS time constant of warming [s]
 * @param fade share of the rise lost when warm [1]
 * @param motorRiseK warming of blown air by the warm motor, beside compression [K]
 * @param roomRiseK warming of the room by the warm motor [K]
 * @param efficiency of compression [1]
 */
public record Blower(
    double shutOffPa,
    double freeFlowM3PerS,
    double spinS,
    double regulatorPerS,
    double regulatorPart,
    double wander,
    double wanderS,
    double ripple,
    double rippleHz,
    double warmUpS,
    double fade,
    double motorRiseK,
    double roomRiseK,
    double efficiency) {

  /** The same blower with another pressure without flow. */
  public Blower withShutOffPa(double otherPa) {
    return new Blower(
        otherPa,
        freeFlowM3PerS * Math.sqrt(otherPa / shutOffPa),
        spinS,
        regulatorPerS,
        regulatorPart,
        wander,
        wanderS,
        ripple,
        rippleHz,
        warmUpS,
        fade,
        motorRiseK,
        roomRiseK,
        efficiency);
  }
}
