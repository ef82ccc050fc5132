package meniscus.core.budget;

import java.util.ArrayList;
import java.util.List;
import meniscus.core.bench.Bench;
import meniscus.core.bench.Calibration;
import meniscus.core.bench.PointMeans;
import meniscus.core.remark.Remark;
import meniscus.core.remark.Remark.Kind;

/** What of a point lies beyond what calibration, gauges and barometer are good for. */
final class PointRemarks {

  /** Below this many times its gauge's noise a drop is hardly one. */
  private static final double LEAST_OVER_NOISE = 3;

  private PointRemarks() {}

  static List<Remark> of(FlowBudget test, PointMeans means) {
    Bench bench = test.bench();
    List<Remark> remarks = new ArrayList<>();
    double drop = means.dropPa();
    double noise = bench.zero(test.range().drop()).noiseSi();
    if (Math.abs(drop) < LEAST_OVER_NOISE * noise) {
      remarks.add(Remark.of(Kind.DROP_IN_THE_NOISE, drop, noise));
    }
    if (drop != 0 && !test.element().covers(drop)) {
      remarks.add(
          test.calibration()
              .map(Calibration::element)
              .map(
                  element ->
                      Remark.of(
                          Kind.BEYOND_THE_CALIBRATION,
                          drop,
                          element.lowestDropPa(),
                          element.highestDropPa()))
              .orElseGet(() -> Remark.of(Kind.BEYOND_THE_CURVE, drop)));
    }
    bench
        .site()
        .doubt(means.room().pressurePa())
        .ifPresent(doubt -> remarks.add(Remark.about(Kind.BAROMETER, doubt)));
    if (!means.room().warnings().isEmpty()) {
      remarks.add(
          Remark.of(
              Kind.AIR_OUT_OF_RANGE,
              means.room().temperatureK() - 273.15,
              means.room().pressurePa() / 100));
    }
    return remarks;
  }
}
