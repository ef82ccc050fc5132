package meniscus.core.pipeline;

import java.time.Instant;
import java.util.List;
import java.util.Optional;
import java.util.OptionalInt;
import java.util.stream.Stream;
import meniscus.core.bench.Use;
import meniscus.core.finding.UnsteadyLifts;
import meniscus.core.lift.LiftPoint;
import meniscus.core.lift.Plan;
import meniscus.core.lift.Rung;
import meniscus.core.lift.SeatReadings;
import meniscus.core.lift.TestEvent;
import meniscus.core.pipeline.OperatorMessage.Refused.Why;
import meniscus.core.time.Moment;

/**
 * Leads one test along its ladder: recognises that a rung is set, opens its window, keeps it (by
 * itself when hands-free), and takes commands. A pure state machine on frames, commands and
 * moments.
 *
 * <p>A window opens when the read lift rests within the rung's tolerance and the test pressure is
 * within the aim band. Without a lift channel it opens when the operator lets the test pressure
 * fall below half the aim and restores it, or presses the key; a change of flow alone never opens
 * one. Nothing is kept with the blower off.
 */
public final class LadderRun {

  /** Decisions are taken this often [s]. */
  private static final double DECIDE_EVERY_SECONDS = 0.05;

  private final Acquisition acquisition;
  private final PointMaker pointMaker;
  private final Plan plan;
  private final boolean handsFree;
  private final RunRecord record;
  private final Ladder ladder;
  private final AskedPressure aim;
  private final RungWatch watch;
  private final RungTaking taking;
  private final SeatWatch seat;
  private final Suspicion suspicion;
  private final AirWay air;
  private double decidedAt = Double.NEGATIVE_INFINITY;
  private boolean armed;
  private boolean stopped;

  /**
   * @param acquisition the main path of this bench
   * @param pointMaker makes a point of a window
   * @param plan with its ladder
   * @param handsFree keep by itself
   * @param log where events and points go
   */
  public LadderRun(
      Acquisition acquisition, PointMaker pointMaker, Plan plan, boolean handsFree, RunLog log) {
    this.acquisition = acquisition;
    this.pointMaker = pointMaker;
    this.plan = plan;
    this.handsFree = handsFree;
    this.record = new RunRecord(log);
    this.ladder = new Ladder(plan.ladder());
    this.aim = new AskedPressure(plan, ladder);
    this.watch = new RungWatch(acquisition, plan);
    this.taking = new RungTaking(acquisition, pointMaker, plan, watch, ladder, aim, record);
    this.seat = new SeatWatch(acquisition, plan, ladder, record);
    this.suspicion = new Suspicion(acquisition, plan, ladder, aim, record);
    this.air = new AirWay(acquisition);
  }

  // ------------------------------------------------------------------ what happens to it

  /** A segment begins: at the start, and after each interruption. */
  public void segment(Moment at, Instant utc) {
    taking.breakOff(new BreakOff.SegmentBegins());
    record.begins(at);
    acquisition.restart();
    watch.forget();
    seat.begins();
    record.write(new TestEvent.Segment(utc));
    record.write(new TestEvent.Reckoned(Reckoning.NOW.word()));
    if (record.segment() > 1) {
      record.tell(new OperatorMessage.Interrupted());
    }
    seat.asksAtTheBeginning();
    askNext();
  }

  /**
   * Takes up what earlier segments kept, before {@link #segment} is called. The last kept rung is
   * taken once more, to see whether the interruption moved anything.
   *
   * @param kept points that stand
   * @param skipped rung numbers left empty
   * @param events of the earlier segments
   * @param rowsSoFar sample rows so far
   */
  public void takeUp(
      List<LiftPoint> kept, List<Integer> skipped, List<TestEvent> events, long rowsSoFar) {
    for (TestEvent event : events) {
      if (event.what() instanceof TestEvent.Segment) {
        record.goesOnAfter();
      } else if (event.what() instanceof TestEvent.Begun begun) {
        aim.begun(begun);
      }
    }
    ladder.takeUp(kept, skipped, events);
    record.goesOnAfter(rowsSoFar);
    seat.takeUp(SeatReadings.of(events));
  }

