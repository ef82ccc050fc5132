package meniscus.core.budget;

import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import meniscus.core.bench.Bench;
import meniscus.core.bench.Calibration;
import meniscus.core.bench.FittedElement;
import meniscus.core.bench.PointMeans;

/** What of a point lies beyond what calibration, gauges and barometer are good for, in words. */
final class PointRemarks {

  /** Below this many times its gauge's noise a drop is hardly one. */
  private static final double LEAST_OVER_NOISE = 3;

  private PointRemarks() {}

  static List<String> of(FlowBudget test, PointMeans means) {
    Bench bench = test.bench();
    List<String> remarks = new ArrayList<>();
    double drop = means.dropPa();
    double noise = bench.zero(test.range().drop()).noiseSi();
    if (Math.abs(drop) < LEAST_OVER_NOISE * noise) {
      remarks.add(
          text(
              "the drop over the flow element, %.2f Pa, is below three times the noise of its gauge"
                  + " (%.2f Pa): choose a smaller range",
              drop, noise));
    }
    if (drop != 0 && !test.element().covers(drop)) {
      remarks.add(
          test.calibration()
              .map(Calibration::element)
              .map(element -> beyond(drop, element))
              .orElseGet(
                  () ->
                      text(
                          "the drop over the flow element, %.1f Pa, lies outside its curve:"
                              + " extrapolated",
                          drop)));
    }
    bench
        .site()
        .doubt(means.room().pressurePa())
        .ifPresent(doubt -> remarks.add("barometer: " + doubt));
    if (!means.room().warnings().isEmpty()) {
      remarks.add(
          text(
              "air of %.1f °C and %.0f hPa: its density is stated for 15 to 27 °C and 600 to 1100"
                  + " hPa (CIPM-2007), and is less sure here",
              means.room().temperatureK() - 273.15, means.room().pressurePa() / 100));
    }
    return remarks;
  }

  private static String beyond(double drop, FittedElement element) {
    return text(
        "the drop over the flow element, %.1f Pa, lies outside the calibrated %.0f to %.0f Pa:"
            + " extrapolated",
        drop, element.lowestDropPa(), element.highestDropPa());
  }

  private static String text(String format, Object... arguments) {
    return String.format(Locale.ROOT, format, arguments);
  }
}
