package meniscus.core.pipeline;

import java.util.List;
import java.util.Locale;
import java.util.Optional;
import java.util.stream.Collectors;
import meniscus.core.finding.InUnits;
import meniscus.core.instrument.Channel;
import meniscus.core.lift.LiftPoint;
import meniscus.core.lift.Plan;
import meniscus.core.lift.Rung;
import meniscus.core.pipeline.OperatorMessage.Kind;
import meniscus.core.quantity.Value;
import meniscus.core.remark.Remark;
import meniscus.core.remark.RemarkText;

/** The sentences of a run to its operator, in the plan's units: made here, decided elsewhere. */
public final class RunWords {

  private final Plan plan;
  private final Plan.Units units;

  RunWords(Plan plan) {
    this.plan = plan;
    this.units = plan.units();
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
   * @param read what was read
   * @param amiss why that does not open the rung
   * @param wanted what is still to be read
   */
  OperatorMessage typed(
      Rung rung,
      double aimPa,
      List<Typing.Read> read,
      Optional<RungWatch.Amiss> amiss,
      List<Channel> wanted,
      boolean handsFree) {
    String said = read.stream().map(RunWords::said).collect(Collectors.joining(", "));
    String next =
        !wanted.isEmpty()
            ? "still to be typed: " + named(wanted)
            : handsFree ? "all is typed" : "all is typed: keep, or type again what is wrong";
    return about(
        Kind.TYPED, rung, ": " + said + "; " + amiss.map(it -> amiss(it, aimPa)).orElse(next));
  }

  /** In the unit it is read in. */
  private static String said(Typing.Read read) {
    Channel channel = read.channel();
    if (!Double.isFinite(read.value())) {
      return channel.name() + " is outside its gauge's range: type it again";
    }
    return channel.name()
        + " "
        + Value.ofSi(read.value(), channel.unit()).toString(2)
        + (read.halfSwing() > 0
            ? " ± " + Value.ofSi(read.halfSwing(), channel.unit()).toString(2)
            : "");
  }

  private String amiss(RungWatch.Amiss amiss, double aimPa) {
    if (amiss == RungWatch.Amiss.LIFT) {
      return "that is not the rung's lift: set it and type it again";
    }
    return "that is outside the band of ±"
        + Math.round(100 * plan.aimBand())
        + " % around "
        + text(aimPa)
        + ": set it, read both columns and type them again"
        + (amiss == RungWatch.Amiss.PRESSURE_BELOW
            ? ", or \"keep now\" where the blower gives no more"
            : "");
  }

  static OperatorMessage armed(Rung rung, boolean already) {
    return about(
        Kind.ARMED,
        rung,
        (already ? " is already to be kept" : " is kept")
            + " as soon as its average is good (\"keep now\" keeps it as it stands)");
  }

  static OperatorMessage brokenOff(Rung rung, BreakOff why, List<Channel> wanted) {
    return about(Kind.BROKEN_OFF, rung, ": averaging begins anew, " + why(why) + toType(wanted));
  }

  /** Why an average is begun anew. */
  public static String why(BreakOff cause) {
    return cause.fold(
        begins -> "a new segment begins",
        gone -> "an instrument is gone: " + gone.id(),
        moved -> "the valve moved",
        left -> "the test pressure left its band",
        nothing ->
            String.format(Locale.ROOT, "nothing could be read for %.1f s", nothing.seconds()),
        again -> "a gauge that stood still moves again",
        over -> "the longest time is over and " + joined(over.why()));
  }

  static OperatorMessage fault(List<Remark> why) {
    return new OperatorMessage(Kind.FAULT, joined(why));
  }

  private static String joined(List<Remark> remarks) {
    return remarks.stream().map(RemarkText::sentence).collect(Collectors.joining("; "));
  }

  /** Something looks like a short side that gives up. */
  OperatorMessage confirm(double liftM) {
    String lift = new InUnits(plan.units()).lift(liftM);
    return new OperatorMessage(
        Kind.CONFIRM,
        "the flow falls or jumps at "
            + lift
            + ": \"confirm "
            + lift
            + "\" sweeps the test pressure there while the head is on the bench (about 8 min);"
            + " \"stop\" or "
            + Math.round(Suspicion.WAITS_S)
            + " s of waiting end the test");
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
  OperatorMessage next(Rung rung, List<Channel> wanted, boolean byKey) {
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

  private static String toType(List<Channel> wanted) {
    return wanted.isEmpty() ? "" : "; type " + named(wanted);
  }

  private static String named(List<Channel> channels) {
    return channels.stream().map(Channel::name).collect(Collectors.joining(" and "));
  }

  private static OperatorMessage about(Kind kind, Rung rung, String sentence) {
    return new OperatorMessage(kind, "rung " + rung.number() + sentence);
  }

  private String text(double pascals) {
    return Value.ofSi(pascals, units.pressure()).toString(2);
  }
}
