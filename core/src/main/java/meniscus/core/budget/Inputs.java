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
        means.air().plenumK(),
        means.air().elementK(),
        means.pressures().dropHalfSwingPa(),
        means.pressures().testHalfSwingPa(),
        means.pressures().alignmentSeconds());
  }

  /** The same with another drop. */
  public Inputs withDrop(double changePa) {
    return with(dropPa + changePa, testPressurePa, roomK, roomPa, humidity, plenumK, elementK);
  }

  /** The same with another test pressure. */
  public Inputs withTestPressure(double changePa) {
    return with(dropPa, testPressurePa + changePa, roomK, roomPa, humidity, plenumK, elementK);
  }

  Inputs withRoomPressure(double changePa) {
    return with(dropPa, testPressurePa, roomK, roomPa + changePa, humidity, plenumK, elementK);
  }

  Inputs withHumidity(double changed) {
    double possible = Math.min(1, Math.max(0, changed));
    return with(dropPa, testPressurePa, roomK, roomPa, possible, plenumK, elementK);
  }

  Inputs withTemperatures(double room, double plenum, double element) {
    return with(
        dropPa,
        testPressurePa,
        roomK + room,
        roomPa,
        humidity,
        plenumK + plenum,
        elementK + element);
  }

  private Inputs with(
      double drop,
      double test,
      double room,
      double pressure,
      double humid,
      double plenum,
      double element) {
    return new Inputs(
        drop,
        test,
        testPressureRate,
        room,
        pressure,
        humid,
        plenum,
        element,
        dropHalfSwingPa,
        testPressureHalfSwingPa,
        alignmentSeconds);
  }

  /** The air around the bench. */
  public Surroundings surroundings() {
    return new Surroundings(new AirState(roomK, roomPa, humidity), plenumK, elementK, false);
  }
}
