package meniscus.core.pipeline;

import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.function.Function;
import java.util.stream.Collectors;
import meniscus.core.calibrate.EpochTasks;
import meniscus.core.finding.InUnits;
import meniscus.core.flow.Direction;
import meniscus.core.instrument.Channel;
import meniscus.core.lift.LiftName;
import meniscus.core.lift.Plan;
import meniscus.core.lift.SeatReadings;
import meniscus.core.lift.TestSetUp;
import meniscus.core.pipeline.OperatorMessage.Typed.Amiss;
import meniscus.core.quantity.Text;
import meniscus.core.quantity.Value;
import meniscus.core.remark.Remark;
import meniscus.core.remark.RemarkText;

/** The sentences of a running test to its operator: what, where, what to do. */
public final class MessageWords {

  private final Plan plan;
  private final Plan.Units units;
  private final InUnits in;
  private final Map<Class<?>, Function<OperatorMessage, String>> forms = new HashMap<>();

  /**
   * @param plan in whose units, and by whose names of its lifts
   */
  public MessageWords(Plan plan) {
    this.plan = plan;
    this.units = plan.units();
    this.in = new InUnits(units);
    form(OperatorMessage.Next.class, this::next);
    form(OperatorMessage.Armed.class, this::armed);
    form(OperatorMessage.Refused.class, refused -> why(refused.why()));
    form(OperatorMessage.Typed.class, this::typed);
    form(OperatorMessage.BrokenOff.class, this::brokenOff);
    form(OperatorMessage.Faulty.class, faulty -> joined(faulty.why()));
    form(
        OperatorMessage.GoesOnWithout.class,
        gone -> gone.id() + " is gone: its last readings stand until it is back");
    form(OperatorMessage.ShortOfPressure.class, this::shortOfPressure);
    form(OperatorMessage.Rougher.class, this::rougher);
    form(OperatorMessage.Step.class, this::step);
    form(
        OperatorMessage.Interrupted.class,
        any -> "the test was interrupted: let the blower stop and see that the gauges show zero");
    form(OperatorMessage.Complete.class, any -> "all lifts are done");
    form(OperatorMessage.Suspected.class, this::suspected);
    form(OperatorMessage.SeatWanted.class, this::seatWanted);
    form(OperatorMessage.SeatRead.class, this::seatRead);
    form(OperatorMessage.SeatUnseen.class, this::seatUnseen);
    form(OperatorMessage.SeatTooFar.class, this::seatTooFar);
    form(
        OperatorMessage.OpenUpkeep.class,
        open -> EpochTasks.openWords(open.bench(), open.calm()).orElseThrow());
    form(OperatorMessage.CalmLeftOut.class, MessageWords::calmLeftOut);
    form(
        OperatorMessage.BarometerDoubt.class,
        doubt -> "barometer: " + doubt.site().doubt(doubt.stationPa()).orElseThrow());
    form(
        OperatorMessage.DiskFails.class,
        disk -> disk.trouble() + "; until then the test goes on in memory");
    form(OperatorMessage.TurnAir.class, it -> turnAir(it.way()));
    form(OperatorMessage.OneWayOnly.class, it -> oneWayOnly(it.way()));
    form(
        OperatorMessage.DiskWorks.class,
        any -> "the disk works again: all that was held in memory is written");
    form(OperatorMessage.Mirror.class, mirror -> mirror(mirror.trouble()));
    form(
        OperatorMessage.MirrorUnfinished.class,
        left ->
            "the test is whole in its own folder, but its journal on the mirror could not be named"
                + " finished ("
                + left.trouble()
                + "): take that journal away before the mirror serves another test");
  }

  private <M extends OperatorMessage> void form(Class<M> of, Function<M, String> words) {
    forms.put(of, message -> words.apply(of.cast(message)));
  }

  public String sentence(OperatorMessage message) {
    return forms.get(message.getClass()).apply(message);
  }

  /** All that can be worded. */
  Set<Class<?>> worded() {
    return forms.keySet();
  }

  private String next(OperatorMessage.Next next) {
    return "next: "
        + LiftName.of(plan, next.rung())
        + ", "
        + (next.rung().sweep().plansWay()
            ? next.rung().sweep().word()
            : plan.direction().other().word())
        + toType(next.wanted())
        + (next.byKey() ? "; set the lift, then type keep" : "");
  }

