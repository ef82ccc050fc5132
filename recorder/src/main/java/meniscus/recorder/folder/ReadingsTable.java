package meniscus.recorder.folder;

import de.siegmar.fastcsv.writer.CsvWriter;
import java.io.IOException;
import java.io.InputStream;
import java.io.OutputStream;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.OptionalDouble;
import java.util.SortedMap;
import java.util.TreeMap;
import meniscus.core.air.AirState;
import meniscus.core.bench.PointMeans;

/**
 * readings.csv: what was averaged of a plate at each test pressure, in SI, with the range's
 * uncorrected element and no leak subtracted: what a calibration is worked out from.
 */
final class ReadingsTable {

  static final String FILE = "readings.csv";

  static final List<Field> FIELDS =
      List.of(
          Field.integer("rung", "1", "number of the test pressure in plate.json"),
          Field.number("seconds", "s", "length of the averaging window"),
          Field.number("drop", "Pa", "mean drop over the flow element, zero subtracted"),
          Field.number("test_pressure", "Pa", "mean test pressure, zero subtracted"),
          Field.number("test_pressure_rate", "Pa/s", "its drift over the window"),
          Field.number("room_temperature", "K", "mean"),
          Field.number("room_pressure", "Pa", "mean, absolute"),
          Field.number("room_humidity", "1", "mean, relative"),
          Field.number("plenum_temperature", "K", "mean"),
          Field.number("element_temperature", "K", "mean, before the flow element"),
          Field.flag("temperature_assumed", "true when nothing measured the air in the plenum"),
          Field.number("effective_area", "m2", "CdA of the plate by the uncorrected element"),
          Field.number("flow", "m3/s", "of reference air by the uncorrected element"),
          Field.number("flow_standard_error", "m3/s", "from fluctuation alone; INF: not known"),
          Field.number("degrees_of_freedom", "1", "behind it"),
          Field.number(
              "drop_half_swing", "Pa", "how far the column swung to either side; empty: a gauge"),
          Field.number("test_pressure_half_swing", "Pa", "the same of the test pressure"),
          Field.number(
              "alignment", "s", "standard uncertainty of the moments of both against each other"));

  private ReadingsTable() {}

  /**
   * @return number of rows
   */
  static long write(OutputStream out, SortedMap<Integer, PointMeans> readings) throws IOException {
    try (CsvWriter csv = Csv.writer(out, FIELDS)) {
      for (Map.Entry<Integer, PointMeans> each : readings.entrySet()) {
        csv.writeRecord(row(each.getKey(), each.getValue()));
      }
    }
    return readings.size();
  }

  private static List<String> row(int rung, PointMeans means) {
    List<String> row = new ArrayList<>();
    row.add(Integer.toString(rung));
    for (double value :
        new double[] {
          means.seconds(),
          means.dropPa(),
          means.testPressurePa(),
          means.testPressureRate(),
          means.room().temperatureK(),
          means.room().pressurePa(),
          means.room().relativeHumidity(),
          means.air().plenumK(),
          means.air().elementK()
        }) {
      row.add(Cell.number(value));
    }
    row.add(Boolean.toString(means.air().assumed()));
    row.add(Cell.number(means.effectiveAreaM2()));
    row.add(Cell.number(means.flowM3PerS()));
    row.add(Cell.number(means.flowStandardError()));
    row.add(Cell.number(means.flow().degreesOfFreedom()));
    row.add(Cell.number(means.pressures().dropHalfSwingPa()));
    row.add(Cell.number(means.pressures().testHalfSwingPa()));
    row.add(Cell.number(means.pressures().alignmentSeconds()));
    return row;
  }

  /** By rung. */
  static SortedMap<Integer, PointMeans> read(InputStream in) throws IOException {
    SortedMap<Integer, PointMeans> readings = new TreeMap<>();
    Csv.read(
        in,
        FILE,
        Field.names(FIELDS),
        row -> readings.put(PointsTable.whole(row, "rung"), means(row)));
    return readings;
  }

  private static PointMeans means(Csv.Row row) throws BadTestFolder {
    return new PointMeans(
        row.number("seconds"),
        new PointMeans.Pressures(
            row.number("drop"),
            row.number("test_pressure"),
            row.number("test_pressure_rate"),
            row.optional("drop_half_swing"),
            row.optional("test_pressure_half_swing"),
            row.number("alignment")),
        new PointMeans.Air(
            new AirState(
                row.number("room_temperature"),
                row.number("room_pressure"),
                row.number("room_humidity")),
            row.number("plenum_temperature"),
            row.number("element_temperature"),
            row.flag("temperature_assumed")),
        new PointMeans.Flow(
            row.number("effective_area"),
            row.number("flow"),
            row.number("flow_standard_error"),
            row.number("degrees_of_freedom")),
        OptionalDouble.empty(),
        OptionalDouble.empty());
  }
}
