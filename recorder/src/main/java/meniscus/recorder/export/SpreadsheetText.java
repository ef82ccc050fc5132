package meniscus.recorder.export;

import java.time.LocalDateTime;
import java.time.format.DateTimeFormatter;
import java.util.Locale;
import meniscus.core.quantity.Text;

/**
 * Text that a spreadsheet program shows and never works out. A text that begins, perhaps after
 * blanks, with a sign that starts a formula somewhere gets an apostrophe in front (the OWASP
 * Foundation's advice on CSV injection: {@code = + - @}, tab, carriage return, line feed, and the
 * full-width forms of the four signs).
 */
final class SpreadsheetText {

  private static final String STARTS_A_FORMULA = "=+-@\t\r\n\uFF1D\uFF0B\uFF0D\uFF20";

  private static final DateTimeFormatter DATE_AND_TIME =
      DateTimeFormatter.ofPattern("uuuu-MM-dd HH:mm:ss", Locale.ROOT);

  private SpreadsheetText() {}

  static String safe(String text) {
    String plain =
        text.codePoints()
            .map(SpreadsheetText::shown)
            .collect(StringBuilder::new, StringBuilder::appendCodePoint, StringBuilder::append)
            .toString();
    String start = plain.stripLeading();
    boolean formula =
        !plain.isEmpty()
            && (STARTS_A_FORMULA.indexOf(plain.charAt(0)) >= 0
                || !start.isEmpty() && STARTS_A_FORMULA.indexOf(start.charAt(0)) >= 0);
    return formula ? "'" + plain : plain;
  }

  /** Control characters other than tab and line ends do not belong into a cell. */
  private static int shown(int character) {
    return Character.isISOControl(character) && "\t\r\n".indexOf(character) < 0
        ? 0xFFFD
        : character;
  }

  /**
   * Year first, whole seconds, a blank between: what spreadsheets of every country take for a date
   * and time, where an ISO instant with T and Z stays a text.
   */
  static String time(LocalDateTime time) {
    return time.format(DATE_AND_TIME);
  }

  /** A number with a point, or with a comma where the spreadsheet's country writes one. */
  static String number(double value, boolean decimalComma) {
    String text =
        value == Math.rint(value) && Math.abs(value) < 1e15
            ? Text.of("%.0f", value)
            : Double.toString(value);
    return decimalComma ? text.replace('.', ',') : text;
  }
}
