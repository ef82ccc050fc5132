package meniscus.core.budget;

import meniscus.core.bench.Bench;
import meniscus.core.bench.Source;
import meniscus.core.bench.Use;
import meniscus.core.bench.Zero;
import meniscus.core.lift.Plan;
import meniscus.core.lift.SeatReadings;

/**
 * How well the lift is known.
 *
 * @param readingHalfWidthM the reading lies within ± this of the indicator's travel [m]
 * @param quantumM smallest step of the reading [m]
 * @param tiltRad the indicator leans by up to this against the valve's axis and then reads long by
 *     the cosine [rad]
 * @param zeroStandardUncertaintyM of the reading with the valve shut [m]
 * @param backlashM play between opening and closing [m]
 */
public record LiftSetting(
    double readingHalfWidthM,
    double quantumM,
    double tiltRad,
    double zeroStandardUncertaintyM,
    double backlashM) {

  /** Leaning by this much is not seen by eye (our own estimate). */
  private static final double UNSEEN_TILT_RAD = Math.toRadians(3);

  /**
   * Setting the zero on a shut valve, as plans without a word on it were reckoned: a rectangular
   * ±0.01 mm. It was far too good for a hand; kept so that old tests come out as they did.
   */
  private static final double OLD_ZERO_M = 0.01e-3 / Math.sqrt(3);

  /** Play of a stand and opener in good order (our own estimate). */
  private static final double BACKLASH_M = 0.01e-3;

  /**
   * From the bench's lift channel; without one the lift is set by hand, within the plan's
   * tolerance.
   */
  public static LiftSetting of(Bench bench, Plan plan) {
    return bench
        .source(Use.LIFT)
        .map(source -> source.fold(gauge -> measured(bench, gauge, plan), typed -> byHand(plan)))
        .orElseGet(() -> byHand(plan));
  }

  private static LiftSetting byHand(Plan plan) {
    return new LiftSetting(plan.toleranceM(), 0, UNSEEN_TILT_RAD, zeroM(plan), BACKLASH_M);
  }

  private static double zeroM(Plan plan) {
    return plan.setUp().liftZeroM().orElse(OLD_ZERO_M);
  }

  private static LiftSetting measured(Bench bench, Source.Measured gauge, Plan plan) {
    double longest = plan.ladder().stream().mapToDouble(rung -> rung.liftM()).max().orElse(0);
    Zero zero = bench.zero(gauge);
    double zeroM =
        zero == Zero.NONE ? zeroM(plan) : Math.hypot(zeroM(plan), zero.standardUncertaintySi());
    return new LiftSetting(
        gauge.accuracy().halfWidthSi(longest),
        gauge.accuracy().quantumSi(),
        UNSEEN_TILT_RAD,
        zeroM,
        BACKLASH_M);
  }

  /** The same with the dial read on the seat before and after. */
  LiftSetting onTheSeat(SeatReadings seat) {
    return new LiftSetting(
        readingHalfWidthM,
        quantumM,
        tiltRad,
        seat.zeroUncertaintyM(zeroStandardUncertaintyM),
        backlashM);
  }

  /** Of the indicator's reading itself [m]. */
  public double readingUncertaintyM() {
    return Math.hypot(readingHalfWidthM / Math.sqrt(3), quantumM / Math.sqrt(12));
  }

  /**
   * Of a leaning indicator: it reads long by up to lift × (1 − cos tilt); half of that limit is the
   * mean, taken as the standard uncertainty with the spread [m].
   */
  public double tiltUncertaintyM(double liftM) {
    return liftM * (1 - Math.cos(tiltRad)) / Math.sqrt(3);
  }

  /** Of the play, rectangular [m]. */
  public double backlashUncertaintyM() {
    return backlashM / Math.sqrt(3);
  }

  /** All together [m]. */
  public double standardUncertaintyM(double liftM) {
    double sum = 0;
    for (double u :
        new double[] {
          readingUncertaintyM(),
          tiltUncertaintyM(liftM),
          zeroStandardUncertaintyM,
          backlashUncertaintyM()
        }) {
      sum += u * u;
    }
    return Math.sqrt(sum);
  }
}
