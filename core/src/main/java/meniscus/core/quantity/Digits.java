package meniscus.core.quantity;

/**
 * How many digits are printed: an uncertainty with two that count, and the value it belongs to with
 * as many decimals. Source: JCGM 100:2008 (GUM), 7.2.6: at most two digits of an uncertainty, and
 * the value rounded to the same place. From a hundred upwards whole numbers are printed.
 */
public final class Digits {

  /** For a value whose uncertainty is not known: as a careful reader of a dial would write it. */
  public static final int USUAL_DECIMALS = 1;

  private static final int MOST_DECIMALS = 6; // beyond any gauge: our own choice

  private Digits() {}

  /** Decimals that show two digits of an uncertainty, 0 to 6. */
  public static int decimals(double uncertainty) {
    double size = Math.abs(uncertainty);
    if (!(size > 0) || Double.isInfinite(size)) {
      return USUAL_DECIMALS;
    }
    for (int decimals = 0; decimals < MOST_DECIMALS; decimals++) {
      // 9.95 is where rounding to one decimal more would show three digits: 9.96 reads 10, not 10.0
      if (size * Math.pow(10, decimals) >= 9.95) {
        return decimals;
      }
    }
    return MOST_DECIMALS;
  }

  /** {@code 0.096}, {@code 1.9}, {@code 12}. */
  public static String uncertainty(double uncertainty) {
    return fixed(uncertainty, decimals(uncertainty));
  }

  /** A value beside its uncertainty: {@code 131.25} beside {@code 0.31}. */
  public static String value(double value, double uncertainty) {
    return fixed(value, decimals(uncertainty));
  }

  /** With a sign: {@code +1.9}, {@code -0.31}; zero has none. */
  public static String signed(double value, double uncertainty) {
    String text = fixed(Math.abs(value), decimals(uncertainty));
    boolean zero = text.chars().allMatch(c -> c == '0' || c == '.');
    return zero ? text : (value < 0 ? "-" : "+") + text;
  }

  private static String fixed(double value, int decimals) {
    return Text.of("%." + decimals + "f", value);
  }
}
