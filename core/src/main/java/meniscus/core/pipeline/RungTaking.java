package meniscus.core.pipeline;

import java.util.Optional;
import meniscus.core.lift.LiftPoint;
import meniscus.core.lift.Plan;
import meniscus.core.lift.TestEvent;
import meniscus.core.steadiness.Judged;
import meniscus.core.steadiness.Verdict;

/** Takes the wanted rung: opens its window, watches it, breaks it off, makes its point. */
final class RungTaking {

  private final Acquisition acquisition;
  private final PointMaker pointMaker;
  private final Plan plan;
  private final RungWatch watch;
  private final Ladder ladder;
  private final AskedPressure aim;
  private final RunRecord record;
  private boolean faultTold;

  RungTaking(
      Acquisition acquisition,
      PointMaker pointMaker,
      Plan plan,
      RungWatch watch,
      Ladder ladder,
      AskedPressure aim,
      RunRecord record) {
    this.acquisition = acquisition;
    this.pointMaker = pointMaker;
    this.plan = plan;
    this.watch = watch;
    this.ladder = ladder;
    this.aim = aim;
    this.record = record;
  }

  /** Another rung is wanted. */
  void next() {
    faultTold = false;
    watch.nextRung();
  }

  /**
   * Opens a window once the rung is set, and looks at the one that is open.
   *
   * @param keeps whether a good average is to be kept
   * @return the rung's point, once it is worth keeping; its window is closed
   */
  Optional<LiftPoint> look(double seconds, boolean keeps) {
    if (acquisition.window().isEmpty() && watch.isSet(ladder.wanted(), aim.pa(), seconds)) {
      open();
    }
    return acquisition.window().flatMap(window -> look(window, seconds, keeps));
  }

  private void open() {
    acquisition.begin(record.now(), ladder.wanted().sweep());
    watch.windowOpens();
    record.write(
        new TestEvent.Begun(
            ladder.wanted().number(), ladder.attempt(), aim.pa(), record.segment()));
  }

  private Optional<LiftPoint> look(RungWindow window, double seconds, boolean keeps) {
    Optional<BreakOff> broken =
        watch.breaksOff(ladder.wanted(), aim.pa(), seconds).or(window::torn);
    if (broken.isPresent()) {
      breakOff(broken.get());
      return Optional.empty();
    }
    boolean faulty = window.judgement().faulty();
    if (faulty && window.judgement().decided() && !faultTold) {
      faultTold = true;
      record.tell(new OperatorMessage.Faulty(window.judged().why()));
    }
    if (keeps && !faulty && isGood(window)) {
      return point(window);
    }
    if (faulty && isLate(window)) {
      breakOff(new BreakOff.TimeOver(window.judged().why()));
      faultTold = true; // just now
    }
    return Optional.empty();
  }

  private boolean isGood(RungWindow window) {
    if (isLate(window)) {
      return window.judged().mean().isPresent();
    }
    if (!window.judgement().enough()) {
      return false;
    }
    Judged judged = window.judged();
    return judged.mean().isPresent()
        && judged.verdict() != Verdict.BRIEF
        && judged.verdict() != Verdict.DRIFTING;
  }

  private boolean isLate(RungWindow window) {
    return record.now().secondsSince(window.began()) >= plan.longestSeconds();
  }

  /** True when an average is there that need not go on. */
  boolean averageIsGood() {
    return acquisition.window().map(window -> window.judgement().enough()).orElse(false);
  }

  /**
   * A person's reading came in. The last one of a gauge counts, so an average of the one before is
   * worth nothing.
   *
   * @param handsFree whether a good average is kept without a word
   */
  void typed(Frame frame, boolean handsFree) {
    if (watch.typing().replaces(frame)
        || acquisition.window().map(RungWindow::readByEye).orElse(false)) {
      acquisition.end();
    }
    record.tell(
        new OperatorMessage.Typed(
            ladder.wanted(),
            new OperatorMessage.Typed.Band(aim.pa(), plan.aimBand()),
            watch.typing().read(frame),
            watch.typedAmiss(ladder.wanted(), aim.pa()),
            watch.typing().wanted(),
            handsFree));
  }

  /** The point of the average as it stands; empty while there is none. */
  Optional<LiftPoint> asItStands() {
    if (acquisition.window().isEmpty()
        && watch.keepsShortByEye(ladder.wanted(), aim.pa(), record.now().seconds())) {
      open();
    }
    return watch.blowerOff(aim.pa()) ? Optional.empty() : acquisition.window().flatMap(this::point);
  }

  private Optional<LiftPoint> point(RungWindow window) {
    Optional<LiftPoint> point =
        pointMaker
            .point(
                window,
                ladder.wanted(),
                ladder.attempt(),
                aim.pa(),
                record.segment(),
                record.now(),
                ladder.points())
            .map(PointMaker.Kept::point);
    if (point.isPresent()) {
      acquisition.end();
    }
    return point;
  }

  /** Drops the open window, if one is. */
  void breakOff(BreakOff why) {
    if (acquisition.window().isPresent()) {
      acquisition.end();
      watch.brokenOff();
      faultTold = false;
      record.tell(new OperatorMessage.BrokenOff(ladder.wanted(), why, watch.typing().wanted()));
    }
  }
}
