package meniscus.recorder.feed;

import java.util.ArrayDeque;
import java.util.ArrayList;
import java.util.Deque;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.TreeMap;
import java.util.concurrent.BlockingQueue;
import java.util.concurrent.LinkedBlockingQueue;
import java.util.concurrent.TimeUnit;
import java.util.concurrent.atomic.AtomicInteger;
import java.util.function.BooleanSupplier;
import java.util.function.Supplier;
import meniscus.core.bench.Bench;
import meniscus.core.instrument.Channel;
import meniscus.core.pipeline.Frame;
import meniscus.core.refusal.Refusal;
import meniscus.core.time.Moment;
import meniscus.drivers.line.LineOpener;
import meniscus.drivers.line.LineReader;

/** Real lines: one reader thread an instrument, one queue in order of arrival. */
public final class LiveFeed implements Feed {

  /** A driver that does not come back from a call for this long never will [s]. */
  private static final double HANGING_SECONDS = 5;

  /** An open line without a frame for this long is as good as gone [s]. */
  private static final double SILENT_SECONDS = 3;

  /** The same for an instrument that speaks every few seconds only [s]. */
  private static final double SILENT_SLOW_SECONDS = 15;

  /** Without another reading thrown away for this long a flood is over (our own choice) [s]. */
  private static final double FLOOD_OVER_SECONDS = 1;

  /** How often a flood that goes on is told again (our own choice) [s]. */
  private static final double FLOOD_TOLD_SECONDS = 15;

  /** How often silence is looked for [s]. */
  private static final double LOOK_SECONDS = 0.25;

  private final Bench bench;
  private final List<BoundInstrument> wired;
  private final Supplier<Moment> clock;
  private final Optional<SimulatedLines> simulated;
  private final BlockingQueue<BenchEvent> queue = new LinkedBlockingQueue<>();
  private final List<LineReader> readers = new ArrayList<>();
  private final List<LineToQueue> ears = new ArrayList<>();
  private final Watch[] watches;
  private final Map<Integer, TypedLine.Keyboard> keyboards = new TreeMap<>();
  private final AtomicInteger typedAhead = new AtomicInteger();

  // What follows belongs to the thread that takes happenings.
  private final Deque<BenchEvent> ahead = new ArrayDeque<>();
  private Moment last = Moment.START;
  private Moment taken = Moment.START;
  private double lookedAt = Double.NEGATIVE_INFINITY;

  /** What is known of an instrument's liveliness. */
  private static final class Watch {
    double lastFrame = Double.NaN;
    double usualGap = Double.NaN;
    long overflowed;
    long overflowTold;
    double floodsAt = Double.NEGATIVE_INFINITY;
    double floodToldAt = Double.NEGATIVE_INFINITY;
    boolean heard;
    boolean lost;
    int unread;
    double unreadAt = Double.NEGATIVE_INFINITY;
    String example = "";
  }

  /**
   * Opens all lines; those that cannot be opened now are tried again and told as lost.
   *
   * @param clock monotonic
   * @throws Refusal when a line's settings do not fit
   */
  public LiveFeed(Bench bench, List<BoundInstrument> wired, Supplier<Moment> clock) {
    this(bench, wired, clock, Optional.empty());
  }

  /** The same, with some instruments of the simulated bench among them. */
  LiveFeed(
      Bench bench,
      List<BoundInstrument> wired,
      Supplier<Moment> clock,
      Optional<SimulatedLines> simulated) {
    this.simulated = simulated;
    this.bench = bench;
    this.wired = wired;
    this.clock = clock;
    this.watches = new Watch[wired.size()];
    for (BoundInstrument each : wired) {
      watches[each.index()] = new Watch();
      watches[each.index()].lastFrame = clock.get().seconds();
    }
    try {
      for (BoundInstrument each : wired) {
        LineToQueue ear = new LineToQueue(each, clock, queue::add);
        ears.add(ear);
        readers.add(LineReader.start(opener(each), clock, ear));
      }
    } catch (RuntimeException e) {
      close();
      throw e;
    }
  }

  private LineOpener opener(BoundInstrument instrument) {
    boolean typed =
        instrument.kind().equals(TypedLine.KIND)
            || instrument.kind().isEmpty() && instrument.isByHand();
    if (!typed) {
      return simulated.isPresent() && instrument.kind().equals(Feeds.SIMULATED)
          ? simulated
              .get()
              .opener(instrument.line().text("instrument", instrument.instrument().id()))
          : instrument.opener();
    }
    TypedLine.Keyboard keyboard = new TypedLine.Keyboard();
    keyboards.put(instrument.index(), keyboard);
    return keyboard;
  }

