package meniscus.recorder.folder;

import de.siegmar.fastcsv.writer.CsvWriter;
import java.io.IOException;
import java.io.InputStream;
import java.io.OutputStream;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.OptionalDouble;
import java.util.TreeMap;
import meniscus.core.lift.Beside;
import meniscus.core.lift.LiftPoint;
import meniscus.core.quantity.Unit;

/** beside.csv: what was measured at each rung beside its flow, in SI. */
final class BesideTable {

  static final String FILE = "beside.csv";

  static final List<Field> FIELDS =
      List.of(
          Field.integer("rung", "1", "number on the ladder"),
          Field.text(
              "name",
              "fluctuation_LOW_HIGH: root mean square between these hertz; the same with _on_plates:"
                  + " on the calm record's plates at such a flow; probe_velocity; or"
                  + " instrument.channel of a channel without a use"),
          Field.text("unit", "UCUM code of value and u95"),
          Field.number("value", "", "mean over the rung"),
          Field.number(
              "u95", "", "half-width of its 95 % interval; empty when too little was read"));

  private BesideTable() {}

  /**
   * @return number of rows
   */
  static long write(OutputStream out, List<LiftPoint> points) throws IOException {
    long rows = 0;
    try (CsvWriter csv = Csv.writer(out, FIELDS)) {
      for (LiftPoint point : points) {
        for (List<String> row : rows(point)) {
          csv.writeRecord(row);
          rows++;
        }
      }
    }
    return rows;
  }

  /** As they are written. */
  static List<List<String>> rows(LiftPoint point) {
    List<List<String>> rows = new ArrayList<>();
    for (Beside beside : point.beside()) {
      rows.add(
          List.of(
              Integer.toString(point.rung()),
              Cell.text(beside.name()),
              Cell.text(beside.unit().code()),
              Cell.number(beside.value()),
              Cell.number(beside.u95())));
    }
    return rows;
  }

  /** By rung. */
  static Map<Integer, List<Beside>> read(InputStream in) throws IOException {
    Map<Integer, List<Beside>> byRung = new TreeMap<>();
    Csv.read(
        in,
        FILE,
        Field.names(FIELDS),
        row ->
            byRung
                .computeIfAbsent(PointsTable.whole(row, "rung"), r -> new ArrayList<>())
                .add(beside(row)));
    return byRung;
  }

  private static Beside beside(Csv.Row row) throws BadTestFolder {
    try {
      OptionalDouble u95 = row.optional("u95");
      return new Beside(row.text("name"), Unit.named(row.text("unit")), row.number("value"), u95);
    } catch (IllegalArgumentException e) {
      throw row.wrong("unit", e.getMessage());
    }
  }
}
