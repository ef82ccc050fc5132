package meniscus.core.calibrate;

import java.time.Instant;
import java.util.Optional;
import java.util.OptionalDouble;
import meniscus.core.bench.Bench;
import meniscus.core.bench.Calibration;
import meniscus.core.bench.HealthEntry;
import meniscus.core.bench.Leakage;
import meniscus.core.bench.Range;
import meniscus.core.quantity.Text;
import meniscus.core.uncertainty.Budget;
import meniscus.core.uncertainty.Contribution.Kind;
import meniscus.core.uncertainty.Coverage;

/**
 * One plate held against the calibration: flow told by the calibrated element over the flow that
 * the plate passes.
 *
 * @param entry for the health log
 * @param words for the operator
 */
public record PlateCheck(HealthEntry entry, String words) {

  /**
   * Checks one reading. Its uncertainty in the log is that of this session alone, for all else
   * stays from check to check; the limit takes in plate and calibration.
   *
   * @param reading worked out with the range's uncorrected element and no leak subtracted, as for a
   *     calibration
   */
  public static PlateCheck of(
      Bench bench,
      Range range,
      Calibration calibration,
      Optional<Leakage> leakage,
      Plate plate,
      PlateReading reading,
      Instant at,
      String remark) {
    CorrectionRatio ratio =
        CorrectionRatio.of(bench, range, calibration.direction(), leakage, plate, reading.means());
    double drop = reading.means().dropPa();
    double correction = calibration.element().correction(drop);
    double value = correction / ratio.value();
    Budget plateSide = ratio.budget();
    double session =
        plateSide.only(c -> c.kind() != Kind.SYSTEMATIC).standardUncertainty() / ratio.value();
    double limit = halfWidth(calibration, ratio, drop);
    HealthEntry entry =
        new HealthEntry(
            at,
            bench.upkeep().epoch().number(),
            HealthEntry.Kind.PLATE_CHECK,
            plate.name(),
            Optional.of(calibration.direction()),
            Optional.of(range.name()),
            value,
            1,
            session,
            OptionalDouble.of(limit),
            remark);
    String words =
        Text.of(
            "plate %s reads %+.2f %% (± %.2f %%, 95 %%) against the calibration%s",
            plate.name(),
            100 * (value - 1),
            100 * limit,
            entry.withinLimit()
                ? ""
                : ": outside; check the plate, its seal and bevel side, the zero and the leakage"
                    + " before trusting the bench");
    return new PlateCheck(entry, words);
  }

  /** Half width of the 95 % interval of a check: plate, gauges and calibration together [1]. */
  static double halfWidth(Calibration calibration, CorrectionRatio ratio, double dropPa) {
    double ofCalibration = new Budget(calibration.contributions(dropPa, 1)).standardUncertainty();
    return Coverage.factor95(Double.POSITIVE_INFINITY)
        * Math.hypot(ratio.budget().standardUncertainty() / ratio.value(), ofCalibration);
  }
}
