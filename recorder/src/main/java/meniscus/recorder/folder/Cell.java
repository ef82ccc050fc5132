package meniscus.recorder.folder;

import java.time.Instant;
import java.time.ZoneOffset;
import java.time.format.DateTimeFormatter;
import java.util.Locale;
import java.util.OptionalDouble;

/**
 * Values as they stand in a CSV file. Numbers read back to the same double; NaN and the infinities
 * are written as Table Schema names them.
 */
final class Cell {

  private static final DateTimeFormatter UTC =
      DateTimeFormatter.ofPattern("uuuu-MM-dd'T'HH:mm:ss.SSSSSSSSS'Z'", Locale.ROOT)
          .withZone(ZoneOffset.UTC);

  private Cell() {}

  static String number(double value) {
    if (value == Double.POSITIVE_INFINITY) {
      return "INF";
    }
    return value == Double.NEGATIVE_INFINITY ? "-INF" : Double.toString(value);
  }

  static String number(OptionalDouble value) {
    return value.isPresent() ? number(value.getAsDouble()) : "";
  }

  /**
   * @throws NumberFormatException when it is not a number as written here
   */
  static double number(String cell) {
    switch (cell) {
      case "NaN":
        return Double.NaN;
      case "INF":
        return Double.POSITIVE_INFINITY;
      case "-INF":
        return Double.NEGATIVE_INFINITY;
      default:
        for (int i = 0; i < cell.length(); i++) {
          if ("0123456789.+-eE".indexOf(cell.charAt(i)) < 0) {
            throw new NumberFormatException(cell);
          }
        }
        return Double.parseDouble(cell);
    }
  }

  static String instant(Instant at) {
    return UTC.format(at);
  }

  /**
   * Words that a spreadsheet could take for a formula get a quote mark in front, as does a text
   * that has one there already; control characters other than line end and tab are replaced.
   */
  static String text(String text) {
    StringBuilder cell = new StringBuilder(text.length() + 1);
    if (!text.isEmpty() && "=+-@'\t\n".indexOf(text.charAt(0)) >= 0) {
      cell.append('\'');
    }
    text.codePoints()
        .map(c -> Character.isISOControl(c) && c != '\n' && c != '\t' ? 0xFFFD : c)
        .forEach(cell::appendCodePoint);
    return cell.toString();
  }

  /** The other way round. */
  static String plain(String cell) {
    return cell.startsWith("'") ? cell.substring(1) : cell;
  }
}
