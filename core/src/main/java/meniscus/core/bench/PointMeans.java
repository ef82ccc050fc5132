package meniscus.core.bench;

import java.util.Objects;
import java.util.OptionalDouble;
import meniscus.core.air.AirState;

/**
 * What was averaged over the window of one lift point: all that its uncertainty budget needs.
 *
 * @param seconds length of the window [s]
 * @param dropPa mean drop over the flow element, zero subtracted [Pa]
 * @param testPressurePa mean test pressure, zero subtracted [Pa]
 * @param testPressureRate its drift over the window [Pa/s]
 * @param room mean room air
 * @param plenumTemperatureK of the air in the plenum [K]
 * @param elementTemperatureK of the air before the element [K]
 * @param temperatureAssumed true when blowing without a thermometer in the plenum
 * @param effectiveAreaM2 mean CdA of the port [m²]
 * @param flowM3PerS the flow reported for it [m³/s]
 * @param flowStandardError of that mean from fluctuation alone [m³/s]; infinite when not known
 * @param flowDegreesOfFreedom behind the standard error
 * @param liftM mean of the lift channel [m], when there is one
 * @param slopeM2PerS change of flow with lift at this lift [m²/s], when neighbours are known
 * @param dropHalfSwingPa how far a person saw the drop's column swing to either side [Pa]; empty
 *     for a gauge that is read often
 * @param testPressureHalfSwingPa the same of the test pressure [Pa]
 * @param alignmentSeconds standard uncertainty of the moments of drop and test pressure against
 *     each other [s]; 0 when one instrument gives both at once
 */
public record PointMeans(
    double seconds,
    double dropPa,
    double testPressurePa,
    double testPressureRate,
    AirState room,
    double plenumTemperatureK,
    double elementTemperatureK,
    boolean temperatureAssumed,
    double effectiveAreaM2,
    double flowM3PerS,
    double flowStandardError,
    double flowDegreesOfFreedom,
    OptionalDouble liftM,
    OptionalDouble slopeM2PerS,
    OptionalDouble dropHalfSwingPa,
    OptionalDouble testPressureHalfSwingPa,
    double alignmentSeconds) {

  public PointMeans {
    Objects.requireNonNull(room);
    Objects.requireNonNull(liftM);
    Objects.requireNonNull(slopeM2PerS);
    Objects.requireNonNull(dropHalfSwingPa);
    Objects.requireNonNull(testPressureHalfSwingPa);
  }

  /** True when a person read drop or test pressure. */
  public boolean readByEye() {
    return dropHalfSwingPa.isPresent() || testPressureHalfSwingPa.isPresent();
  }

  /** The same with another drop. */
  public PointMeans withDrop(double pascal) {
    return new PointMeans(
        seconds,
        pascal,
        testPressurePa,
        testPressureRate,
        room,
        plenumTemperatureK,
        elementTemperatureK,
        temperatureAssumed,
        effectiveAreaM2,
        flowM3PerS,
        flowStandardError,
        flowDegreesOfFreedom,
        liftM,
        slopeM2PerS,
        dropHalfSwingPa,
        testPressureHalfSwingPa,
        alignmentSeconds);
  }

  public PointMeans withSlope(double slope) {
    return new PointMeans(
        seconds,
        dropPa,
        testPressurePa,
        testPressureRate,
        room,
        plenumTemperatureK,
        elementTemperatureK,
        temperatureAssumed,
        effectiveAreaM2,
        flowM3PerS,
        flowStandardError,
        flowDegreesOfFreedom,
        liftM,
        OptionalDouble.of(slope),
        dropHalfSwingPa,
        testPressureHalfSwingPa,
        alignmentSeconds);
  }
}
