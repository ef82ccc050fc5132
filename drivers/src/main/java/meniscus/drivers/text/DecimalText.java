package meniscus.drivers.text;

import java.nio.charset.StandardCharsets;

/**
 * Reads decimal numbers out of bytes without making objects: {@code +27.984}, {@code - 0.5}, {@code
 * .25}, {@code 1.2E-3}. Correctly rounded, as {@link Double#parseDouble}.
 */
final class DecimalText {

  /** Powers of ten that a double holds exactly. */
  private static final double[] POWERS = new double[23];

  static {
    POWERS[0] = 1;
    for (int i = 1; i < POWERS.length; i++) {
      POWERS[i] = POWERS[i - 1] * 10;
    }
  }

  /** Up to here a whole number is exact in a double: 2^53. */
  private static final long LARGEST_EXACT = 1L << 53;

  private static final long ROOM_FOR_ONE_MORE_DIGIT = (Long.MAX_VALUE - 9) / 10;

  private DecimalText() {}

  /**
   * The number in {@code bytes[from … to − 1]}: a sign, blanks, digits with one decimal mark, an
   * exponent; all but one digit may be missing.
   *
   * @param decimalMark {@code '.'} or {@code ','}
   * @return NaN when it is not a number, or too large for one
   */
  static double parse(byte[] bytes, int from, int to, byte decimalMark) {
    int at = from;
    boolean negative = at < to && bytes[at] == '-';
    if (negative || at < to && bytes[at] == '+') {
      at++;
      while (at < to && bytes[at] == ' ') {
        at++;
      }
    }
    int start = at;
    long digits = 0;
    int count = 0;
    int decimals = 0;
    boolean marked = false;
    boolean exact = true;
    for (; at < to; at++) {
      byte b = bytes[at];
      if (b >= '0' && b <= '9') {
        exact &= digits <= ROOM_FOR_ONE_MORE_DIGIT;
        digits = digits * 10 + (b - '0');
        count++;
        decimals += marked ? 1 : 0;
      } else if (b == decimalMark && !marked) {
        marked = true;
      } else {
        break;
      }
    }
    if (count == 0) {
      return Double.NaN;
    }
    int power = -decimals;
    if (at < to) {
      int exponent = exponent(bytes, at, to);
      if (exponent == NO_EXPONENT) {
        return Double.NaN;
      }
      power += exponent;
    }
    double size =
        exact && digits <= LARGEST_EXACT && power >= -22 && power <= 22
            ? power < 0 ? digits / POWERS[-power] : digits * POWERS[power]
            : slowly(bytes, start, to, decimalMark);
    return Double.isInfinite(size) ? Double.NaN : negative ? -size : size;
  }

  private static final int NO_EXPONENT = Integer.MIN_VALUE;

  /** {@code E}, a sign, one to three digits, and nothing after. */
  private static int exponent(byte[] bytes, int from, int to) {
    int at = from + 1;
    boolean negative = at < to && bytes[at] == '-';
    if (negative || at < to && bytes[at] == '+') {
      at++;
    }
    if (bytes[from] != 'E' && bytes[from] != 'e' || at >= to || to - at > 3) {
      return NO_EXPONENT;
    }
    int exponent = 0;
    for (; at < to; at++) {
      if (bytes[at] < '0' || bytes[at] > '9') {
        return NO_EXPONENT;
      }
      exponent = exponent * 10 + (bytes[at] - '0');
    }
    return negative ? -exponent : exponent;
  }

  /** More digits than a double holds, or far powers of ten: rare enough to make a string. */
  private static double slowly(byte[] bytes, int from, int to, byte decimalMark) {
    String text = new String(bytes, from, to - from, StandardCharsets.ISO_8859_1);
    return Double.parseDouble(text.replace((char) decimalMark, '.'));
  }
}
