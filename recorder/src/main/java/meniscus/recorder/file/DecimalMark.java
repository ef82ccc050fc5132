package meniscus.recorder.file;

import java.util.Optional;
import java.util.regex.Pattern;
import meniscus.core.quantity.Coded;

/** What stands before the tenths. */
public enum DecimalMark implements Coded {
  POINT('.', ','),
  COMMA(',', '.');

  private static final Pattern PLAIN =
      Pattern.compile("[+-]?(\\d+([.,]\\d*)?|[.,]\\d+)([eE][+-]?\\d{1,3})?");

  /** A mark with three digits behind it and one to three before it, the first no zero. */
  private static final Pattern THOUSANDS = Pattern.compile("[+-]?[1-9]\\d{0,2}[.,]\\d{3}");

  /** Numbers in groups: 1 234 or 1'234 or 1.234,5. */
  private static final Pattern GROUPED =
      Pattern.compile("[+-]?\\d{1,3}([ .,'\u2019\u2009\u202F]\\d{3})+([.,]\\d*)?");

  private final char mark;
  private final char other;

  DecimalMark(char mark, char other) {
    this.mark = mark;
    this.other = other;
  }

  /**
   * The mark of a table's columns, where it can be told.
   *
   * @throws FileNotAccepted when both stand there, or a mark could be one of thousands
   */
  static DecimalMark of(SpreadsheetTable table, int... columns) {
    Optional<String> comma = Optional.empty();
    Optional<String> point = Optional.empty();
    boolean sure = false;
    for (int row = 0; row < table.rows(); row++) {
      for (int column : columns) {
        String cell = table.cell(row, column);
        boolean hasComma = cell.indexOf(',') >= 0;
        if (hasComma == cell.indexOf('.') >= 0 || !PLAIN.matcher(cell).matches()) {
          continue; // whole, or refused when it is read
        }
        sure |= !THOUSANDS.matcher(cell).matches();
        if (hasComma) {
          comma = Optional.of(cell);
        } else {
          point = Optional.of(cell);
        }
      }
    }
    sure |= comma.isEmpty() && table.partedByCommas();
    Optional<String> seen = comma.isPresent() ? comma : point;
    if (comma.isPresent() && point.isPresent() || seen.isPresent() && !sure) {
      throw new FileNotAccepted(
          table.file()
              + ": does \""
              + seen.get()
              + "\" have a decimal mark, or one for thousands? Say --decimal comma or --decimal"
              + " point");
    }
    return comma.isPresent() ? COMMA : POINT;
  }

  /**
   * @throws FileNotAccepted naming the place of a cell that is no number
   */
  double number(SpreadsheetTable table, int row, int column) {
    String cell = table.cell(row, column);
    boolean plain = PLAIN.matcher(cell).matches() && cell.indexOf(other) < 0;
    if (!plain) {
      throw new FileNotAccepted(
          table.place(row, column)
              + ": \""
              + (cell.length() > 40 ? cell.substring(0, 40) + "…" : cell)
              + "\" "
              + (GROUPED.matcher(cell).matches() || cell.indexOf(other) >= 0
                  ? "has a mark for thousands beside a decimal " + word() + ": write it without"
                  : "is no number"));
    }
    double number = Double.parseDouble(cell.replace(mark, '.'));
    if (!Double.isFinite(number)) {
      throw new FileNotAccepted(table.place(row, column) + ": the number is too large");
    }
    return number;
  }
}
