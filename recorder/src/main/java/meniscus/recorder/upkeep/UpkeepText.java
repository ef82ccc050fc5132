package meniscus.recorder.upkeep;

import java.util.Locale;
import meniscus.core.quantity.Unit;

/** Numbers of gauges as people read them. */
public final class UpkeepText {

  private UpkeepText() {}

  /** A value with digits enough for a gauge. */
  public static String text(double si, Unit unit) {
    double number = unit.fromSi(si);
    int places =
        Math.max(0, Math.min(4, 2 - (int) Math.floor(Math.log10(Math.abs(number) + 1e-9))));
    return String.format(Locale.ROOT, "%." + places + "f %s", number, unit.symbol());
  }

  /** A share as whole per cent. */
  static String percent(double share) {
    return String.format(Locale.ROOT, "%.0f %%", 100 * share);
  }
}
