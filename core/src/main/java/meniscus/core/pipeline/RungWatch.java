package meniscus.core.pipeline;

import java.util.Optional;
import meniscus.core.bench.Use;
import meniscus.core.lift.Plan;
import meniscus.core.lift.Rung;
import meniscus.core.pipeline.OperatorMessage.Typed.Amiss;

/**
 * Watches lift and test pressure: is the rung set, does it stay so, is the blower at its end? What
 * a person reads is as old as the rung and does not move; who types it says that the rung is set.
 */
final class RungWatch {

  /** Below this share of the aim the blower counts as off. */
  private static final double BLOWER_OFF_SHARE = 0.25;

  /** Without a lift channel: the pressure must have fallen below this share of the aim. */
  private static final double LET_FALL_SHARE = 0.5;

  /** A pressure short of the band that moves less than this share of the aim in half a second … */
  private static final double RESTING_SHARE = 0.01;

  /** … for this long is all that the blower gives [s]. */
  private static final double SHORT_FOR_SECONDS = 4;

  /** A window bears a test pressure outside the band for this long [s]. */
  private static final double OUT_OF_BAND_SECONDS = 1;

  /** A reading older than this says nothing of now [s] … */
  private static final double STALE_SECONDS = 2;

  /** … nor does one of a gauge that is silent for so many times as long as it usually is. */
  private static final double STALE_SPACINGS = 3;

  /** A rung is left when the lift is off by more than this many tolerances. */
  private static final double LEFT_TOLERANCES = 1.25;

  private final Acquisition acquisition;
  private final Plan plan;
  private final Typing typing;
  private final Recent lift = new Recent(0.6);
  private final Recent pressure = new Recent(1.0);
  private boolean needsFall = true;
  private boolean startByKey;
  private boolean shortHere;
  private double shortSince = Double.NaN;
  private double outOfBandSince = Double.NaN;
  private double windowLiftM;
  private double windowPressurePa;

  RungWatch(Acquisition acquisition, Plan plan) {
    this.acquisition = acquisition;
    this.plan = plan;
    this.typing = new Typing(acquisition);
  }

  Typing typing() {
    return typing;
  }

  /** A frame was accepted: looks at what it brought. */
  void look(double seconds) {
    add(pressure, Use.TEST_PRESSURE, seconds);
    add(lift, Use.LIFT, seconds);
  }

  private void add(Recent recent, Use use, double seconds) {
    double value = acquisition.latest(use);
    if (acquisition.latestSeconds(use) == seconds && Double.isFinite(value)) {
      recent.add(acquisition.sampledSeconds(use), value);
    }
  }

  /** An instrument is gone: what was seen of it says nothing any more. */
  void forget() {
    pressure.clear();
    lift.clear();
    typing.anew();
  }

  /** The next rung is wanted: what holds for the last one does not hold for it. */
  void nextRung() {
    typing.anew();
    needsFall = true;
    startByKey = false;
    shortHere = false;
    shortSince = Double.NaN;
  }

  void startByKey() {
    startByKey = true;
  }

  /**
   * True when nothing but the operator's key tells that the lift is set: no gauge shows it, nothing
   * is typed, and the test pressure was not let fall.
   */
  boolean startsByKey() {
    return !acquisition.measured(Use.LIFT)
        && !typing.byEye(Use.TEST_PRESSURE)
        && !typing.byEye(Use.ELEMENT_DROP)
        && !startByKey
        && acquisition.window().isEmpty();
  }

  boolean seesPressure() {
    return Double.isFinite(pressurePa());
  }

  /** NaN before it was read. */
  double pressurePa() {
    if (typing.byEye(Use.TEST_PRESSURE)) {
      return acquisition.latest(Use.TEST_PRESSURE);
    }
    return pressure.isEmpty() ? Double.NaN : pressure.mean();
  }

  boolean blowerOff(double aimPa) {
    return !(pressurePa() >= BLOWER_OFF_SHARE * aimPa);
  }

  /** True when lift and test pressure are what the rung asks, and rest. */
  boolean isSet(Rung rung, double aimPa, double seconds) {
    if (pressurePa() < LET_FALL_SHARE * aimPa) {
      needsFall = false;
    }
    return acquisition.roomKnown()
        && !blowerOff(aimPa)
        && Double.isFinite(acquisition.latest(Use.ELEMENT_DROP))
        && Double.isFinite(acquisition.latest(Use.TEST_PRESSURE))
        && fresh(Use.ELEMENT_DROP, seconds)
        && fresh(Use.TEST_PRESSURE, seconds)
        && (typing.byEye(Use.TEST_PRESSURE) || pressure.covers(0.5))
        && (inBand(aimPa) || shortHere)
        && liftWillDo(rung, seconds);
  }

  private boolean fresh(Use use, double seconds) {
    double usual = acquisition.spacingSeconds(use);
    return typing.byEye(use)
        ? typing.typed(use)
        : seconds - acquisition.latestSeconds(use)
            < Math.max(STALE_SECONDS, Double.isNaN(usual) ? 0 : STALE_SPACINGS * usual);
  }

