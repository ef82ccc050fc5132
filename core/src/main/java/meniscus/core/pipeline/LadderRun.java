package meniscus.core.pipeline;

import java.time.Instant;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.OptionalInt;
import meniscus.core.bench.Use;
import meniscus.core.finding.Confirmation;
import meniscus.core.finding.InUnits;
import meniscus.core.finding.UnsteadyLifts;
import meniscus.core.lift.LiftPoint;
import meniscus.core.lift.Plan;
import meniscus.core.lift.Rung;
import meniscus.core.lift.SeatReadings;
import meniscus.core.lift.ShortPressure;
import meniscus.core.lift.TestEvent;
import meniscus.core.pipeline.RunState.Phase;
import meniscus.core.pipeline.RunWords.Refused;
import meniscus.core.steadiness.Judged;
import meniscus.core.steadiness.Verdict;
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

  /** The common test pressure stays this much below what the weakest rung reached. */
  private static final double COMMON_MARGIN = 0.99;

  /** Decisions are taken this often [s]. */
  private static final double DECIDE_EVERY_SECONDS = 0.05;

  private final Acquisition acquisition;
  private final PointMaker pointMaker;
  private final Plan plan;
  private final boolean handsFree;
  private final RunLog log;
  private final Ladder ladder;
  private final RungWatch watch;
  private final Suspicion suspicion;
  private final RunWords words;
  private final SeatWatch seat;
  private final SeatWords seatWords;
  private double commonAimPa = Double.POSITIVE_INFINITY;
  private double decidedAt = Double.NEGATIVE_INFINITY;
  private boolean faultTold;
  private boolean armed;
  private boolean stopped;
  private int segment;
  private long rows;
  private Moment now = Moment.START;

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
    this.log = log;
    this.ladder = new Ladder(plan.ladder());
    this.watch = new RungWatch(acquisition, plan);
    this.suspicion = new Suspicion(plan);
    this.words = new RunWords(plan);
    this.seat = new SeatWatch(acquisition, plan);
    this.seatWords = new SeatWords(new InUnits(plan.units()));
  }

  // ------------------------------------------------------------------ what happens to it

  /** A segment begins: at the start, and after each interruption. */
  public void segment(Moment at, Instant utc) {
    breakOff(new BreakOff.SegmentBegins());
    now = at;
    segment++;
    acquisition.restart();
    watch.forget();
    seat.begins(now);
    record(new TestEvent.Segment(utc));
    record(new TestEvent.Reckoned(Reckoning.NOW.word()));
    if (segment > 1) {
      log.told(RunWords.interrupted());
    }
    if (keptNothing() && seat.readings().beforeM().isEmpty()) {
      log.told(seatWords.before(seat.seesLift()));
    }
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
    Map<Integer, Integer> attempts = new HashMap<>();
    events.forEach(event -> event.what().tell(new Left(attempts)));
    List<Rung> added = Confirmation.added(plan.ladder(), events);
    ladder.add(added.subList(plan.ladder().size(), added.size()));
    ladder.takeUp(kept, skipped, attempts);
    rows = rowsSoFar;
    seat.takeUp(SeatReadings.of(events));
  }

  /** What earlier segments tell of where this one goes on. */
  private final class Left implements TestEvent.Reader {
    private final Map<Integer, Integer> attempts;

    Left(Map<Integer, Integer> attempts) {
      this.attempts = attempts;
    }

    @Override
    public void segment(TestEvent.Segment begun) {
      segment++;
    }

    @Override
    public void kept(TestEvent.Kept kept) {
      attempts.merge(kept.rung(), kept.attempt(), Math::max);
    }

    /** An aim below the plan's was a common test pressure that the blower forced. */
    @Override
    public void begun(TestEvent.Begun begun) {
      double planned =
          plan.ladder().stream()
              .filter(rung -> rung.number() == begun.rung())
              .mapToDouble(plan::aimPa)
              .findFirst()
              .orElse(begun.aimPa());
      if (begun.aimPa() < planned) {
        commonAimPa = Math.min(commonAimPa, begun.aimPa());
      }
    }
  }

  /** The next frame has arrived (and has been written down). */
  public void frame(Frame frame) {
    now = frame.moment();
    rows++;
    acquisition.accept(frame);
    double seconds = now.seconds();
    watch.look(seconds);
    seat.look(seconds);
    boolean typed = acquisition.typed(frame);
    if (typed) {
      typed(frame);
    }
    if (typed || seconds - decidedAt >= DECIDE_EVERY_SECONDS) {
      decidedAt = seconds;
      readTheSeat();
      decide(seconds);
    }
  }

  /** Something that belongs in the record happened outside: an instrument lost, a clock jump. */
  public void happened(Moment at, TestEvent.What what) {
    now = at.isAfter(now) ? at : now;
    record(what);
    what.tell(
        new TestEvent.Reader() {
          @Override
          public void lost(TestEvent.Lost lost) {
            goOnWithout(lost.id());
          }
        });
  }

  /** The last reading of a gauge counts, so an average of the one before is worth nothing. */
  private void typed(Frame frame) {
    if (idle()) {
      return;
    }
    if (watch.typing().replaces(frame)
        || acquisition.window().map(RungWindow::readByEye).orElse(false)) {
      acquisition.end();
    }
    log.told(
        words.typed(
            ladder.wanted(),
            aimPa(),
            watch.typing().read(frame),
            watch.typedAmiss(ladder.wanted(), aimPa()),
            watch.typing().wanted(),
            handsFree));
  }

  private void goOnWithout(String what) {
    if (acquisition.goesOnWithout(what)) {
      log.told(RunWords.goesOnWithout(what));
    } else {
      breakOff(new BreakOff.InstrumentGone(what));
      watch.forget();
      seat.forget();
    }
  }

  public void command(Command command) {
    command.fold(
        keep -> done(() -> keep(keep.asItStands())),
        redo -> done(() -> redo(redo.rung())),
        skip -> done(this::skip),
        undo -> done(this::undo),
        confirm -> done(() -> confirm(confirm.liftM())),
        read -> done(() -> readTheSeat(read.readM())),
        note -> done(() -> record(new TestEvent.Said(TestEvent.Kind.NOTE, note.text()))),
        stop -> done(() -> stop(stop.why())));
  }

  private static Object done(Runnable act) {
    act.run();
    return null;
  }

  // ------------------------------------------------------------------ what can be seen

  /** Done, and no answer is waited for. */
  public boolean finished() {
    return idle() && (stopped || !(suspicion.waits(now) || seat.waits(now)));
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
    double asked = ladder.done() ? plan.testPressurePa() : plan.aimPa(ladder.wanted());
    return Math.min(commonAimPa, asked);
  }

  /** The rung that is wanted or averaged; empty when all are done. */
  public Optional<Rung> wanted() {
    return idle() ? Optional.empty() : Optional.of(ladder.wanted());
  }

  /** What is asked besides rungs. */
  public List<Question> questions() {
    List<Question> questions = new ArrayList<>();
    if (!stopped) {
      seat.question(!keptNothing(), idle(), now).ifPresent(questions::add);
      suspicion.question(now).ifPresent(questions::add);
    }
    return questions;
  }

  /** True while the valve is to be held shut for the dial, where the operator is simulated. */
  public boolean shutWanted() {
    return !stopped
        && acquisition.window().isEmpty()
        && seat.wantsShut(!keptNothing(), idle(), now);
  }

  /** True when a good average is there and nobody has said to keep it. */
  public boolean averageWaits() {
    return !armed
        && acquisition
            .window()
            .map(window -> window.judged().precise() && window.judged().decided())
            .orElse(false);
  }

  public RunState state() {
    Optional<RungWindow> window = acquisition.window();
    Optional<Judged> judged = window.map(RungWindow::judged);
    double[] flow = pointMaker.flowOf(judged);
    return new RunState(
        phase(),
        wanted(),
        aimPa(),
        judged,
        window.map(RungWindow::remarks).orElse(List.of()),
        flow[0],
        flow[1],
        window.map(open -> now.secondsSince(open.began())).orElse(0.0),
        acquisition.latest(Use.TEST_PRESSURE),
        acquisition.latest(Use.LIFT),
        armed,
        ladder.marks(),
        live(),
        watch.typing().gauges(),
        questions());
  }

  private RunState.Live live() {
    Recent areas = acquisition.areaTrace();
    boolean flows = !areas.isEmpty() && !watch.blowerOff(aimPa());
    double[] bounds = areas.bounds();
    return new RunState.Live(
        areas.isEmpty() ? Double.NaN : areas.newest(),
        flows ? pointMaker.flowOf(bounds[0]) : Double.NaN,
        flows ? pointMaker.flowOf(areas.mean()) : Double.NaN,
        flows ? pointMaker.flowOf(bounds[1]) : Double.NaN,
        acquisition.latestSeconds(Use.TEST_PRESSURE),
        acquisition.latestSeconds(Use.LIFT),
        acquisition.latest(Use.ELEMENT_DROP));
  }

  private Phase phase() {
    if (idle()) {
      return Phase.DONE;
    }
    if (acquisition.window().isPresent()) {
      return Phase.AVERAGING;
    }
    boolean unknown = !watch.typing().complete();
    return watch.blowerOff(aimPa()) && !unknown ? Phase.BLOWER_OFF : Phase.WAITING;
  }

  // ------------------------------------------------------------------ deciding

  private void decide(double seconds) {
    if (idle() || !watch.seesPressure()) {
      return;
    }
    if (watch.findsShortPressure(ladder.wanted(), aimPa(), seconds)) {
      shortPressure(watch.pressurePa());
      return;
    }
    if (acquisition.window().isEmpty() && watch.isSet(ladder.wanted(), aimPa(), seconds)) {
      open();
    }
    acquisition.window().ifPresent(window -> watchWindow(window, seconds));
  }

  private void shortPressure(double reachedPa) {
    if (plan.shortPressure() == ShortPressure.KEEP) {
      log.told(words.shortKept(ladder.wanted(), reachedPa, aimPa()));
    } else if (plan.shortPressure() == ShortPressure.SKIP) {
      log.told(words.shortSkipped(ladder.wanted(), reachedPa, aimPa()));
      skip();
    } else {
      takeCommonPressure(reachedPa);
    }
  }

  /** The whole ladder at what this rung reaches: rungs kept at more are taken again. */
  private void takeCommonPressure(double reachedPa) {
    double asked = aimPa();
    commonAimPa = COMMON_MARGIN * reachedPa;
    log.told(words.shortForAll(ladder.wanted(), reachedPa, asked, commonAimPa));
    acquisition.end();
    for (Rung rung : ladder.reopenAbove(commonAimPa * (1 + plan.aimBand()))) {
      record(new TestEvent.Redone(rung.number()));
    }
    goOn();
  }

  private void open() {
    acquisition.begin(now);
    watch.windowOpens();
    record(new TestEvent.Begun(ladder.wanted().number(), ladder.attempt(), aimPa(), segment));
  }

  private void watchWindow(RungWindow window, double seconds) {
    Optional<BreakOff> broken = watch.breaksOff(ladder.wanted(), aimPa(), seconds).or(window::torn);
    if (broken.isPresent()) {
      breakOff(broken.get());
      return;
    }
    Judged judged = window.judged();
    if (judged.verdict() == Verdict.FAULTY && judged.decided() && !faultTold) {
      faultTold = true;
      log.told(RunWords.fault(judged.why()));
    }
    if ((handsFree || armed) && isGood(window, judged)) {
      keepNow(window);
    } else if (judged.verdict() == Verdict.FAULTY && isLate(window)) {
      breakOff(new BreakOff.TimeOver(judged.why()));
      faultTold = true; // just now
    }
  }

  private boolean isGood(RungWindow window, Judged judged) {
    if (judged.mean().isEmpty() || judged.verdict() == Verdict.FAULTY) {
      return false;
    }
    return isLate(window)
        || judged.precise()
            && judged.decided()
            && judged.verdict() != Verdict.BRIEF
            && judged.verdict() != Verdict.DRIFTING;
  }

  private boolean isLate(RungWindow window) {
    return now.secondsSince(window.began()) >= plan.longestSeconds();
  }

  // ------------------------------------------------------------------ commands

  private void keep(boolean asItStands) {
    if (idle()) {
      log.told(RunWords.refused(Refused.KEEP_WHEN_DONE));
      return;
    }
    if (asItStands) {
      keepAsItStands();
      return;
    }
    watch.startByKey();
    log.told(RunWords.armed(ladder.wanted(), armed));
    armed = true;
    decide(now.seconds()); // Where all is read by eye no frame may come any more.
  }

  private void keepAsItStands() {
    if (acquisition.window().isEmpty()
        && watch.keepsShortByEye(ladder.wanted(), aimPa(), now.seconds())) {
      open();
    }
    boolean kept =
        !watch.blowerOff(aimPa()) && acquisition.window().map(this::keepNow).orElse(false);
    if (!kept) {
      log.told(
          RunWords.refused(
              watch.startsByKey() ? Refused.KEEP_BEFORE_KEY : Refused.KEEP_WITHOUT_AVERAGE));
    }
  }

  /** Whether there was a mean to keep. */
  private boolean keepNow(RungWindow window) {
    Rung rung = ladder.wanted();
    int attempt = ladder.attempt();
    Optional<LiftPoint> point =
        pointMaker
            .point(window, rung, attempt, aimPa(), segment, now, ladder.points())
            .map(PointMaker.Kept::point);
    if (point.isEmpty()) {
      return false;
    }
    acquisition.end();
    Optional<LiftPoint> calmer = UnsteadyLifts.calmerNeighbour(plan, point.get(), ladder.points());
    Optional<LiftPoint> repeated = ladder.keep(point.get());
    seat.kept();
    log.kept(new TestEvent(now, rows, new TestEvent.Kept(rung.number(), attempt)), point.get());
    repeated.ifPresent(before -> log.told(words.step(before, point.get())));
    calmer.ifPresent(neighbour -> log.told(words.rougher(point.get(), neighbour)));
    goOn();
    return true;
  }

  private void redo(OptionalInt number) {
    int index =
        number.isPresent()
            ? ladder.indexOf(number.getAsInt())
            : acquisition.window().isPresent() ? ladder.wantedIndex() : ladder.lastKept();
    if (index < 0) {
      log.told(RunWords.refused(Refused.REDO_OF_NOTHING));
      return;
    }
    acquisition.end();
    if (ladder.redo(index)) {
      record(new TestEvent.Redone(ladder.rung(index).number()));
    }
    goOn();
  }

  private void skip() {
    if (idle()) {
      log.told(RunWords.refused(Refused.SKIP_WHEN_DONE));
      return;
    }
    acquisition.end();
    int number = ladder.wanted().number();
    if (ladder.skip()) {
      record(new TestEvent.Skipped(number));
    }
    goOn();
  }

  private void undo() {
    Optional<TestEvent.Undone> back = ladder.undo();
    if (back.isEmpty()) {
      log.told(RunWords.refused(Refused.UNDO_OF_NOTHING));
      return;
    }
    acquisition.end();
    record(back.get());
    goOn();
  }

  private void confirm(double liftM) {
    if (stopped) {
      log.told(RunWords.refused(Refused.CONFIRM_WHEN_STOPPED));
      return;
    }
    if (ladder.rungs().stream().anyMatch(r -> r.confirm() && Math.abs(r.liftM() - liftM) < 1e-5)) {
      log.told(RunWords.refused(Refused.CONFIRM_TWICE));
      return;
    }
    boolean goesOn = ladder.done();
    Confirmation led =
        Confirmation.of(
            plan, liftM, suspicion.lifts(ladder.points()), Math.min(commonAimPa, reachedAt(liftM)));
    int first = ladder.nextNumber();
    ladder.add(led.rungs(first));
    record(led.begun(first));
    suspicion.answered();
    if (goesOn) {
      goOn();
    }
  }

  /** What the blower reached at a lift, else what the plan asks [Pa]. */
  private double reachedAt(double liftM) {
    return ladder.points().stream()
        .filter(point -> Math.abs(point.liftM() - liftM) < 1e-5)
        .mapToDouble(point -> Math.min(plan.testPressurePa(), point.testPressurePa()))
        .min()
        .orElse(plan.testPressurePa());
  }

  // ------------------------------------------------------------------ the dial on the seat

  private boolean keptNothing() {
    return ladder.points().isEmpty();
  }

  /** By itself, when the valve is shut before the first lift or after the last one. */
  private void readTheSeat() {
    if (!stopped && acquisition.window().isEmpty() && watch.blowerOff(aimPa())) {
      seat.takes(!keptNothing(), ladder.done()).ifPresent(this::onTheSeat);
    }
  }

  private void readTheSeat(OptionalDouble typed) {
    OptionalDouble read = typed.isPresent() ? typed : seat.resting();
    if (read.isEmpty()) {
      log.told(seatWords.nothingRests(seat.seesLift()));
    } else if (!(Math.abs(read.getAsDouble()) <= SeatReadings.FURTHEST_M)) {
      log.told(seatWords.tooFar(read.getAsDouble()));
    } else {
      onTheSeat(read.getAsDouble());
    }
  }

  private void onTheSeat(double metres) {
    seat.read(metres, !keptNothing());
    record(new TestEvent.Seat(metres));
    log.told(seatWords.read(metres, seat.readings()));
  }

  private void stop(String why) {
    if (!stopped) {
      acquisition.end();
      stopped = true;
      record(new TestEvent.Said(TestEvent.Kind.STOPPED, why));
    }
  }

  // ------------------------------------------------------------------ small steps

  private void breakOff(BreakOff why) {
    if (acquisition.window().isPresent()) {
      acquisition.end();
      watch.brokenOff();
      faultTold = false;
      log.told(RunWords.brokenOff(ladder.wanted(), why, watch.typing().wanted()));
    }
  }

  /** Another rung is wanted; a keep that waited was for the one before. */
  private void goOn() {
    armed = false;
    faultTold = false;
    watch.nextRung();
    askNext();
  }

  private void askNext() {
    if (ladder.done()) {
      log.told(RunWords.complete());
      if (acquisition.byEye().isEmpty() && !stopped) {
        suspicion
            .asks(ladder.points(), ladder.rungs(), now)
            .ifPresent(liftM -> log.told(words.confirm(liftM)));
      }
      if (!stopped && seat.asksAtTheEnd(now)) {
        log.told(seatWords.after(seat.seesLift()));
      }
      return;
    }
    log.told(
        words.next(ladder.wanted(), watch.typing().wanted(), watch.startsByKey() && !handsFree));
  }

  private void record(TestEvent.What what) {
    log.event(new TestEvent(now, rows, what));
  }
}
