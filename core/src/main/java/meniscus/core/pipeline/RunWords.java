package meniscus.core.pipeline;

import java.util.Locale;
import meniscus.core.finding.InUnits;
import meniscus.core.lift.LiftPoint;
import meniscus.core.lift.Plan;
import meniscus.core.lift.Rung;
import meniscus.core.pipeline.OperatorMessage.Kind;
import meniscus.core.quantity.Value;

/** The sentences of a run to its operator, in the plan's units: made here, decided elsewhere. */
final class RunWords {

  private final Plan.Units units;

  RunWords(Plan.Units units) {
    this.units = units;
  }

  /** Why a command could not be done. */
  enum Refused {
    KEEP_WHEN_DONE("nothing to keep: all rungs are done"),
    KEEP_BEFORE_KEY("nothing to keep yet: set lift and test pressure, then type keep"),
    KEEP_WITHOUT_AVERAGE("nothing to keep yet: there is no average at this rung"),
    REDO_OF_NOTHING("nothing to redo: no such rung is kept or being averaged"),
    SKIP_WHEN_DONE("nothing to skip: all rungs are done"),
    UNDO_OF_NOTHING("nothing to undo"),
    CONFIRM_WHEN_STOPPED("nothing to confirm: the test is stopped"),
    CONFIRM_TWICE("that lift is being confirmed already");

    private final String sentence;

    Refused(String sentence) {
      this.sentence = sentence;
    }
  }

  static OperatorMessage refused(Refused why) {
    return new OperatorMessage(Kind.REFUSED, why.sentence);
  }

  static OperatorMessage interrupted() {
    return new OperatorMessage(
        Kind.ZERO,
        "the test was interrupted: let the blower stop and see that the gauges show zero");
  }

  static OperatorMessage complete() {
    return new OperatorMessage(Kind.COMPLETE, "all rungs are done");
  }

  static OperatorMessage goesOnWithout(String what) {
    return new OperatorMessage(
        Kind.FAULT, what + " is gone: its last readings stand until it is back");
  }

  /**
   * @param said what was read, as the gauges show it
   * @param next what is to be done now
   */
  static OperatorMessage typed(Rung rung, String said, String next) {
    return about(Kind.TYPED, rung, ": " + said + "; " + next);
  }

  static OperatorMessage armed(Rung rung, boolean already) {
    return about(
        Kind.ARMED,
        rung,
        (already ? " is already to be kept" : " is kept")
            + " as soon as its average is good (\"keep now\" keeps it as it stands)");
  }

  static OperatorMessage brokenOff(Rung rung, String why, String wanted) {
    return about(Kind.BROKEN_OFF, rung, ": averaging begins anew, " + why + toType(wanted));
  }

  OperatorMessage shortKept(Rung rung, double reachedPa, double aimPa) {
    return shortOf(rung, reachedPa, aimPa, "kept so, rescaled and marked");
  }

  OperatorMessage shortSkipped(Rung rung, double reachedPa, double aimPa) {
    return shortOf(rung, reachedPa, aimPa, "left empty, as planned");
  }

  OperatorMessage shortForAll(Rung rung, double reachedPa, double aimPa, double commonPa) {
    return shortOf(
        rung, reachedPa, aimPa, "the whole ladder is taken at " + text(commonPa) + " instead");
  }

  private OperatorMessage shortOf(Rung rung, double reachedPa, double aimPa, String then) {
    return about(
        Kind.SHORT_PRESSURE,
        rung,
        ": the blower gives " + text(reachedPa) + " of the " + text(aimPa) + " asked; " + then);
  }

  OperatorMessage rougher(LiftPoint point, LiftPoint neighbour) {
    return new OperatorMessage(
        Kind.ROUGHER,
        String.format(
            Locale.ROOT,
            "rung %d: the air is rougher than at %s: unsteadiness %.1f against %.1f",
            point.rung(),
            new InUnits(units).lift(neighbour.liftM()),
            point.unsteadiness().orElseThrow(),
            neighbour.unsteadiness().orElseThrow()));
  }

  /**
   * @param wanted what is to be typed
   * @param byKey nothing but a key tells that the lift is set
   */
  OperatorMessage next(Rung rung, String wanted, boolean byKey) {
    return new OperatorMessage(
        Kind.NEXT,
        "next: rung "
            + rung.number()
            + ", lift "
            + Value.ofSi(rung.liftM(), units.lift()).toString(3)
            + ", "
            + rung.sweep().word()
            + toType(wanted)
            + (byKey ? "; set the lift, then type keep" : ""));
  }

  /** How a rung came out again after an interruption. */
  OperatorMessage step(LiftPoint before, LiftPoint after) {
    double step = after.flowM3PerS() - before.flowM3PerS();
    double repeat = Math.hypot(before.flowRepeatU95().orElse(0), after.flowRepeatU95().orElse(0));
    return new OperatorMessage(
        Kind.STEP,
        "rung "
            + before.rung()
            + " after the interruption: "
            + Value.ofSi(step, units.flow()).toString(2)
            + " from before, "
            + (Math.abs(step) <= repeat
                ? "within its repeat interval"
                : "more than its repeat interval: check zero, head and adapter"));
  }

  private static String toType(String wanted) {
    return wanted.isEmpty() ? "" : "; type " + wanted;
  }

  private static OperatorMessage about(Kind kind, Rung rung, String sentence) {
    return new OperatorMessage(kind, "rung " + rung.number() + sentence);
  }

  private String text(double pascals) {
    return Value.ofSi(pascals, units.pressure()).toString(2);
  }
}
