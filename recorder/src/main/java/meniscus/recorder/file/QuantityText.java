package meniscus.recorder.file;

import java.math.BigDecimal;
import java.math.MathContext;
import java.math.RoundingMode;
import java.util.List;
import java.util.Optional;
import meniscus.core.quantity.Dimension;
import meniscus.core.quantity.Unit;
import meniscus.core.quantity.UnitSystem;

/**
 * Writes an SI number so that it reads back as the very same number, and as its owner would write
 * it: in the unit in which it is roundest, the owner's units first. So {@code "28 inH2O"} comes
 * back as it was typed, and a number that is round in no unit is written in SI to its last digit.
 */
final class QuantityText {

  /** A number with more digits than this was not typed by a person. */
  private static final int MOST_DIGITS = 6;

  private record Candidate(int digits, String text) {}

  private QuantityText() {}

  static String of(double si, Dimension dimension, UnitSystem owner) {
    return text(si, dimension, owner, true);
  }

  /** As {@link #of}, for a step or a limit, whose zero is zero in every unit. */
  static String ofStep(double si, Dimension dimension, UnitSystem owner) {
    return text(si, dimension, owner, false);
  }

  private static String text(double si, Dimension dimension, UnitSystem owner, boolean offset) {
    UnitSystem other = owner == UnitSystem.METRIC ? UnitSystem.INCH : UnitSystem.METRIC;
    return roundest(si, owner.units(dimension), offset)
        .or(() -> roundest(si, other.units(dimension), offset))
        .map(Candidate::text)
        .orElseGet(() -> inSi(si, dimension));
  }

  /** To the last digit. */
  static String inSi(double si, Dimension dimension) {
    return withUnit(plain(BigDecimal.valueOf(si)), Unit.si(dimension));
  }

  /** For messages: six digits at most. */
  static String shown(double si, Unit unit) {
    return withUnit(plain(rounded(unit.fromSi(si), MOST_DIGITS)), unit);
  }

  /** The number with the fewest digits that reads back as the same, or else the nearest. */
  static double number(double si, Unit unit) {
    double number = unit.fromSi(si);
    for (int digits = 1; digits <= 17; digits++) {
      double rounder = rounded(number, digits).doubleValue();
      if (unit.toSi(rounder) == si) {
        return rounder;
      }
    }
    return number;
  }

  private static Optional<Candidate> roundest(double si, List<Unit> units, boolean offset) {
    Candidate best = null;
    for (Unit unit : units) {
      int most = best == null ? MOST_DIGITS : best.digits - 1;
      for (int digits = 1; digits <= most; digits++) {
        BigDecimal number = rounded((offset ? si - unit.offset() : si) / unit.factor(), digits);
        double back = number.doubleValue() * unit.factor() + (offset ? unit.offset() : 0);
        if (back == si) {
          best = new Candidate(digits, withUnit(plain(number), unit));
          break;
        }
      }
    }
    return Optional.ofNullable(best);
  }

  private static BigDecimal rounded(double number, int digits) {
    return BigDecimal.valueOf(number).round(new MathContext(digits, RoundingMode.HALF_EVEN));
  }

  /** A decimal number as people write it, without zeros at its end. */
  static String plain(BigDecimal number) {
    BigDecimal bare = number.signum() == 0 ? BigDecimal.ZERO : number.stripTrailingZeros();
    int exponent = bare.precision() - bare.scale() - 1;
    return exponent < -5 || exponent > 8 ? bare.toString() : bare.toPlainString();
  }

  private static String withUnit(String number, Unit unit) {
    return unit == Unit.ONE ? number : number + " " + unit.symbol();
  }
}
