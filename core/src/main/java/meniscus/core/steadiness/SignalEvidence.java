package meniscus.core.steadiness;

import java.util.Optional;
import meniscus.core.remark.Remark;
import meniscus.core.settle.Level;

/**
 * What a judge knows of a reading, before anything is decided.
 *
 * @param instrument what the watch saw of the instrument
 * @param level the settled level; empty while there are too few blocks
 * @param halfWidth half of the level's 95 % interval, with what resolution hides
 * @param air how the air behaves; empty while the reading is too brief for that
 * @param clocks how far it is
 */
record SignalEvidence(
    Instrument instrument,
    Optional<Level> level,
    double halfWidth,
    Optional<AirBehaviour> air,
    Clocks clocks) {

  /**
   * Where no calm record knows the noise: ten times the slowest correlation time that is minded, 2
   * s.
   */
  static final double ALONE_SECONDS = 20;

  /**
   * What the watch saw.
   *
   * @param fault what is wrong
   * @param spikes readings cut out
   * @param judged readings that were looked at for spikes
   * @param missing share of readings that came as dropped
   * @param longestGap [s]
   * @param readings how they come
   */
  record Instrument(
      Optional<Remark> fault,
      int spikes,
      int judged,
      double missing,
      double longestGap,
      Readings readings) {}

  /**
   * How readings come.
   *
   * @param count of readings
   * @param interval typical time between them [s]
   * @param spacing typical time between moments at which they come, several at once perhaps [s]
   * @param step of the gauge, in the unit of the readings; 0 when it does not show
   * @param variance of settled readings about their level
   * @param neighbourVariance half the mean square of what neighbours differ by
   * @param onPlatesHertz fluctuation up to this was seen when the calm record was taken [Hz]; 0
   *     without one
   */
  record Readings(
      long count,
      double interval,
      double spacing,
      double step,
      double variance,
      double neighbourVariance,
      double onPlatesHertz) {
    /** The gauge's step is so wide that readings hardly leave it. */
    boolean stepped() {
      return step > 0 && variance < 0.25 * step * step; // deviation below half a step
    }
  }

  /**
   * How far it is.
   *
   * @param seconds all readings [s]
   * @param usedSeconds settled readings [s]
   * @param precise the asked half width is reached
   * @param longEnough slow noise that no calm record knows would have shown
   * @param decided the verdict can be given
   */
  record Clocks(
      double seconds, double usedSeconds, boolean precise, boolean longEnough, boolean decided) {}

  /**
   * Fluctuation faster than this cannot be seen [Hz]: what the gauge shows here, and has shown on a
   * plate; jumps of the air are not its slowness.
   */
  double seenToHertz() {
    Readings readings = instrument.readings();
    double jumps = air.flatMap(AirBehaviour::switching).map(Switching::variance).orElse(0.0);
    double here =
        CalmRecord.halfPowerHertz(
            Math.max(readings.variance() - jumps, readings.neighbourVariance()),
            readings.neighbourVariance(),
            readings.interval());
    return Math.min(0.5 / readings.interval(), Math.max(here, readings.onPlatesHertz()));
  }
}