  boolean inBand(double aimPa) {
    return Math.abs(pressurePa() - aimPa) <= plan.aimBand() * aimPa;
  }

  private boolean liftWillDo(Rung rung, double seconds) {
    if (!acquisition.measured(Use.LIFT)) {
      return startByKey || !needsFall || pressureTyped();
    }
    if (typing.byEye(Use.LIFT)) {
      return typing.typed(Use.LIFT) && liftIsThere(rung, acquisition.latest(Use.LIFT));
    }
    return lift.covers(0.5)
        && fresh(Use.LIFT, seconds)
        && liftIsThere(rung, lift.mean())
        && Math.abs(lift.movement()) <= plan.toleranceM() / 2;
  }

  private boolean liftIsThere(Rung rung, double liftM) {
    return Math.abs(liftM - rung.liftM()) <= plan.toleranceM();
  }

  private boolean pressureTyped() {
    return typing.typed(Use.TEST_PRESSURE) || typing.typed(Use.ELEMENT_DROP);
  }

  /**
   * True when all is typed and fits the rung but the test pressure, which is below its band: an
   * operator may keep that, since he alone knows that the blower gives no more.
   */
  boolean keepsShortByEye(Rung rung, double aimPa, double seconds) {
    return typing.byEye(Use.TEST_PRESSURE)
        && typing.complete()
        && acquisition.roomKnown()
        && pressurePa() > LET_FALL_SHARE * aimPa
        && pressurePa() < aimPa
        && fresh(Use.ELEMENT_DROP, seconds)
        && liftWillDo(rung, seconds);
  }

  /** Why what was typed does not open the rung; empty when nothing typed is in the way. */
  Optional<Amiss> typedAmiss(Rung rung, double aimPa) {
    if (typing.typed(Use.LIFT) && !liftIsThere(rung, acquisition.latest(Use.LIFT))) {
      return Optional.of(Amiss.LIFT);
    }
    if (typing.typed(Use.TEST_PRESSURE) && !inBand(aimPa)) {
      return Optional.of(pressurePa() < aimPa ? Amiss.PRESSURE_BELOW : Amiss.PRESSURE_ABOVE);
    }
    return Optional.empty();
  }

  /**
   * True once at a rung, when the pressure rests below the band with the lift set: that is all the
   * blower gives.
   */
  boolean findsShortPressure(Rung rung, double aimPa, double seconds) {
    boolean rests =
        !typing.byEye(Use.TEST_PRESSURE)
            && pressure.covers(0.5)
            && pressure.mean() < (1 - plan.aimBand()) * aimPa
            && pressure.mean() > LET_FALL_SHARE * aimPa
            && Math.abs(pressure.movement()) < RESTING_SHARE * aimPa
            && liftWillDo(rung, seconds);
    double taken = pressureSeconds(seconds);
    if (!rests) {
      shortSince = Double.NaN;
    } else if (Double.isNaN(shortSince)) {
      shortSince = taken;
    }
    if (shortHere || !(taken - shortSince >= SHORT_FOR_SECONDS)) {
      return false;
    }
    shortHere = true;
    return true;
  }

  /** A window opens with lift and pressure as they are now. */
  void windowOpens() {
    windowLiftM = lift.isEmpty() ? Double.NaN : lift.mean();
    windowPressurePa = pressurePa();
    outOfBandSince = Double.NaN;
  }

  /** Why an open window is no longer of one piece; empty when it is. */
  Optional<BreakOff> breaksOff(Rung rung, double aimPa, double seconds) {
    double tolerance = plan.toleranceM();
    if (acquisition.measured(Use.LIFT)
        && !typing.byEye(Use.LIFT)
        && (Math.abs(lift.mean() - windowLiftM) > tolerance
            || Math.abs(lift.mean() - rung.liftM()) > LEFT_TOLERANCES * tolerance)) {
      return Optional.of(new BreakOff.ValveMoved());
    }
    if (typing.byEye(Use.TEST_PRESSURE)) {
      return Optional.empty();
    }
    boolean stays =
        (inBand(aimPa) || shortHere)
            && Math.abs(pressure.mean() - windowPressurePa) <= 2 * plan.aimBand() * aimPa;
    double taken = pressureSeconds(seconds);
    if (stays) {
      outOfBandSince = Double.NaN;
    } else if (Double.isNaN(outOfBandSince)) {
      outOfBandSince = taken;
    }
    return blowerOff(aimPa) || taken - outOfBandSince > OUT_OF_BAND_SECONDS
        ? Optional.of(new BreakOff.PressureLeftBand())
        : Optional.empty();
  }

  /**
   * When the newest test pressure was taken: after a stall of the line many arrive at one moment,
   * and how long it rested shows in their own times alone [s].
   */
  private double pressureSeconds(double seconds) {
    return pressure.isEmpty() ? seconds : pressure.newest();
  }

  /** A window was broken off: a short pressure must show again, what was typed was for that one. */
  void brokenOff() {
    typing.anew();
    shortHere = false;
    shortSince = Double.NaN;
  }
}
