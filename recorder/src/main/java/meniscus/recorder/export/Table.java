package meniscus.recorder.export;

import java.math.BigDecimal;
import java.math.MathContext;
import java.time.Instant;
import java.time.LocalDateTime;
import java.time.ZoneId;
import java.util.ArrayList;
import java.util.List;

/**
 * An exported table. A cell is of its column's kind, or {@code null} where the value is not known.
 *
 * @param columns from left to right
 * @param rows each with one cell a column
 */
public record Table(List<Column> columns, List<List<Object>> rows) {

  /** Turning units makes digits that nobody measured; these are more than any gauge has. */
  private static final MathContext DIGITS = new MathContext(12);

  public Table {
    columns = List.copyOf(columns);
    for (List<Object> row : rows) {
      if (row.size() != columns.size()) {
        throw new IllegalArgumentException(
            "a row has " + row.size() + " cells for " + columns.size() + " columns");
      }
      for (int i = 0; i < row.size(); i++) {
        if (!columns.get(i).kind().fits(row.get(i))) {
          throw new IllegalArgumentException(
              columns.get(i).name() + " is " + columns.get(i).kind() + ", not " + row.get(i));
        }
      }
    }
  }

  /**
   * The same for a person's spreadsheet: behind all columns each time once more, as a date and time
   * on the clocks of a zone. The instants stay: an hour in autumn comes twice.
   */
  public Table withLocalTimes(ZoneId zone) {
    List<Integer> times = new ArrayList<>();
    List<Column> wider = new ArrayList<>(columns);
    for (int i = 0; i < columns.size(); i++) {
      if (columns.get(i).kind() == Column.Kind.TIME) {
        times.add(i);
        wider.add(Column.local(columns.get(i).name(), zone));
      }
    }
    List<List<Object>> longer = new ArrayList<>();
    for (List<Object> row : rows) {
      List<Object> cells = new ArrayList<>(row);
      times.forEach(time -> cells.add(local(row.get(time), zone)));
      longer.add(cells);
    }
    return new Table(wider, longer);
  }

  private static Object local(Object time, ZoneId zone) {
    return time instanceof Instant instant ? LocalDateTime.ofInstant(instant, zone) : null;
  }

  /** A number as a cell; {@code null} when it is not finite. */
  static Object number(double value) {
    return Double.isFinite(value)
        ? (Object) new BigDecimal(value).round(DIGITS).doubleValue()
        : null;
  }
}
