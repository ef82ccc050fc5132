package meniscus.recorder.upkeep;

import meniscus.core.quantity.Text;
import meniscus.core.quantity.Unit;

/** Numbers of gauges as people read them. */
public final class UpkeepText {

  private UpkeepText() {}

  /** A value with digits enough for a gauge. */
  public static String text(double si, Unit unit) {
    double number = unit.fromSi(si);
    int places =
        Math.max(0, Math.min(4, 2 - (int) Math.floor(Math.log10(Math.abs(number) + 1e-9))));
    double step = Math.pow(10, places);
    // What rounds to nothing has no sign.
    double shown = Math.rint(number * step) == 0 ? 0 : number;
    return Text.of("%." + places + "f %s", shown, unit.symbol());
  }
}
