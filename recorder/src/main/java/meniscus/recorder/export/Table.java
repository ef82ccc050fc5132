package meniscus.recorder.export;

import java.math.BigDecimal;
import java.math.MathContext;
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

  /** A number as a cell; {@code null} when it is not finite. */
  static Object number(double value) {
    return Double.isFinite(value)
        ? (Object) new BigDecimal(value).round(DIGITS).doubleValue()
        : null;
  }
}
