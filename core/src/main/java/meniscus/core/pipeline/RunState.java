package meniscus.core.pipeline;

import java.util.List;
import java.util.Optional;
import meniscus.core.bench.Use;
import meniscus.core.instrument.Channel;
import meniscus.core.lift.LiftPoint;
import meniscus.core.lift.Rung;
import meniscus.core.quantity.Worded;
import meniscus.core.remark.Remark;
import meniscus.core.steadiness.Judged;

/**
 * What can be seen of a run at one moment.
 *
 * @param phase what it is doing
 * @param wanted what is asked for
 * @param average of the open window
 * @param live what comes in just now
 * @param marks one a rung of the ladder
 * @param byEye the gauges that a person reads
 * @param questions what is asked besides rungs
 */
public record RunState(
    Phase phase,
    Wanted wanted,
    Average average,
    Live live,
    List<Mark> marks,
    List<Eye> byEye,
    List<Question> questions) {

  /**
   * What the run asks for.
   *
   * @param rung that is wanted or averaged; empty when all are done
   * @param aimPa its test pressure [Pa]
   * @param armed whether a keep waits for a good average
   */
  public record Wanted(Optional<Rung> rung, double aimPa, boolean armed) {}

  /**
   * The open window's average.
   *
   * @param judged empty when no window is open
   * @param remarks on it
   * @param flowM3PerS reported flow [m³/s]; NaN without one
   * @param flowRepeatU95 half-width of its repeat interval [m³/s]; NaN when not known
   * @param seconds age of the window [s]
   */
  public record Average(
      Optional<Judged> judged,
      List<Remark> remarks,
      double flowM3PerS,
      double flowRepeatU95,
      double seconds) {}

  /**
   * A gauge that a person reads.
   *
   * @param channel as it is named when its reading is typed, and its unit
   * @param wanted true while its reading for the wanted rung is to be typed
   */
  public record Eye(Use use, Channel channel, boolean wanted) {}

  /**
   * The newest readings, to be shown and judged by eye.
   *
   * @param pressure at the head [Pa]
   * @param lift as read [m]
   * @param dropPa over the flow element [Pa]; NaN when there is none
   */
  public record Live(Flow flow, Reading pressure, Reading lift, double dropPa) {}

  /**
   * Flow of the last few hundredths of a second; NaN when the blower is off.
   *
   * @param seconds moment of the newest flow sample [s]; NaN when there is none
   * @param lowM3PerS lowest [m³/s]
   * @param meanM3PerS [m³/s]
   * @param highM3PerS highest [m³/s]
   */
  public record Flow(double seconds, double lowM3PerS, double meanM3PerS, double highM3PerS) {}

  /**
   * The newest reading of a gauge.
   *
   * @param seconds moment of it [s]; negative infinity when none was read
   * @param value [SI]; NaN when there is none
   */
  public record Reading(double seconds, double value) {}

  /** What a run is doing. */
  public enum Phase implements Worded {
    /** The test pressure is far below the aim. */
    BLOWER_OFF,
    /** Lift or test pressure is not yet what the rung asks. */
    WAITING,
    /** A window is open. */
    AVERAGING,
    /** All rungs are kept or skipped, or the test was stopped. */
    DONE;
  }

  /**
   * How a rung of the ladder stands.
   *
   * @param point when it is kept
   * @param skipped when it is left empty
   */
  public record Mark(Rung rung, Optional<LiftPoint> point, boolean skipped) {}
}
