package meniscus.recorder.session;

import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.OptionalInt;
import java.util.UUID;
import java.util.concurrent.BlockingDeque;
import java.util.concurrent.LinkedBlockingDeque;
import java.util.concurrent.TimeUnit;
import meniscus.core.instrument.Rejected;
import meniscus.core.lift.LiftPoint;
import meniscus.core.lift.Plan;
import meniscus.core.lift.Rung;
import meniscus.core.lift.TestEvent;
import meniscus.core.pipeline.Acquisition;
import meniscus.core.pipeline.Command;
import meniscus.core.pipeline.Frame;
import meniscus.core.pipeline.LadderRun;
import meniscus.core.pipeline.OperatorMessage;
import meniscus.core.pipeline.PointMaker;
import meniscus.core.pipeline.RunLog;
import meniscus.core.pipeline.RunState;
import meniscus.core.time.Moment;
import meniscus.core.time.UtcAnchor;
import meniscus.recorder.feed.BenchEvent;
import meniscus.recorder.feed.Feed;
import meniscus.recorder.feed.TestClock;
import meniscus.recorder.journal.Journal;

/**
 * One lift test on one bench. One thread owns it ({@link #run}); commands come in from anywhere,
 * what happens goes out to listeners. Each frame is in the journal before the run sees it; a kept
 * point is on the disk before anyone is told.
 */
public final class TestSession {

  /** How long one wait for the bench lasts [s]. */
  private static final double WAIT_SECONDS = 0.02;

  private static final double STATE_EVERY_SECONDS = 0.025;

  /** Simulated time may run hundreds of times faster than anyone can look. */
  private static final long STATE_EVERY_NANOS = TimeUnit.MILLISECONDS.toNanos(10);

  /** A driver that makes nothing of what was typed holds nobody up for longer [s]. */
  private static final double LONGEST_TYPING_SECONDS = 1;

  /** Rejected bytes told one by one; the rest is counted. */
  private static final int REJECTS_WRITTEN = 200;

  /**
   * Readings of the fast channel in one segment: forty minutes at 5 kHz. A full table is said, and
   * the test goes on without the channel.
   */
  private static final long MOST_FAST_READINGS = 12_000_000;

  private final Feed feed;
  private final LadderRun run;
  private final ClockWatch clock;
  private final boolean commandsFirst;
  private final BlockingDeque<Ask> asks = new LinkedBlockingDeque<>();
  private final List<SessionListener> listeners = new ArrayList<>();
  private final Safekeeping safekeeping;
  private final Optional<UUID> id;
  private double stateAt = Double.NEGATIVE_INFINITY;
  private long stateToldAt = System.nanoTime() - STATE_EVERY_NANOS;
  private Moment last = Moment.START;
  private double typedAt = Double.NEGATIVE_INFINITY;
  private int rejects;
  private long notWritten;
  private Optional<Feed.Asked> asked = Optional.empty();
  private boolean ended;
  private final OptionalInt fastInstrument;
  private long fastReadings;
  private long mostFastReadings = MOST_FAST_READINGS;

  /** What to do; one in order waits until what was asked before it is done. */
  private record Ask(Runnable act, boolean inOrder) {}

  /**
   * @param plan to be run
   * @param handsFree keep by itself
   * @param clock whose parting from the wall clock is watched; empty on simulated time
   * @param commandsFirst on simulated time without hands-free: the time stands still while a good
   *     average waits for the operator
   */
  public TestSession(
      Feed feed,
      Journal journal,
      Acquisition acquisition,
      PointMaker pointMaker,
      Plan plan,
      boolean handsFree,
      Optional<TestClock> clock,
      boolean commandsFirst) {
    this.feed = feed;
    this.fastInstrument = feed.bench().fastInstrument();
    this.safekeeping = new Safekeeping(journal, listeners);
    this.id = journal.test();
    this.clock = new ClockWatch(feed, clock);
    this.commandsFirst = commandsFirst;
    this.run = new LadderRun(acquisition, pointMaker, plan, handsFree, new Log());
  }

  /** With room for fewer readings of the fast channel. */
  TestSession withMostFastReadings(long most) {
    this.mostFastReadings = most;
    return this;
  }

