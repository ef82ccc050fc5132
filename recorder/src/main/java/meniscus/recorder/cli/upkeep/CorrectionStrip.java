package meniscus.recorder.cli.upkeep;

import meniscus.core.bench.Evidence;
import meniscus.core.quantity.Text;
import meniscus.core.quantity.Unit;

/**
 * The correction as it grows, a line a reading under one scale of ± 5 %: what each reading says of
 * the element, in per cent over its description, and its 95 % interval.
 */
final class CorrectionStrip {

  private static final double REACH_PERCENT = 5;

  /** Places to either side of the middle: each is a fifth of a per cent. */
  private static final int HALF = 25;

  private CorrectionStrip() {}

  /** For the line above the first reading. */
  static String scale() {
    return Text.of(
        "%-10s %12s  %-" + HALF + "s0%" + HALF + "s",
        "plate",
        "drop",
        Text.of("-%.0f %%", REACH_PERCENT),
        Text.of("+%.0f %%", REACH_PERCENT));
  }

  /**
   * @param pressure unit of the drop
   */
  static String line(Evidence.Point point, Unit pressure) {
    double percent = 100 * (point.ratio() - 1);
    double u95 = 196 * point.standardUncertainty();
    char[] strip = " ".repeat(2 * HALF + 1).toCharArray();
    strip[HALF] = '|';
    for (int i = place(percent - u95); i <= place(percent + u95); i++) {
      strip[i] = '-';
    }
    strip[place(percent)] = 'o';
    return Text.of(
        "%-10s %12s  %s  %+.2f ± %.2f %%",
        point.plate(),
        Text.of("%.3f %s", pressure.fromSi(point.dropPa()), pressure.symbol()),
        new String(strip),
        percent,
        u95);
  }

  /** What lies beyond the scale stands at its end. */
  private static int place(double percent) {
    double share = Math.max(-1, Math.min(1, percent / REACH_PERCENT));
    return HALF + (int) Math.round(share * HALF);
  }
}
