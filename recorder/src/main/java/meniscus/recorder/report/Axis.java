package meniscus.recorder.report;

import java.util.ArrayList;
import java.util.List;
import meniscus.core.quantity.Text;

/**
 * A straight scale from numbers to places on paper, with round ticks.
 *
 * @param low number at {@code from}
 * @param high number at {@code to}
 * @param from place
 * @param to place
 */
record Axis(double low, double high, double from, double to) {

  private static final double[] ROUND = {1, 2, 5, 10};

  /** Ends moved out to round numbers. */
  static Axis round(double low, double high, double from, double to) {
    double span = high > low ? high - low : Math.max(1, Math.abs(high));
    double step = step(span, 6);
    return new Axis(Math.floor(low / step) * step, Math.ceil((low + span) / step) * step, from, to);
  }

  double at(double number) {
    return from + (number - low) / (high - low) * (to - from);
  }

  List<Double> ticks() {
    double step = step(high - low, 6);
    List<Double> ticks = new ArrayList<>();
    for (long k = (long) Math.ceil(low / step - 1e-9); k * step <= high + 1e-9 * step; k++) {
      ticks.add(k * step);
    }
    return ticks;
  }

  String label(double tick) {
    int decimals = Math.max(0, (int) Math.ceil(-Math.log10(step(high - low, 6)) - 1e-9));
    return Text.of("%." + decimals + "f", tick);
  }

  private static double step(double span, int about) {
    double raw = span / about;
    double power = Math.pow(10, Math.floor(Math.log10(raw)));
    for (double round : ROUND) {
      if (raw <= round * power * (1 + 1e-9)) {
        return round * power;
      }
    }
    return 10 * power;
  }
}