  private String armed(OperatorMessage.Armed armed) {
    return LiftName.of(plan, armed.rung())
        + (armed.already() ? " is already to be kept" : " is kept")
        + " as soon as its average is good (\"keep now\" keeps it as it stands)";
  }

  private static String why(OperatorMessage.Refused.Why why) {
    return switch (why) {
      case KEEP_WHEN_DONE -> "nothing to keep: all lifts are done";
      case KEEP_BEFORE_KEY -> "nothing to keep yet: set lift and test pressure, then type keep";
      case KEEP_WITHOUT_AVERAGE -> "nothing to keep yet: there is no average at this lift";
      case REDO_OF_NOTHING -> "nothing to redo: no such lift is kept or being averaged";
      case SKIP_WHEN_DONE -> "nothing to skip: all lifts are done";
      case UNDO_OF_NOTHING -> "nothing to undo";
      case CONFIRM_WHEN_STOPPED -> "nothing to confirm: the test is stopped";
      case CONFIRM_TWICE -> "that lift is being confirmed already";
    };
  }

  private String typed(OperatorMessage.Typed typed) {
    String said = typed.read().stream().map(MessageWords::read).collect(Collectors.joining(", "));
    String next =
        !typed.wanted().isEmpty()
            ? "still to be typed: " + named(typed.wanted())
            : typed.handsFree()
                ? "all is typed"
                : "all is typed: keep, or type again what is wrong";
    return LiftName.of(plan, typed.rung())
        + ": "
        + said
        + "; "
        + typed.amiss().map(amiss -> amiss(amiss, typed.asked())).orElse(next);
  }

