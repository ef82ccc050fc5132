package meniscus.core.flow;

import meniscus.core.air.AirState;

/**
 * The area of the ideal nozzle that would pass the same flow, CdA = qm/(Y·√(2 ρ1 Δp)), m². Weather,
 * altitude and most choices of unit drop out of it, so it is what tests are compared by.
 *
 * <p>Upstream is the air before the port: the room on suction, the plenum on blowing. For every
 * reading: nothing is thrown, and a drop that is not above zero or not below the upstream pressure
 * gives NaN.
 */
public final class EffectiveArea {

  private EffectiveArea() {}

  /** CdA in m² of a port that passes {@code massFlow} kg/s at {@code dropPa}. */
  public static double fromMassFlow(double massFlow, AirState upstream, double dropPa) {
    return fromMassFlow(
        massFlow, upstream.density(), upstream.pressurePa(), dropPa, upstream.kappa());
  }

  /** As above, for upstream air that changes with every reading. */
  public static double fromMassFlow(
      double massFlow, double density, double upstreamPa, double dropPa, double kappa) {
    return massFlow / flux(density, upstreamPa, dropPa, kappa);
  }

  /** Mass flow in kg/s through a port of {@code areaM2} at {@code dropPa}. */
  public static double toMassFlow(double areaM2, AirState upstream, double dropPa) {
    return areaM2 * flux(upstream.density(), upstream.pressurePa(), dropPa, upstream.kappa());
  }

  private static double flux(double density, double upstreamPa, double dropPa, double kappa) {
    return dropPa > 0 && dropPa < upstreamPa
        ? Nozzle.massFlux(density, upstreamPa, dropPa, kappa)
        : Double.NaN;
  }
}
