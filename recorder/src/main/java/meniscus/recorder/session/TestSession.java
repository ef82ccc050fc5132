package meniscus.recorder.session;

import java.time.Instant;
import java.util.ArrayDeque;
import java.util.ArrayList;
import java.util.Deque;
import java.util.List;
import java.util.Optional;
import java.util.concurrent.BlockingQueue;
import java.util.concurrent.LinkedBlockingQueue;
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
import meniscus.core.pipeline.PointMaker;
import meniscus.core.pipeline.RunLog;
import meniscus.core.pipeline.RunState;
import meniscus.core.pipeline.Told;
import meniscus.core.time.Moment;
import meniscus.recorder.journal.Journal;
import meniscus.recorder.journal.Receipt;

/**
 * One lift test on one bench. One thread owns it ({@link #run}); commands come in from anywhere,
 * what happens goes out to listeners. Each frame is in the journal before the run sees it; a kept
 * point is on the disk before anyone is told.
 */
public final class TestSession {

  /** How long one wait for the bench lasts [s]. */
  private static final double WAIT_SECONDS = 0.02;

  private static final double STATE_EVERY_SECONDS = 0.03;

  /** The two clocks part by more than this: the wall clock was set, or the computer slept [s]. */
  private static final double PARTED_SECONDS = 0.5;

  /** Rejected bytes told one by one; the rest is counted. */
  private static final int REJECTS_WRITTEN = 200;

  private final Feed feed;
  private final Journal journal;
  private final LadderRun run;
  private final Optional<TestClock> clock;
  private final boolean commandsFirst;
  private final BlockingQueue<Command> commands = new LinkedBlockingQueue<>();
  private final List<SessionListener> listeners = new ArrayList<>();
  private final Deque<Unsafe> unsafe = new ArrayDeque<>();
  private double stateAt = Double.NEGATIVE_INFINITY;
  private double clockAt = Double.NEGATIVE_INFINITY;
  private int rejects;
  private Feed.Asked asked = Feed.Asked.NOTHING;
  private boolean ended;
  private volatile boolean inputEnded;