  @Override
  public void asks(Asked asked) {
    simulated.ifPresent(bench -> bench.asks(asked));
  }

  @Override
  public void valve(boolean shut) {
    simulated.ifPresent(bench -> bench.valve(shut));
  }

  @Override
  public boolean takesTyping() {
    return !keyboards.isEmpty();
  }

  @Override
  public Optional<String> refusal(String readings) {
    return typed(readings).fold(refused -> Optional.of(refused), lines -> Optional.empty());
  }

  @Override
  public Optional<String> type(String readings) {
    return typed(readings)
        .fold(
            refused -> Optional.of(refused),
            lines -> {
              typedAhead.addAndGet(lines.size());
              lines.forEach(line -> keyboards.get(line.instrument()).type(line.text()));
              return Optional.empty();
            });
  }

  private TypedReadings typed(String readings) {
    return TypedReadings.of(readings, keyboards.keySet().stream().map(wired::get).toList(), now());
  }

  @Override
  public int typedAhead() {
    return typedAhead.get();
  }

  @Override
  public Bench bench() {
    return bench;
  }

  @Override
  public List<List<Channel>> channels() {
    return wired.stream().map(BoundInstrument::channels).toList();
  }

  @Override
  public Moment now() {
    return later(clock.get());
  }

  @Override
  public void hearAll() throws InterruptedException {
    hearAll(() -> false);
  }

  @Override
  public void hearAll(BooleanSupplier stopped) throws InterruptedException {
    List<BenchEvent> heard = new ArrayList<>();
    // Nobody has been asked to type anything yet.
    while (!wired.stream().allMatch(each -> watches[each.index()].heard || each.isByHand())) {
      if (stopped.getAsBoolean()) {
        throw new Stopped();
      }
      Optional<BenchEvent> next = next(LOOK_SECONDS);
      next.ifPresent(heard::add);
      if (next.isPresent() && next.get() instanceof BenchEvent.Lost lost) {
        throw new BenchFault(wired.get(lost.instrument()).instrument().id() + ": " + lost.reason());
      }
    }
    heard.addAll(ahead);
    ahead.clear();
    ahead.addAll(heard);
  }

  @Override
  public Optional<BenchEvent> next(double waitSeconds) throws InterruptedException {
    if (!ahead.isEmpty()) {
      return Optional.of(ahead.remove());
    }
    if (clock.get().seconds() - lookedAt >= LOOK_SECONDS) {
      lookForSilence();
      if (!ahead.isEmpty()) {
        return Optional.of(ahead.remove());
      }
    }
    BenchEvent happening = queue.poll(Math.round(waitSeconds * 1e6), TimeUnit.MICROSECONDS);
    if (happening == null) {
      return Optional.empty();
    }
    if (takesRoom(happening)) {
      ears.get(happening.instrument()).taken();
      if (keyboards.containsKey(happening.instrument())) {
        typedAhead.updateAndGet(ahead -> Math.max(0, ahead - 1));
      }
    }
    last = later(happening.moment());
    taken = happening.moment();
    BenchEvent seen =
        happening.fold(
            arrived -> noted(arrived, last),
            unread -> noted(unread),
            lost -> {
              watches[lost.instrument()].lost = true;
              return new BenchEvent.Lost(last, lost.instrument(), lost.reason());
            },
            back -> back,
            ended -> {
              watches[ended.instrument()].heard = true;
              watches[ended.instrument()].lost = true;
              return ended;
            },
            remark -> remark);
    return Optional.of(seen);
  }

  @Override
  public void close() {
    readers.forEach(LineReader::close);
  }

  /** Threads may overtake each other between stamp and queue; moments must not fall. */
  private Moment later(Moment moment) {
    return moment.isAfter(last) ? moment : last;
  }

  private BenchEvent noted(BenchEvent.Arrived arrived, Moment at) {
    Frame frame = arrived.frame();
    Watch watch = watches[frame.instrument()];
    double gap = Math.min(SILENT_SLOW_SECONDS, at.seconds() - watch.lastFrame);
    watch.usualGap = Double.isNaN(watch.usualGap) ? gap : 0.9 * watch.usualGap + 0.1 * gap;
    watch.lastFrame = at.seconds();
    watch.heard = true;
    watch.unread = 0;
    BenchEvent stamped =
        at.equals(frame.moment())
            ? arrived
            : new BenchEvent.Arrived(new Frame(frame.instrument(), at, frame.valuesSi()));
    boolean floods = at.seconds() - watch.floodsAt < FLOOD_OVER_SECONDS;
    if (watch.lost && !floods && !ears.get(frame.instrument()).isSetAside()) {
      watch.lost = false;
      ahead.addFirst(stamped);
      return new BenchEvent.Back(at, frame.instrument());
    }
    return stamped;
  }

