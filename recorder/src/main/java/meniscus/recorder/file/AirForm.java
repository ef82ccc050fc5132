package meniscus.recorder.file;

import meniscus.core.air.AirState;
import meniscus.core.quantity.Dimension;

/** The air that a flow is stated for: temperature, pressure, humidity. */
final class AirForm {

  private AirForm() {}

  static AirState read(ObjectReader members) {
    double temperatureK = members.si("temperature", Dimension.TEMPERATURE);
    double pressurePa = members.si("pressure", Dimension.PRESSURE);
    double humidity = members.si("humidity", Dimension.RATIO, 0);
    members.done();
    return members.made(() -> new AirState(temperatureK, pressurePa, humidity));
  }

  static ObjectWriter write(ObjectWriter written, AirState air) {
    return written
        .si("temperature", air.temperatureK(), Dimension.TEMPERATURE)
        .si("pressure", air.pressurePa(), Dimension.PRESSURE)
        .step("humidity", air.relativeHumidity(), Dimension.RATIO);
  }
}
