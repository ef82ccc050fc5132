package meniscus.core.pipeline;

import java.util.List;
import java.util.Optional;
import meniscus.core.bench.Use;
import meniscus.core.instrument.Channel;
import meniscus.core.lift.LiftPoint;
import meniscus.core.lift.Rung;
import meniscus.core.remark.Remark;
import meniscus.core.steadiness.Judged;

/**
 * What can be seen of a run at one moment.
 *
 * @param phase what it is doing
 * @param rung the rung that is wanted or averaged; empty when all are done
 * @param aimPa its test pressure [Pa]
 * @param judged the open window's average, when one is open
 * @param remarks on that average
 * @param flowM3PerS reported flow of that average [m³/s]; NaN without one
 * @param flowRepeatU95 half-width of its repeat interval [m³/s]; NaN when not known
 * @param windowSeconds age of the window [s]
 * @param testPressurePa newest [Pa]; NaN when there is none
 * @param liftM newest read lift [m]; NaN when there is none
 * @param armed whether a keep waits for a good average
 * @param marks one a rung of the ladder
 * @param live what comes in just now
 * @param byEye the gauges that a person reads
 * @param questions what is asked besides rungs
 */
public record RunState(
    Phase phase,
    Optional<Rung> rung,
    double aimPa,
    Optional<Judged> judged,
    List<Remark> remarks,
    double flowM3PerS,
    double flowRepeatU95,
    double windowSeconds,
    double testPressurePa,
    double liftM,
    boolean armed,
    List<Mark> marks,
    Live live,
    List<Eye> byEye,
    List<Question> questions) {

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
   * @param flowSeconds moment of the newest flow sample [s]; NaN when there is none
   * @param flowLowM3PerS lowest flow of the last few hundredths of a second [m³/s]; NaN when the
   *     blower is off
   * @param flowM3PerS their mean [m³/s]
   * @param flowHighM3PerS highest [m³/s]
   * @param pressureSeconds moment of the newest test pressure [s]
   * @param liftSeconds moment of the newest lift [s]; negative infinity when none was read
   * @param dropPa over the flow element, newest [Pa]; NaN when there is none
   */
  public record Live(
      double flowSeconds,
      double flowLowM3PerS,
      double flowM3PerS,
      double flowHighM3PerS,
      double pressureSeconds,
      double liftSeconds,
      double dropPa) {}

  /** What a run is doing. */
  public enum Phase {
    /** The test pressure is far below the aim. */
    BLOWER_OFF,
    /** Lift or test pressure is not yet what the rung asks. */
    WAITING,
    /** A window is open. */
    AVERAGING,
    /** All rungs are kept or skipped, or the test was stopped. */
    DONE;

    public String word() {
      return name().toLowerCase(java.util.Locale.ROOT).replace('_', ' ');
    }
  }

  /**
   * How a rung of the ladder stands.
   *
   * @param point when it is kept
   * @param skipped when it is left empty
   */
  public record Mark(Rung rung, Optional<LiftPoint> point, boolean skipped) {
    public boolean open() {
      return point.isEmpty() && !skipped;
    }
  }
}
