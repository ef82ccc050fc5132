package meniscus.drivers.simulated;

import meniscus.core.time.Moment;

/**
 * What is really so on the bench at one moment.
 *
 * @param blowerControl 0 to 1
 */
public record Truth(
    Moment at,
    Area area,
    Flows flows,
    Pressures pressures,
    Valve valve,
    Air air,
    double blowerControl) {

  /**
   * Of what is mounted; of a plate: coefficient times bore area.
   *
   * @param effectiveM2 turbulence and separation of this moment in it [m²]
   * @param meanM2 what it is on average at this lift and test pressure, placement of this fitting
   *     in it [m²]
   * @param separated whether the short side is separated now
   * @param separatedShare share of time it is separated in the long run [1]
   */
  public record Area(double effectiveM2, double meanM2, boolean separated, double separatedShare) {}

  /**
   * Mass flows.
   *
   * @param portKgPerS through what is mounted [kg/s]
   * @param leakKgPerS that passes it by [kg/s]
   * @param elementKgPerS through the flow element [kg/s]
   */
  public record Flows(double portKgPerS, double leakKgPerS, double elementKgPerS) {}

  /**
   * @param testPa between plenum and room, positive either way [Pa]
   * @param elementDropPa over the flow element [Pa]
   */
  public record Pressures(double testPa, double elementDropPa) {}

  /**
   * @param liftM [m]
   * @param floats whether the air holds it off its opener
   */
  public record Valve(double liftM, boolean floats) {}

  /**
   * @param roomTemperatureK [K]
   * @param roomPressurePa [Pa]
   * @param humidity relative, of the room, 0 to 1
   * @param plenumTemperatureK [K]
   */
  public record Air(
      double roomTemperatureK, double roomPressurePa, double humidity, double plenumTemperatureK) {}
}