  /** Which test it is; empty where it has no id. */
  public Optional<UUID> id() {
    return id;
  }

  /** Tells all listeners a sentence that the test itself does not come to. */
  void tell(OperatorMessage told) {
    listeners.forEach(listener -> listener.told(told));
  }

  public void listen(SessionListener listener) {
    listeners.add(listener);
  }

  /** Asks something of the run, at once; from any thread. */
  public void submit(Command command) {
    asks.add(new Ask(() -> run.command(command), false));
  }

  /**
   * The same, but not before what was typed has been read and a keep that waits has been done; from
   * any thread.
   */
  public void submitInOrder(Command command) {
    asks.add(new Ask(() -> run.command(command), true));
  }

  /**
   * Readings that were typed, as {@link Feed#type} takes them; from any thread.
   *
   * @param inOrder not before a keep that waits has been done: they are of the rung after it
   * @return why they are not taken; empty when they are
   */
  public Optional<String> type(String readings, boolean inOrder) {
    Optional<String> refusal = feed.refusal(readings);
    if (refusal.isEmpty()) {
      asks.add(new Ask(() -> type(readings), inOrder));
    }
    return refusal;
  }

  private void type(String readings) {
    feed.type(readings);
    typedAt = feed.now().seconds();
  }

  /** True while a reading is on its way from the keyboard through its driver. */
  private boolean reads() {
    return feed.typedAhead() > 0 && feed.now().seconds() - typedAt < LONGEST_TYPING_SECONDS;
  }

  /** Nobody can submit commands any more: the test stops once no keep waits. From any thread. */
  public void inputEnded() {
    submitInOrder(new Command.Stop("no more commands can come"));
  }

  /** The run itself; to be read on the session's thread only. */
  public LadderRun ladder() {
    return run;
  }

  /**
   * Runs until the ladder is done or the test is stopped. Call once, on the thread that is to own
   * the test.
   *
   * @param began where the segment begins, not after the first happening
   * @throws InterruptedException when the thread is interrupted: all that is kept is safe
   */
  public void run(UtcAnchor began) throws InterruptedException {
    last = began.moment();
    run.segment(last, began.at());
    ask();
    while (!run.finished()) {
      takeCommands();
      if (run.finished()) {
        break;
      }
      feed.next(WAIT_SECONDS).ifPresent(this::take);
      watchClock();
      safekeeping.tell();
      tellState(false);
      ask();
      if (Thread.interrupted()) {
        throw new InterruptedException("the session's thread was interrupted");
      }
    }
    feed.asks(Feed.Asked.NOTHING);
    countRejects();
    safekeeping.force();
    tellState(true);
  }

  private void takeCommands() throws InterruptedException {
    if (commandsFirst && run.averageWaits()) {
      waitForCommand();
    }
    while (!asks.isEmpty() && !(asks.peek().inOrder() && busy())) {
      asks.remove().act().run();
    }
    if (ended && !run.averageWaits()) {
      run.command(new Command.Stop("the recording has been played"));
    }
  }

  /**
   * True while a reading or a keep is under way. A keep in want of a reading is not: the line that
   * brings it may be the next one.
   */
  private boolean busy() {
    return reads() || run.armed() && !run.readingsWanted();
  }

  private void waitForCommand() throws InterruptedException {
    tellState(true);
    Ask first = asks.poll(1, TimeUnit.SECONDS);
    if (first != null) {
      asks.addFirst(first);
    }
  }

  private void take(BenchEvent happening) {
    happening
        .<Runnable>fold(
            arrived -> () -> frame(arrived.frame()),
            unread -> () -> rejected(unread.instrument(), unread.rejected()),
            lost ->
                () ->
                    happened(
                        lost.moment(), new TestEvent.Lost(name(lost.instrument()), lost.reason())),
            back -> () -> happened(back.moment(), new TestEvent.Back(name(back.instrument()), "")),
            done -> () -> ended = true,
            remark ->
                () ->
                    happened(
                        remark.moment(),
                        new TestEvent.Said(
                            TestEvent.Kind.NOTE, name(remark.instrument()) + ": " + remark.text())))
        .run();
  }

