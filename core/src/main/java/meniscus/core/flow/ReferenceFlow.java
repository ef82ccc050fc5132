package meniscus.core.flow;

/**
 * A flow that carries what it is stated for.
 *
 * @param volumeFlow m³/s of reference air upstream of the port
 * @param state the reference air and reference test pressure
 */
public record ReferenceFlow(double volumeFlow, ReferenceState state) {

  /** Effective area of the port, m². */
  public double effectiveArea() {
    return state.effectiveArea(volumeFlow);
  }

  /** The same port stated for other air and another test pressure, as a nozzle would do. */
  public ReferenceFlow at(ReferenceState other) {
    return other.flow(effectiveArea());
  }

  /** kg/s at the reference state. */
  public double massFlow() {
    return volumeFlow * state.air().state().density();
  }
}
