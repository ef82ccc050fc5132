package meniscus.recorder.folder;

import de.siegmar.fastcsv.writer.CsvWriter;
import java.io.IOException;
import java.io.InputStream;
import java.io.OutputStream;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.TreeMap;
import meniscus.core.lift.LiftPoint;
import meniscus.core.quantity.Worded;
import meniscus.core.uncertainty.Contribution;

/** budget.csv: where each flow's uncertainty comes from, in SI. */
final class BudgetTable {

  static final String FILE = "budget.csv";

  static final List<Field> FIELDS =
      List.of(
          Field.integer("rung", "1", "number on the ladder"),
          Field.text("source", "what the uncertainty comes from"),
          Field.oneOf(
              "kind",
              "what the error sticks to: one reading, one fitting of the head, or the bench",
              Worded.words(Contribution.Kind.values())),
          Field.number("u", "", "standard uncertainty of the input, in the input's own SI unit"),
          Field.number("degrees_of_freedom", "1", "behind it; INF when it comes from limits"),
          Field.number(
              "sensitivity", "", "change of the flow in m3/s per SI unit of the input, with sign"),
          Field.text("shared_id", "rows with the same id share this very error; empty: own"));

  private BudgetTable() {}

  /**
   * @return number of rows
   */
  static long write(OutputStream out, List<LiftPoint> points) throws IOException {
    long rows = 0;
    try (CsvWriter csv = Csv.writer(out, FIELDS)) {
      for (LiftPoint point : points) {
        for (Contribution line : point.budget()) {
          csv.writeRecord(
              Integer.toString(point.rung()),
              Cell.text(line.source()),
              line.kind().word(),
              Cell.number(line.standardUncertainty()),
              Cell.number(line.degreesOfFreedom()),
              Cell.number(line.sensitivity()),
              Cell.text(line.sharedId()));
          rows++;
        }
      }
    }
    return rows;
  }

  /** By rung. */
  static Map<Integer, List<Contribution>> read(InputStream in) throws IOException {
    Map<Integer, List<Contribution>> byRung = new TreeMap<>();
    Csv.read(
        in,
        FILE,
        Field.names(FIELDS),
        row -> {
          int rung = PointsTable.whole(row, "rung");
          byRung.computeIfAbsent(rung, r -> new ArrayList<>()).add(line(row));
        });
    return byRung;
  }

  private static Contribution line(Csv.Row row) throws BadTestFolder {
    try {
      return new Contribution(
          row.text("source"),
          row.word("kind", Contribution.Kind.class),
          row.number("u"),
          row.number("degrees_of_freedom"),
          row.number("sensitivity"),
          row.text("shared_id"));
    } catch (IllegalArgumentException e) {
      throw row.wrong("u", e.getMessage());
    }
  }
}