  private boolean tooManyFast(Frame frame) {
    if (fastInstrument.isEmpty() || fastInstrument.getAsInt() != frame.instrument()) {
      return false;
    }
    fastReadings++;
    if (fastReadings == mostFastReadings + 1) {
      happened(
          frame.moment(),
          new TestEvent.Said(
              TestEvent.Kind.NOTE,
              name(frame.instrument())
                  + ": "
                  + mostFastReadings
                  + " readings are recorded; the test goes on without more of them"));
    }
    return fastReadings > mostFastReadings;
  }

  private void frame(Frame arrived) {
    if (tooManyFast(arrived)) {
      return;
    }
    Frame frame =
        last.isAfter(arrived.moment())
            ? new Frame(arrived.instrument(), last, arrived.valuesSi())
            : arrived;
    last = frame.moment();
    // What is not written down is not used either: the test must work out the same again.
    if (safekeeping.row(frame)) {
      if (notWritten > 0) {
        run.happened(
            last,
            new TestEvent.Back(
                TestEvent.Lost.JOURNAL,
                "the disk works again; " + notWritten + " readings were thrown away"));
        notWritten = 0;
      }
      run.frame(frame);
    } else if (notWritten++ == 0) {
      run.happened(
          last,
          new TestEvent.Lost(
              TestEvent.Lost.JOURNAL,
              "the disk has not worked for so long that memory is full; readings are thrown away"
                  + " until it works again"));
    }
  }

  private void rejected(int instrument, Rejected rejected) {
    rejects++;
    if (rejects <= REJECTS_WRITTEN) {
      happened(
          rejected.at(),
          new TestEvent.Said(
              TestEvent.Kind.REJECTED,
              name(instrument) + ": " + rejected.reason() + ": " + rejected.bytes()));
    }
  }

  private void countRejects() {
    if (rejects > REJECTS_WRITTEN) {
      happened(
          last,
          new TestEvent.Said(
              TestEvent.Kind.REJECTED, (rejects - REJECTS_WRITTEN) + " more were only counted"));
    }
  }

  private void happened(Moment at, TestEvent.What what) {
    last = at.isAfter(last) ? at : last;
    run.happened(last, what);
  }

  private String name(int instrument) {
    return feed.bench().instruments().get(instrument).id();
  }

  /**
   * A wall clock that was set is noted; when it ran ahead, as after a sleep, a new segment begins,
   * as much later as it ran ahead.
   */
  private void watchClock() {
    clock
        .parted()
        .ifPresent(
            parted -> {
              String words = ClockWatch.words(parted);
              run.happened(last, new TestEvent.Said(TestEvent.Kind.CLOCK, words));
              if (parted > 0) {
                last = last.plusSeconds(parted);
                run.segment(last, clock.utcOf(last));
              }
            });
  }

  private void tellState(boolean always) {
    double now = feed.now().seconds();
    long clock = System.nanoTime();
    if (always
        || now - stateAt >= STATE_EVERY_SECONDS && clock - stateToldAt >= STATE_EVERY_NANOS) {
      stateAt = now;
      stateToldAt = clock;
      RunState state = run.state();
      listeners.forEach(listener -> listener.state(state));
    }
  }

  private void ask() {
    Optional<Feed.Asked> next =
        run.shutWanted() ? Optional.of(Feed.Asked.NOTHING) : run.wanted().map(this::rung);
    if (next.isPresent() && !next.equals(asked)) {
      asked = next;
      feed.asks(next.get());
    }
  }

  private Feed.Asked rung(Rung rung) {
    return new Feed.Asked(rung.liftM(), rung.sweep(), run.turnsAir() ? 0 : run.aimPa());
  }

  private final class Log implements RunLog {
    @Override
    public void event(TestEvent event) {
      safekeeping.event(event);
    }

    @Override
    public void kept(TestEvent event, LiftPoint point) {
      safekeeping.kept(event, point);
    }

    @Override
    public void told(OperatorMessage told) {
      listeners.forEach(listener -> listener.told(told));
    }
  }

  /** Where a resumed test goes on: the last moment, moved by the time that passed meanwhile. */
  public static Moment resumeMoment(Moment last, Instant lastUtc, Instant nowUtc) {
    double gap = Duration.between(lastUtc, nowUtc).toNanos() * 1e-9;
    return last.plusSeconds(Math.max(1e-3, gap));
  }
}
