package meniscus.core.quantity;

import java.util.Objects;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import meniscus.core.refusal.Refusal;

/**
 * A number with the unit it was given in, for example {@code 28 inH2O}: what people type and what
 * files hold. Equations take the SI number, {@link #si()}.
 *
 * @param number finite number in {@code unit}
 * @param unit its unit
 */
public record Value(double number, Unit unit) {

  private static final Pattern TEXT =
      Pattern.compile("\\s*([+-]?(?:\\d+\\.?\\d*|\\.\\d+)(?:[eE][+-]?\\d{1,3})?)\\s*(\\S.*?)?\\s*");

  private static final Pattern DECIMAL_COMMA =
      Pattern.compile("\\s*([+-]?\\d*),(\\d+)(?![\\d,.])(.*)");

  private static final int LONGEST = 64; // no number that a person types is longer: our own choice

  public Value {
    Objects.requireNonNull(unit);
    if (!Double.isFinite(number)) {
      throw new Refusal("a " + unit.dimension().word() + " must be finite");
    }
  }

  /**
   * Reads text such as {@code "28 inH2O"}, {@code "0.500 in"} or {@code "45 %"}.
   *
   * @param text a decimal number and a unit; a ratio may stand without one
   * @param dimension what it must measure
   * @throws Refusal saying what was found and which units fit
   */
  public static Value parse(String text, Dimension dimension) {
    Matcher matcher = text.length() > LONGEST ? null : TEXT.matcher(text);
    refuseDecimalComma(text);
    if (matcher == null || !matcher.matches()) {
      throw new Refusal(
          "\""
              + (text.length() > LONGEST ? text.substring(0, LONGEST) + "…" : text)
              + "\" is not a "
              + dimension.word()
              + "; write a number and a unit, for example \""
              + example(dimension)
              + "\"");
    }
    String unit = matcher.group(2);
    if (unit == null && dimension != Dimension.RATIO) {
      throw new Refusal(
          "\""
              + text.strip()
              + "\" has no unit; write for example \""
              + matcher.group(1)
              + " "
              + example(dimension).split(" ", 2)[1]
              + "\"");
    }
    return new Value(
        Double.parseDouble(matcher.group(1)),
        unit == null ? Unit.ONE : Unit.named(unit, dimension));
  }

  /** A comma may part decimals or thousands: asked, not guessed. */
  private static void refuseDecimalComma(String text) {
    Matcher comma = DECIMAL_COMMA.matcher(text);
    if (text.length() <= LONGEST && comma.matches()) {
      throw new Refusal(
          "\""
              + text.strip()
              + "\" has a decimal comma; write \""
              + (comma.group(1) + "." + comma.group(2) + comma.group(3)).strip()
              + "\", with a point");
    }
  }

  /** The SI number of {@link #parse(String, Dimension)}. */
  public static double si(String text, Dimension dimension) {
    return parse(text, dimension).si();
  }

  /** An SI number written in a unit. */
  public static Value ofSi(double si, Unit unit) {
    return new Value(unit.fromSi(si), unit);
  }

  /** The number in SI units. */
  public double si() {
    return unit.toSi(number);
  }

  /** The same quantity in another unit of the same dimension. */
  public Value in(Unit other) {
    if (other.dimension() != unit.dimension()) {
      throw new Refusal("a " + unit.dimension().word() + " cannot be written in " + other.symbol());
    }
    return ofSi(si(), other);
  }

  /** Reads back to the same value: {@code "28.0 inH2O"}. */
  @Override
  public String toString() {
    return number + " " + unit.symbol();
  }

  /** For people: a fixed number of decimals and the unit. */
  public String toString(int decimals) {
    return Text.of("%." + decimals + "f %s", number, unit.symbol());
  }

  private static String example(Dimension dimension) {
    return switch (dimension) {
      case PRESSURE -> "28 inH2O";
      case TEMPERATURE -> "23 degC";
      case LENGTH -> "0.500 in";
      case VOLUME_FLOW -> "250 cfm";
      case RATIO -> "50 %";
      default -> "1 " + Unit.si(dimension).symbol();
    };
  }
}
