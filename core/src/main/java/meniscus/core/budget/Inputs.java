package meniscus.core.budget;

import java.util.OptionalDouble;
import meniscus.core.air.AirState;
import meniscus.core.bench.PointMeans;
import meniscus.core.bench.PortFlow.Surroundings;

/**
 * What the gauges show at one point, zero subtracted, and the air as the reduction takes it.
 *
 * @param dropPa over the flow element [Pa]
 * @param testPressurePa across the port [Pa]
 * @param testPressureRate its drift [Pa/s]
 * @param roomK temperature of the room [K]
 * @param roomPa pressure of the room [Pa]
 * @param humidity of the room, 0 to 1
 * @param plenumK temperature in the plenum [K]
 * @param elementK temperature before the flow element [K]
 * @param dropHalfSwingPa how far a person saw the drop's column swing to either side [Pa]
 * @param testPressureHalfSwingPa the same of the test pressure [Pa]
 * @param alignmentSeconds standard uncertainty of the moments of the two against each other [s]
 */
public record Inputs(
    double dropPa,
    double testPressurePa,
    double testPressureRate,
    double roomK,
    double roomPa,
    double humidity,
    double plenumK,
    double elementK,
    OptionalDouble dropHalfSwingPa,
    OptionalDouble testPressureHalfSwingPa,
    double alignmentSeconds) {

  public static Inputs of(PointMeans means) {
    return new Inputs(
        means.dropPa(),
        means.testPressurePa(),
        means.testPressureRate(),
        means.room().temperatureK(),
        means.room().pressurePa(),
        means.room().relativeHumidity(),
        means.plenumTemperatureK(),
        means.elementTemperatureK(),
        means.dropHalfSwingPa(),
        means.testPressureHalfSwingPa(),
        means.alignmentSeconds());
  }

  /** The same with another drop. */
  public Inputs withDrop(double changePa) {
    return new Inputs(
        dropPa + changePa,
        testPressurePa,
        testPressureRate,
        roomK,
        roomPa,
        humidity,
        plenumK,
        elementK,
        dropHalfSwingPa,
        testPressureHalfSwingPa,
        alignmentSeconds);
  }

  /** The same with another test pressure. */
  public Inputs withTestPressure(double changePa) {
    return new Inputs(
        dropPa,
        testPressurePa + changePa,
        testPressureRate,
        roomK,
        roomPa,
        humidity,
        plenumK,
        elementK,
        dropHalfSwingPa,
        testPressureHalfSwingPa,
        alignmentSeconds);
  }

  Inputs withRoomPressure(double changePa) {
    return new Inputs(
        dropPa,
        testPressurePa,
        testPressureRate,
        roomK,
        roomPa + changePa,
        humidity,
        plenumK,
        elementK,
        dropHalfSwingPa,
        testPressureHalfSwingPa,
        alignmentSeconds);
  }

  Inputs withHumidity(double changed) {
    return new Inputs(
        dropPa,
        testPressurePa,
        testPressureRate,
        roomK,
        roomPa,
        Math.min(1, Math.max(0, changed)),
        plenumK,
        elementK,
        dropHalfSwingPa,
        testPressureHalfSwingPa,
        alignmentSeconds);
  }

  Inputs withTemperatures(double room, double plenum, double element) {
    return new Inputs(
        dropPa,
        testPressurePa,
        testPressureRate,
        roomK + room,
        roomPa,
        humidity,
        plenumK + plenum,
        elementK + element,
        dropHalfSwingPa,
        testPressureHalfSwingPa,
        alignmentSeconds);
  }

  /** The air around the bench. */
  public Surroundings surroundings() {
    return new Surroundings(new AirState(roomK, roomPa, humidity), plenumK, elementK, false);
  }
}
