package meniscus.recorder.file;

import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.OptionalDouble;
import meniscus.core.air.AirState;
import meniscus.core.bench.PointMeans;
import meniscus.core.calibrate.PlateReading;

/**
 * A reading on a plate as one line of JSON, in SI and to the last digit: how it is kept until the
 * calibration that it belongs to is worked out.
 *
 * @param askedPa test pressure that was asked for [Pa]
 * @param visit how often the plate had been mounted, this time counted
 * @param reading what was read
 */
public record ReadingLine(double askedPa, int visit, PlateReading reading) implements KeptLine {

  private static final List<String> NUMBERS =
      List.of(
          "seconds",
          "drop",
          "test_pressure",
          "test_pressure_rate",
          "plenum_temperature",
          "element_temperature",
          "effective_area",
          "flow",
          "flow_standard_error",
          "flow_degrees_of_freedom",
          "alignment");

  @Override
  public String plate() {
    return reading.plate();
  }

  @Override
  public String text() {
    PointMeans means = reading.means();
    Map<String, Object> members = new LinkedHashMap<>();
    members.put("plate", reading.plate());
    members.put("bevel", reading.bevel().word());
    members.put("asked", askedPa);
    members.put("visit", visit);
    double[] numbers = {
      means.seconds(),
      means.dropPa(),
      means.testPressurePa(),
      means.testPressureRate(),
      means.air().plenumK(),
      means.air().elementK(),
      means.effectiveAreaM2(),
      means.flowM3PerS(),
      means.flowStandardError(),
      means.flow().degreesOfFreedom(),
      means.pressures().alignmentSeconds()
    };
    for (int i = 0; i < numbers.length; i++) {
      members.put(NUMBERS.get(i), Double.toString(numbers[i]));
    }
    members.put("temperature_assumed", means.air().assumed());
    members.put(
        "room",
        List.of(
            means.room().temperatureK(),
            means.room().pressurePa(),
            means.room().relativeHumidity()));
    means.pressures().dropHalfSwingPa().ifPresent(swing -> members.put("drop_half_swing", swing));
    means
        .pressures()
        .testHalfSwingPa()
        .ifPresent(swing -> members.put("test_pressure_half_swing", swing));
    return StrictJson.printLine(members);
  }

  /**
   * @throws FileNotAccepted when the line is not whole
   */
  public static ReadingLine parse(String name, String line) {
    ObjectReader members = new ObjectReader(name, StrictJson.parse(name, line), member -> {});
    try {
      List<Double> number = new ArrayList<>();
      for (String each : NUMBERS) {
        number.add(Double.valueOf(members.text(each)));
      }
      List<Double> room = members.numbers("room");
      PointMeans means =
          new PointMeans(
              number.get(0),
              new PointMeans.Pressures(
                  number.get(1),
                  number.get(2),
                  number.get(3),
                  members.optionalNumber("drop_half_swing"),
                  members.optionalNumber("test_pressure_half_swing"),
                  number.get(10)),
              new PointMeans.Air(
                  new AirState(room.get(0), room.get(1), room.get(2)),
                  number.get(4),
                  number.get(5),
                  members.yes("temperature_assumed", false)),
              new PointMeans.Flow(number.get(6), number.get(7), number.get(8), number.get(9)),
              OptionalDouble.empty(),
              OptionalDouble.empty());
      PlateReading.Bevel bevel = members.choice("bevel", PlateReading.Bevel.class);
      return new ReadingLine(
          members.number("asked"),
          (int) members.optionalNumber("visit").orElse(1),
          new PlateReading(members.text("plate"), bevel, means));
    } catch (IllegalArgumentException | IndexOutOfBoundsException e) {
      throw new FileNotAccepted(name + ": a reading is not whole: " + e.getMessage(), e);
    }
  }
}