  private record Unsafe(LiftPoint point, Receipt receipt) {}

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
    this.journal = journal;
    this.clock = clock;
    this.commandsFirst = commandsFirst;
    this.run = new LadderRun(acquisition, pointMaker, plan, handsFree, new Log());
  }

  public void listen(SessionListener listener) {
    listeners.add(listener);
  }

  /** Asks something of the run; from any thread. */
  public void submit(Command command) {
    commands.add(command);
  }

  /** Nobody can submit commands any more: the test stops once no keep waits. From any thread. */
  public void inputEnded() {
    inputEnded = true;
  }

  /** The run itself; to be read on the session's thread only. */
  public LadderRun ladder() {
    return run;
  }

  /**
   * Runs until the ladder is done or the test is stopped. Call once, on the thread that is to own
   * the test.
   *
   * @throws InterruptedException when the thread is interrupted: all that is kept is safe
   */
  public void run(Instant utc) throws InterruptedException {
    run.segment(feed.now(), utc);
    ask();
    while (!run.finished()) {
      takeCommands();
      if (run.finished()) {
        break;
      }
      feed.next(WAIT_SECONDS).ifPresent(this::take);
      watchClock();
      tellSafe();
      tellState(false);
      ask();
    }
    feed.asks(Feed.Asked.NOTHING);
    journal.force();
    tellSafe();
    tellState(true);
  }

  private void takeCommands() throws InterruptedException {
    boolean waits = commandsFirst && run.averageWaits();
    if (waits) {
      tellState(true);
    }
    Command command = waits ? commands.poll(1, TimeUnit.SECONDS) : commands.poll();
    while (command != null) {
      run.command(command);
      command = commands.poll();
    }
    if (inputEnded && !run.armed() && commands.isEmpty()) {
      run.command(new Command.Stop("no more commands can come"));
    }
    if (ended && !run.averageWaits()) {
      run.command(new Command.Stop("the recording has been played"));
    }
  }

  private void take(Happening happening) {
    happening.fold(
        arrived -> {
          frame(arrived.frame());
          return null;
        },
        unread -> {
          rejected(unread.instrument(), unread.rejected());
          return null;
        },
        lost -> {
          String detail = name(lost.instrument()) + ": " + lost.reason();
          run.happened(lost.moment(), TestEvent.Kind.LOST, detail);
          return null;
        },
        back -> {
          run.happened(back.moment(), TestEvent.Kind.BACK, name(back.instrument()));
          return null;
        },
        done -> {
          ended = true;
          return null;
        });
  }

  private void frame(Frame frame) {
    double[] values = frame.valuesSi().clone();
    long present = 0;
    for (int channel = 0; channel < values.length; channel++) {
      if (!Double.isNaN(values[channel])) {
        present |= 1L << channel;
      }
      if (values[channel] == Frame.OVERLOAD) {
        values[channel] = Double.NaN;
      }
    }
    // What is not written down is not used either: the test must work out the same again.
    boolean written =
        present != 0 && journal.row(frame.moment().nanos(), frame.instrument(), present, values);
    if (written) {
      run.frame(frame);
    }
  }

  private void rejected(int instrument, Rejected rejected) {
    rejects++;
    if (rejects <= REJECTS_WRITTEN) {
      run.happened(
          rejected.at(),
          TestEvent.Kind.REJECTED,
          name(instrument) + ": " + rejected.reason() + ": " + rejected.bytes());
    }
  }

  private String name(int instrument) {
    return feed.bench().instruments().get(instrument).id();
  }

  /** A wall clock that was set is noted; after a sleep a new segment begins. */
  private void watchClock() {
    double now = feed.now().seconds();
    if (clock.isEmpty() || now - clockAt < 1) {
      return;
    }
    clockAt = now;
    double parted = clock.get().parted();
    if (Math.abs(parted) > PARTED_SECONDS) {
      run.happened(
          feed.now(),
          TestEvent.Kind.CLOCK,
          String.format(java.util.Locale.ROOT, "the wall clock parted by %.3f s", parted));
      if (parted > 0) {
        clock.get().skip(parted);
        run.segment(feed.now(), clock.get().utc());
      }
    }
  }

  private void tellState(boolean always) {
    double now = feed.now().seconds();
    if (always || now - stateAt >= STATE_EVERY_SECONDS) {
      stateAt = now;
      RunState state = run.state();
      listeners.forEach(listener -> listener.state(state));
    }
  }

  private void ask() {
    if (run.wanted().isEmpty()) {
      return;
    }
    Rung rung = run.wanted().get();
    if (rung.liftM() != asked.liftM()
        || rung.sweep() != asked.sweep()
        || run.aimPa() != asked.testPressurePa()) {
      asked = new Feed.Asked(rung.liftM(), rung.sweep(), run.aimPa());
      feed.asks(asked);
    }
  }

  /** Tells the points that have become safe since they were kept. */
  private void tellSafe() {
    while (!unsafe.isEmpty() && journal.ask(unsafe.peek().receipt()).safe()) {
      LiftPoint point = unsafe.remove().point();
      listeners.forEach(listener -> listener.kept(point));
    }
  }

  private final class Log implements RunLog {
    @Override
    public void event(TestEvent event) {
      journal.event(event);
      listeners.forEach(listener -> listener.event(event));
    }

    @Override
    public void kept(TestEvent event, LiftPoint point) {
      Receipt receipt = journal.kept(point, event);
      if (receipt.safe() && unsafe.isEmpty()) {
        listeners.forEach(listener -> listener.kept(point));
      } else {
        unsafe.add(new Unsafe(point, receipt));
        listeners.forEach(listener -> listener.notSafeYet(point, receipt.reason()));
      }
    }

    @Override
    public void told(Told told) {
      listeners.forEach(listener -> listener.told(told));
    }
  }

  /** Where a resumed test goes on: the last moment, moved by the time that passed meanwhile. */
  public static Moment resumeMoment(Moment last, Instant lastUtc, Instant nowUtc) {
    double gap = java.time.Duration.between(lastUtc, nowUtc).toNanos() * 1e-9;
    return last.plusSeconds(Math.max(1e-3, gap));
  }
}
