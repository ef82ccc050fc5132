package meniscus.recorder.cli;

import java.math.BigDecimal;
import java.math.MathContext;

/** As many digits as any gauge gives: doubles that were converted or summed up have more. */
final class Digits {

  private static final MathContext GIVEN = new MathContext(7);

  private Digits() {}

  /** The same number, without the digits that nobody measured. */
  static double given(double value) {
    return Double.isFinite(value) ? BigDecimal.valueOf(value).round(GIVEN).doubleValue() : value;
  }

  static String text(double value) {
    return value == 0
        ? "0"
        : BigDecimal.valueOf(value).round(GIVEN).stripTrailingZeros().toPlainString();
  }
}
