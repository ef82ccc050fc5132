package meniscus.core.calibrate;

import java.util.Comparator;
import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import meniscus.core.air.AirState;
import meniscus.core.bench.Bench;
import meniscus.core.bench.Calibration;
import meniscus.core.bench.Leakage;
import meniscus.core.bench.PointMeans;
import meniscus.core.bench.PortFlow;
import meniscus.core.bench.Range;
import meniscus.core.flow.ReferenceState;

/**
 * What a plate check would be good for before anybody mounts the plate: the drop that the element
 * will show and the half width of the check's 95 % interval.
 *
 * @param plate to be mounted
 * @param dropPa over the flow element [Pa]
 * @param halfWidth of the 95 % interval of the check [1]
 */
public record PlateForecast(Plate plate, double dropPa, double halfWidth) {

  /** A check that cannot see a fault of this size is of little use (our own choice) [1]. */
  public static final double WORTH_SEEING = 0.01;

  /** How well the mean of a reading is usually known: standard error over mean. */
  private static final double REPEAT = 0.0005;

  private static final int HALVINGS = 60; // more change no digit of a double

  /** True when a fault of one per cent would not show. */
  public boolean blind() {
    return halfWidth > WORTH_SEEING;
  }

  /**
   * The plate whose check is the narrowest.
   *
   * @return empty when no plate's flow lies within the drop gauge's range
   */
  public static Optional<PlateForecast> best(
      Bench bench,
      Range range,
      Calibration calibration,
      Optional<Leakage> leakage,
      List<Plate> plates,
      double testPressurePa) {
    return plates.stream()
        .flatMap(plate -> of(bench, range, calibration, leakage, plate, testPressurePa).stream())
        .min(Comparator.comparingDouble(PlateForecast::halfWidth));
  }

  /**
   * One plate at a test pressure, in dry air of 20 °C.
   *
   * @return empty when its flow makes a drop outside its gauge's range
   */
  public static Optional<PlateForecast> of(
      Bench bench,
      Range range,
      Calibration calibration,
      Optional<Leakage> leakage,
      Plate plate,
      double testPressurePa) {
    Stream bridge = new Stream(bench, range, calibration, leakage, plate, testPressurePa);
    double low = Math.max(range.drop().accuracy().quantumSi(), 1e-2);
    double high = range.drop().highSi();
    if (!(bridge.passesMoreThan(low)) || bridge.passesMoreThan(high)) {
      return Optional.empty();
    }
    for (int i = 0; i < HALVINGS; i++) {
      double middle = Math.sqrt(low * high);
      if (bridge.passesMoreThan(middle)) {
        low = middle;
      } else {
        high = middle;
      }
    }
    double drop = Math.sqrt(low * high);
    return Optional.of(
        new PlateForecast(
            plate, drop, PlateCheck.halfWidth(calibration, bridge.ratio(drop), drop)));
  }

  /** Plate and element in one stream of air. */
  private record Stream(
      Bench bench,
      Range range,
      Calibration calibration,
      Optional<Leakage> leakage,
      Plate plate,
      double testPressurePa) {

    /** True while the plate passes more than the element tells at this drop. */
    boolean passesMoreThan(double dropPa) {
      return ratio(dropPa).value() > calibration.element().correction(dropPa);
    }

    CorrectionRatio ratio(double dropPa) {
      PortFlow port =
          new PortFlow(
              range.element(),
              bench.layout(),
              calibration.direction(),
              Optional.empty(),
              Optional.empty());
      AirState room = AirState.DRY_20C;
      PortFlow.Surroundings air =
          port.surroundings(room, OptionalDouble.empty(), OptionalDouble.empty());
      double area =
          port.effectiveArea(port.massFlow(dropPa, testPressurePa, 0, air), testPressurePa, air);
      double flow = new ReferenceState(AirState.DRY_20C, testPressurePa).volumeFlow(area);
      PointMeans means =
          new PointMeans(
              30,
              PointMeans.Pressures.steady(dropPa, testPressurePa, 0),
              new PointMeans.Air(
                  room, air.plenumTemperatureK(), air.elementTemperatureK(), air.assumed()),
              new PointMeans.Flow(area, flow, REPEAT * flow, 50),
              OptionalDouble.empty(),
              OptionalDouble.empty());
      return CorrectionRatio.of(bench, range, calibration.direction(), leakage, plate, means);
    }
  }
}
