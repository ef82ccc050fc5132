package meniscus.drivers.simulated;

import meniscus.core.time.Moment;

/**
 * What is really so on the bench at one moment.
 *
 * @param effectiveAreaM2 of what is mounted, turbulence and separation of this moment in it [m²];
 *     of a plate: coefficient times bore area
 * @param meanEffectiveAreaM2 what it is on average at this lift and test pressure, placement of
 *     this fitting in it [m²]
 * @param portKgPerS mass flow through what is mounted [kg/s]
 * @param leakKgPerS mass flow that passes it by [kg/s]
 * @param elementKgPerS mass flow through the flow element [kg/s]
 * @param testPressurePa between plenum and room, positive either way [Pa]
 * @param elementDropPa [Pa]
 * @param liftM of the valve [m]
 * @param valveFloats whether the air holds the valve off its opener
 * @param separated whether the short side is separated now
 * @param separatedShare share of time it is separated in the long run [1]
 * @param blowerControl 0 to 1
 * @param plenumTemperatureK [K]
 * @param humidity relative, of the room, 0 to 1
 */
public record Truth(
    Moment at,
    double effectiveAreaM2,
    double meanEffectiveAreaM2,
    double portKgPerS,
    double leakKgPerS,
    double elementKgPerS,
    double testPressurePa,
    double elementDropPa,
    double liftM,
    boolean valveFloats,
    boolean separated,
    double separatedShare,
    double blowerControl,
    double roomTemperatureK,
    double roomPressurePa,
    double humidity,
    double plenumTemperatureK) {}