  /** In the unit it is read in. */
  private static String read(OperatorMessage.Typed.Read read) {
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

  private String amiss(Amiss amiss, OperatorMessage.Typed.Band asked) {
    if (amiss == Amiss.LIFT) {
      return "that is not the lift asked for: set it and type it again";
    }
    return "that is outside the band of ±"
        + Math.round(100 * asked.share())
        + " % around "
        + pressure(asked.pascals())
        + ": set it, read both columns and type them again"
        + (amiss == Amiss.PRESSURE_BELOW ? ", or \"keep now\" where the blower gives no more" : "");
  }

  private String brokenOff(OperatorMessage.BrokenOff broken) {
    return LiftName.of(plan, broken.rung())
        + ": averaging begins anew, "
        + why(broken.why())
        + toType(broken.wanted());
  }

  /** Why an average is begun anew. */
  public static String why(BreakOff cause) {
    return cause.fold(
        begins -> "a new segment begins",
        gone -> "an instrument is gone: " + gone.id(),
        moved -> "the valve moved",
        left -> "the test pressure left its band",
        nothing -> Text.of("nothing could be read for %.1f s", nothing.seconds()),
        again -> "a gauge that stood still moves again",
        over -> "the longest time is over and " + joined(over.why()));
  }

  private static String joined(List<Remark> remarks) {
    return String.join("; ", RemarkText.sentences(remarks));
  }

  private String shortOfPressure(OperatorMessage.ShortOfPressure it) {
    return LiftName.of(plan, it.rung())
        + ": the blower gives "
        + pressure(it.reachedPa())
        + " of the "
        + pressure(it.aimPa())
        + " asked; "
        + switch (it.then()) {
          case KEPT -> "kept so, rescaled and marked";
          case SKIPPED -> "left empty, as planned";
          case ALL_TAKEN_LOWER -> "all lifts are taken at " + pressure(it.commonPa()) + " instead";
        };
  }

  private String rougher(OperatorMessage.Rougher it) {
    return Text.of(
        "%s: the air is rougher than at %s: it fluctuates %.1f times as much as this bench does on a"
            + " plate, there %.1f times",
        LiftName.of(plan, it.point().rung(), it.point().liftM()),
        in.lift(it.neighbour().liftM()),
        it.point().unsteadiness().orElseThrow(),
        it.neighbour().unsteadiness().orElseThrow());
  }

  private String step(OperatorMessage.Step it) {
    double step = it.after().flowM3PerS() - it.before().flowM3PerS();
    double repeat =
        Math.hypot(it.before().flowRepeatU95().orElse(0), it.after().flowRepeatU95().orElse(0));
    return LiftName.of(plan, it.before().rung(), it.before().liftM())
        + " after the interruption: "
        + Value.ofSi(step, units.flow()).toString(2)
        + " from before, "
        + (Math.abs(step) <= repeat
            ? "within its repeat interval"
            : "more than its repeat interval: check zero, head and adapter");
  }

  private String suspected(OperatorMessage.Suspected it) {
    String lift = in.lift(it.liftM());
    return "the flow falls or jumps at "
        + lift
        + ": \"confirm "
        + lift
        + "\" sweeps the test pressure there while the head is on the bench (about 8 min);"
        + " \"skip\" or "
        + Math.round(it.waitsSeconds())
        + " s of waiting leave it out";
  }

  private static String turnAir(Direction way) {
    return "the air is to go the other way now: stop the blower, change the hoses to "
        + way.word()
        + ", start it again; it goes on by itself (\"skip\" leaves it out)";
  }

  private static String oneWayOnly(Direction way) {
    return "without the control "
        + way.word()
        + " at the same lift: the bench is neither calibrated nor tried for leaks "
        + way.word();
  }

  private String seatWanted(OperatorMessage.SeatWanted it) {
    if (it.afterwards()) {
      return (it.seen()
              ? "stop the blower and let the valve shut: the dial is read on the seat once more"
              : "let the valve shut and type what the dial shows now: \"seat ...\"")
          + "; \"stop\" or "
          + Math.round(it.waitsSeconds())
          + " s of waiting end the test without";
    }
    return (it.seen()
            ? "let the valve rest shut for two seconds, blower off: the dial is read on the seat"
            : "with the valve shut, type what the dial shows, such as \"seat "
                + in.smallLift(0)
                + "\"")
        + "; read again after the last lift, lifts are known to "
        + in.smallLift(TestSetUp.LIFT_ZERO_READ_TWICE_M)
        + " instead of "
        + in.smallLift(TestSetUp.USUAL_LIFT_ZERO_M)
        + " (or go on without)";
  }

  private String seatRead(OperatorMessage.SeatRead it) {
    SeatReadings readings = it.readings();
    String shows = "the dial shows " + in.smallLift(it.metres()) + " on the seat";
    if (!readings.both()) {
      return readings.beforeM().isPresent()
          ? shows + ", before the first lift"
          : shows + "; it was not read before the first lift, so it tells nothing of the zero";
    }
    return shows
        + ", "
        + in.smallLift(Math.abs(readings.movedM()))
        + (readings.movedM() < 0 ? " less" : " more")
        + " than before the first lift"
        + (readings.slipped()
            ? ": something slipped, so low lifts are not worth much; see what holds the dial, and"
                + " test again"
            : "; lifts count from there");
  }

  private String seatUnseen(OperatorMessage.SeatUnseen it) {
    String typed = "\"seat " + in.smallLift(0) + "\"";
    return it.seen()
        ? "the dial does not rest near its zero: let the valve shut, or type what it shows, such as "
            + typed
        : "type what the dial shows, such as " + typed;
  }

  private String seatTooFar(OperatorMessage.SeatTooFar it) {
    return in.smallLift(it.metres())
        + " is further than "
        + in.smallLift(SeatReadings.FURTHEST_M)
        + " from zero: shut the valve, or set the dial to zero on the seat, and read it again";
  }

  /** Why a bench's calm record is left out of the judgement. */
  public static String calmLeftOut(OperatorMessage.CalmLeftOut it) {
    return Text.of(
        "the calm record is left out, so averages take longer: its longest run for range %s on %s"
            + " is %.0f s, and gauges that read so seldom need %.0f s; take it again with calm and"
            + " longer --seconds",
        it.range(), it.direction().word(), it.longestSeconds(), it.neededSeconds());
  }

  private static String mirror(Optional<String> trouble) {
    return trouble
        .map(words -> words + "; until then the test goes on without its mirror")
        .orElse("the mirror works again: it holds all that the test folder holds");
  }

  private static String toType(List<Channel> wanted) {
    return wanted.isEmpty() ? "" : "; type " + named(wanted);
  }

  private static String named(List<Channel> channels) {
    return channels.stream().map(Channel::name).collect(Collectors.joining(" and "));
  }

  private String pressure(double pascals) {
    return Value.ofSi(pascals, units.pressure()).toString(2);
  }
}