  /** The next frame has arrived (and has been written down). */
  public void frame(Frame frame) {
    record.row(frame.moment());
    acquisition.accept(frame);
    double seconds = frame.moment().seconds();
    watch.look(seconds);
    seat.look(seconds);
    if (suspicion.timeIsOver()) {
      seatAtTheEnd();
    }
    boolean typed = acquisition.typed(frame);
    if (typed && !idle()) {
      taking.typed(frame, handsFree);
    }
    if (typed || seconds - decidedAt >= DECIDE_EVERY_SECONDS) {
      decidedAt = seconds;
      if (!stopped && acquisition.window().isEmpty() && watch.blowerOff(aimPa())) {
        seat.readsByItself();
      }
      decide(seconds);
    }
  }

  /** Something that belongs in the record happened outside: an instrument lost, a clock jump. */
  public void happened(Moment at, TestEvent.What what) {
    record.until(at);
    record.write(what);
    if (what instanceof TestEvent.Lost lost) {
      goOnWithout(lost.id());
    }
  }

  private void goOnWithout(String what) {
    if (acquisition.goesOnWithout(what)) {
      record.tell(new OperatorMessage.GoesOnWithout(what));
    } else {
      taking.breakOff(new BreakOff.InstrumentGone(what));
      watch.forget();
      seat.forget();
    }
  }

  public void command(Command command) {
    command
        .<Runnable>fold(
            keep -> () -> keep(keep.asItStands()),
            redo -> () -> redo(redo.rung()),
            skip -> this::skip,
            undo -> this::undo,
            confirm -> () -> confirm(confirm.liftM()),
            read -> () -> seat.read(read.readM()),
            note -> () -> record.write(new TestEvent.Said(TestEvent.Kind.NOTE, note.text())),
            stop -> () -> stop(stop.why()))
        .run();
  }

  // ------------------------------------------------------------------ what can be seen

  /** Done, and no answer is waited for. */
  public boolean finished() {
    return idle() && (stopped || !(suspicion.waits() || seat.waits()));
  }

  /** Nothing is wanted just now. */
  private boolean idle() {
    return stopped || ladder.done();
  }

  /** The points that stand, in the order of the ladder. */
  public List<LiftPoint> points() {
    return ladder.points();
  }

  /** Rungs that are neither kept nor left empty. */
  public int openRungs() {
    return ladder.openRungs();
  }

  /** True when a keep waits for a good average. */
  public boolean armed() {
    return armed;
  }

  /** True when the rung waits for what a person reads: a keep would wait for it in vain. */
  public boolean readingsWanted() {
    return !finished() && !watch.typing().complete();
  }

  public Plan plan() {
    return plan;
  }

  /** The test pressure asked for now [Pa]. */
  public double aimPa() {
    return aim.pa();
  }

  /** The rung that is wanted or averaged; empty when all are done. */
  public Optional<Rung> wanted() {
    return idle() ? Optional.empty() : Optional.of(ladder.wanted());
  }

  /** What is asked besides rungs. */
  public List<Question> questions() {
    return stopped
        ? List.of()
        : Stream.of(seat.question(), suspicion.question(), wanted().flatMap(air::question))
            .flatMap(Optional::stream)
            .toList();
  }

  /** True while the hoses are to be changed before the wanted rung begins, the blower off. */
  public boolean turnsAir() {
    return !idle() && air.turnsFor(ladder.wanted());
  }

  /** True while the valve is to be held shut for the dial, where the operator is simulated. */
  public boolean shutWanted() {
    return !stopped && acquisition.window().isEmpty() && seat.wantsShut();
  }

  /** True when a good average is there and nobody has said to keep it. */
  public boolean averageWaits() {
    return !armed && taking.averageIsGood();
  }

  public RunState state() {
    return new RunView(acquisition, pointMaker, watch, ladder)
        .at(record.now(), new RunState.Wanted(wanted(), aimPa(), armed), questions());
  }

  // ------------------------------------------------------------------ deciding

  private void decide(double seconds) {
    if (idle() || !watch.seesPressure()) {
      return;
    }
    air.look(ladder.wanted(), watch.typing().byEye(Use.TEST_PRESSURE) || watch.blowerOff(aimPa()));
    if (turnsAir()) {
      return;
    }
    if (watch.findsShortPressure(ladder.wanted(), aimPa(), seconds)) {
      shortPressure(watch.pressurePa());
      return;
    }
    taking.look(seconds, handsFree || armed).ifPresent(this::keep);
  }