  private BenchEvent noted(BenchEvent.Unread unread) {
    Watch watch = watches[unread.instrument()];
    watch.unread++;
    if (!unread.rejected().bytes().isEmpty()) { // an answer that never came is silence
      watch.unreadAt = last.seconds();
      watch.example = unread.rejected().bytes();
    }
    return unread;
  }

  /** Is an instrument silent for too long, or has it said more than could be taken? */
  private void lookForSilence() {
    Moment now = now();
    boolean slept = now.seconds() - lookedAt > SILENT_SECONDS;
    lookedAt = now.seconds();
    // What waits may be of any of them: one that floods must not hide the silence of another.
    Moment heardUpTo = queue.isEmpty() ? now : taken;
    for (BoundInstrument each : wired) {
      Watch watch = watches[each.index()];
      if (slept) {
        watch.lastFrame = now.seconds();
      }
      if (tellsOfFlood(watch, ears.get(each.index()).overflowed(), now.seconds())) {
        lose(
            each,
            now,
            (watch.overflowed - watch.overflowTold)
                + " readings came faster than they could"
                + " be taken and are thrown away");
        watch.overflowTold = watch.overflowed;
        watch.floodToldAt = now.seconds();
      } else if (ears.get(each.index()).isBusy()) {
        lookForHanging(each, now, slept);
      } else if (!watch.lost
          && heardUpTo.seconds() - watch.lastFrame > longestSilence(each, watch)) {
        lose(each, now, silence(watch, ears.get(each.index()).bytesAtSeconds(), now.seconds()));
      }
    }
  }

  /** A flood is told when it begins, now and then while it goes on, and when it is over. */
  private static boolean tellsOfFlood(Watch watch, long overflowed, double now) {
    if (overflowed > watch.overflowed) {
      watch.overflowed = overflowed;
      watch.floodsAt = now;
    }
    return watch.overflowed > watch.overflowTold
        && (now - watch.floodToldAt >= FLOOD_TOLD_SECONDS
            || now - watch.floodsAt >= FLOOD_OVER_SECONDS);
  }

  /** A driver that hangs holds its own line's thread; its port is taken from it. */
  private void lookForHanging(BoundInstrument instrument, Moment now, boolean slept) {
    LineToQueue ear = ears.get(instrument.index());
    if (!slept && !ear.isSetAside() && ear.busySeconds(now) > HANGING_SECONDS) {
      readers.get(instrument.index()).close();
      lose(instrument, now, ear.setAside("does not come back from a call"));
    }
  }

  private void lose(BoundInstrument instrument, Moment now, String reason) {
    watches[instrument.index()].lost = true;
    last = now;
    ahead.add(new BenchEvent.Lost(now, instrument.index(), reason));
  }

  private static double longestSilence(BoundInstrument instrument, Watch watch) {
    if (instrument.isByHand()) {
      return Double.POSITIVE_INFINITY;
    }
    boolean speaksOften = watch.usualGap < 1 || !watch.heard && watch.unread > 2;
    return speaksOften ? SILENT_SECONDS : SILENT_SLOW_SECONDS;
  }

  /**
   * A silent line and one whose bytes mean nothing have other causes: only the latter is quoted. Of
   * a line without end only the beginning was ever told as unread.
   *
   * @param bytesAt when bytes last came [s]; NaN: never
   */
  private static String silence(Watch watch, double bytesAt, double now) {
    boolean speaks = now - bytesAt < SILENT_SECONDS && !watch.example.isEmpty();
    double silent = now - Math.max(watch.lastFrame, watch.unreadAt);
    return silent >= SILENT_SECONDS && !speaks
        ? "nothing at all has come for "
            + Math.round(silent)
            + " s: is it on, is the cable in, is it the right port?"
        : "what comes does not fit its sheet: \""
            + watch.example
            + "\", and nothing that fits has come for "
            + Math.round(now - watch.lastFrame)
            + " s: is it the right sheet, is the baud rate right?";
  }

  private static boolean takesRoom(BenchEvent happening) {
    return happening instanceof BenchEvent.Arrived || happening instanceof BenchEvent.Unread;
  }
}