  private void shortPressure(double reachedPa) {
    switch (aim.comesShort(reachedPa, record)) {
      case KEPT -> {
        // Goes on as it is.
      }
      case SKIPPED -> skip();
      case ALL_TAKEN_LOWER -> {
        acquisition.end();
        for (Rung rung : ladder.reopenAbove(aim.pa() * (1 + plan.aimBand()))) {
          record.write(new TestEvent.Redone(rung.number()));
        }
        goOn();
      }
    }
  }

  // ------------------------------------------------------------------ commands

  private void keep(boolean asItStands) {
    if (idle()) {
      refuse(Why.KEEP_WHEN_DONE);
      return;
    }
    if (asItStands) {
      taking
          .asItStands()
          .ifPresentOrElse(
              this::keep,
              () -> refuse(watch.startsByKey() ? Why.KEEP_BEFORE_KEY : Why.KEEP_WITHOUT_AVERAGE));
      return;
    }
    watch.startByKey();
    record.tell(new OperatorMessage.Armed(ladder.wanted(), armed));
    armed = true;
    decide(record.now().seconds()); // Where all is read by eye no frame may come any more.
  }

  private void keep(LiftPoint point) {
    Optional<LiftPoint> calmer = UnsteadyLifts.calmerNeighbour(plan, point, ladder.points());
    Optional<LiftPoint> repeated = ladder.keep(point);
    seat.kept();
    record.kept(point);
    repeated.ifPresent(before -> record.tell(new OperatorMessage.Step(before, point)));
    calmer.ifPresent(neighbour -> record.tell(new OperatorMessage.Rougher(point, neighbour)));
    goOn();
  }

  private void redo(OptionalInt number) {
    int index =
        number.isPresent()
            ? ladder.indexOf(number.getAsInt())
            : acquisition.window().isPresent() ? ladder.wantedIndex() : ladder.lastKept();
    if (index < 0) {
      refuse(Why.REDO_OF_NOTHING);
      return;
    }
    acquisition.end();
    if (ladder.redo(index)) {
      record.write(new TestEvent.Redone(ladder.rung(index).number()));
    }
    goOn();
  }

  private void skip() {
    if (idle() && !stopped && suspicion.dropped()) {
      seatAtTheEnd();
      return;
    }
    if (idle()) {
      refuse(Why.SKIP_WHEN_DONE);
      return;
    }
    acquisition.end();
    boolean whole = turnsAir() && !ladder.wanted().sweep().plansWay();
    do { // Whoever does not change the hoses does without all that wants them changed.
      int number = ladder.wanted().number();
      if (ladder.skip()) {
        record.write(new TestEvent.Skipped(number));
      }
    } while (whole && !ladder.done() && !ladder.wanted().sweep().plansWay());
    goOn();
  }

  private void undo() {
    Optional<TestEvent.Undone> back = ladder.undo();
    if (back.isEmpty()) {
      refuse(Why.UNDO_OF_NOTHING);
      return;
    }
    acquisition.end();
    record.write(back.get());
    goOn();
  }

  private void confirm(double liftM) {
    boolean done = ladder.done();
    if (stopped) {
      refuse(Why.CONFIRM_WHEN_STOPPED);
    } else if (!suspicion.confirms(liftM)) {
      refuse(Why.CONFIRM_TWICE);
    } else if (done) {
      goOn();
    }
  }

  private void stop(String why) {
    if (!stopped) {
      acquisition.end();
      stopped = true;
      record.write(new TestEvent.Said(TestEvent.Kind.STOPPED, why));
    }
  }

  // ------------------------------------------------------------------ small steps

  /** Another rung is wanted; a keep that waited was for the one before. */
  private void goOn() {
    armed = false;
    taking.next();
    askNext();
  }

  private void askNext() {
    if (!ladder.done()) {
      if (turnsAir()) {
        record.tell(new OperatorMessage.TurnAir(plan.direction(ladder.wanted().sweep())));
      }
      record.tell(
          new OperatorMessage.Next(
              ladder.wanted(), watch.typing().wanted(), watch.startsByKey() && !handsFree));
      return;
    }
    record.tell(new OperatorMessage.Complete());
    if (!stopped && acquisition.byEye().isEmpty()) {
      suspicion.asks();
    }
    seatAtTheEnd();
  }

  /** Not before it is settled whether to confirm, for which the blower should still run. */
  private void seatAtTheEnd() {
    if (ladder.done() && !stopped && !suspicion.waits()) {
      seat.asksAtTheEnd();
    }
  }

  private void refuse(Why why) {
    record.tell(new OperatorMessage.Refused(why));
  }
}
