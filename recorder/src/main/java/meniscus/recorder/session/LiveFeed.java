package meniscus.recorder.session;

import java.nio.ByteBuffer;
import java.util.ArrayDeque;
import java.util.ArrayList;
import java.util.Deque;
import java.util.List;
import java.util.Map;
import java.util.Objects;
import java.util.Optional;
import java.util.TreeMap;
import java.util.concurrent.BlockingQueue;
import java.util.concurrent.LinkedBlockingQueue;
import java.util.concurrent.Semaphore;
import java.util.concurrent.TimeUnit;
import java.util.concurrent.atomic.AtomicLong;
import java.util.function.Supplier;
import meniscus.core.bench.Bench;
import meniscus.core.instrument.Channel;
import meniscus.core.instrument.Next;
import meniscus.core.pipeline.Acquisition;
import meniscus.core.pipeline.Frame;
import meniscus.core.time.Moment;
import meniscus.drivers.line.LineListener;
import meniscus.drivers.line.LineOpener;
import meniscus.drivers.line.LineReader;
import org.slf4j.Logger;
import org.slf4j.LoggerFactory;

/** Real lines: one reader thread an instrument, one queue in order of arrival. */
public final class LiveFeed implements Feed {

  private static final Logger LOG = LoggerFactory.getLogger(LiveFeed.class);

  /**
   * About 40 s of an instrument at 1 kHz: longer than a disk may stall. Each has its own room, so
   * that one that floods takes none of the others'.
   */
  private static final int ROOM = 40_000;

  /** No chunk of bytes holds more frames than this; a driver that gives more is broken. */
  private static final int MOST_IN_ONE_CALL = 20_000;

  /** A driver that does not come back from a call for this long never will [s]. */
  private static final double HANGING_SECONDS = 5;

  /** An open line without a frame for this long is as good as gone [s]. */
  private static final double SILENT_SECONDS = 3;

  /** The same for an instrument that speaks every few seconds only [s]. */
  private static final double SILENT_SLOW_SECONDS = 15;

  /** How often silence is looked for [s]. */
  private static final double LOOK_SECONDS = 0.25;

  private static final String TYPED_BY_A_PERSON = "by-hand";
  private static final String PLAYED_BACK = "playback";

  private final Bench bench;
  private final List<Wired> wired;
  private final Supplier<Moment> clock;
  private final BlockingQueue<Happening> queue = new LinkedBlockingQueue<>();
  private final List<LineReader> readers = new ArrayList<>();
  private final List<Ear> ears = new ArrayList<>();
  private final Watch[] watches;
  private final Map<Integer, TypedLine.Keyboard> keyboards = new TreeMap<>();

  // What follows belongs to the thread that takes happenings.
  private final Deque<Happening> ahead = new ArrayDeque<>();
  private Moment last = Moment.START;
  private double lookedAt = Double.NEGATIVE_INFINITY;

  /** What is known of an instrument's liveliness. */
  private static final class Watch {
    /** Frames that nobody took in time; counted on the line's thread. */
    final AtomicLong overflowed = new AtomicLong();

    /** Room for what nobody has taken yet. */
    final Semaphore room = new Semaphore(ROOM);

    double lastFrame = Double.NaN;
    double usualGap = Double.NaN;
    long overflowTold;
    boolean heard;
    boolean lost;
    int unread;
    String example = "";
  }

  /**
   * Opens all lines; those that cannot be opened now are tried again and told as lost.
   *
   * @param clock monotonic
   * @throws IllegalArgumentException when a line's settings do not fit
   */
  public LiveFeed(Bench bench, List<Wired> wired, Supplier<Moment> clock) {
    this.bench = bench;
    this.wired = wired;
    this.clock = clock;
    this.watches = new Watch[wired.size()];
    for (Wired each : wired) {
      watches[each.index()] = new Watch();
      watches[each.index()].lastFrame = clock.get().seconds();
    }
    try {
      for (Wired each : wired) {
        Ear ear = new Ear(each);
        ears.add(ear);
        readers.add(LineReader.start(opener(each), clock, ear));
      }
    } catch (IllegalArgumentException e) {
      close();
      throw e;
    }
  }

  private LineOpener opener(Wired instrument) {
    boolean typed =
        instrument.kind().equals(TypedLine.KIND)
            || instrument.kind().isEmpty() && isByHand(instrument);
    if (!typed) {
      return instrument.opener();
    }
    TypedLine.Keyboard keyboard = new TypedLine.Keyboard();
    keyboards.put(instrument.index(), keyboard);
    return keyboard;
  }

  private static boolean isByHand(Wired instrument) {
    return instrument.driver().id().equals(TYPED_BY_A_PERSON);
  }

  @Override
  public boolean takesTyping() {
    return !keyboards.isEmpty();
  }

  @Override
  public Optional<String> type(String reading) {
    String word = reading.strip().split("[ :=]+", 2)[0];
    List<Integer> meant =
        keyboards.keySet().stream()
            .filter(
                index ->
                    keyboards.size() == 1
                        || wired.get(index).channels().stream()
                            .anyMatch(channel -> channel.name().equals(word)))
            .toList();
    if (meant.size() != 1) {
      return Optional.of(
          keyboards.isEmpty()
              ? "no instrument of this bench is read by eye"
              : "say which channel it is, as \"test_pressure 28.1\"");
    }
    keyboards.get(meant.get(0)).type(reading);
    return Optional.empty();
  }

  @Override
  public Bench bench() {
    return bench;
  }

  @Override
  public List<List<Channel>> channels() {
    return wired.stream().map(Wired::channels).toList();
  }

  @Override
  public Moment now() {
    return later(clock.get());
  }

  @Override
  public void hearAll() throws InterruptedException {
    List<Happening> heard = new ArrayList<>();
    // Nobody has been asked to type anything yet.
    while (!wired.stream().allMatch(each -> watches[each.index()].heard || isByHand(each))) {
      Optional<Happening> next = next(LOOK_SECONDS);
      next.ifPresent(heard::add);
      if (next.isPresent() && next.get() instanceof Happening.Lost lost) {
        throw new BenchFault(wired.get(lost.instrument()).instrument().id() + ": " + lost.reason());
      }
    }
    heard.addAll(ahead);
    ahead.clear();
    ahead.addAll(heard);
  }

  @Override
  public Optional<Happening> next(double waitSeconds) throws InterruptedException {
    if (!ahead.isEmpty()) {
      return Optional.of(ahead.remove());
    }
    if (clock.get().seconds() - lookedAt >= LOOK_SECONDS) {
      lookForSilence();
      if (!ahead.isEmpty()) {
        return Optional.of(ahead.remove());
      }
    }
    Happening happening = queue.poll(Math.round(waitSeconds * 1e6), TimeUnit.MICROSECONDS);
    if (happening == null) {
      return Optional.empty();
    }
    if (takesRoom(happening)) {
      watches[happening.instrument()].room.release();
    }
    last = later(happening.moment());
    Happening seen =
        happening.fold(
            arrived -> noted(arrived, last),
            unread -> noted(unread),
            lost -> {
              watches[lost.instrument()].lost = true;
              return new Happening.Lost(last, lost.instrument(), lost.reason());
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

  private Happening noted(Happening.Arrived arrived, Moment at) {
    Frame frame = arrived.frame();
    Watch watch = watches[frame.instrument()];
    double gap = Math.min(SILENT_SLOW_SECONDS, at.seconds() - watch.lastFrame);
    watch.usualGap = Double.isNaN(watch.usualGap) ? gap : 0.9 * watch.usualGap + 0.1 * gap;
    watch.lastFrame = at.seconds();
    watch.heard = true;
    Happening stamped =
        at.equals(frame.moment())
            ? arrived
            : new Happening.Arrived(new Frame(frame.instrument(), at, frame.valuesSi()));
    if (watch.lost && !ears.get(frame.instrument()).setAside) {
      watch.lost = false;
      ahead.addFirst(stamped);
      return new Happening.Back(at, frame.instrument());
    }
    return stamped;
  }

  private Happening noted(Happening.Unread unread) {
    Watch watch = watches[unread.instrument()];
    watch.unread++;
    watch.example = unread.rejected().bytes();
    return unread;
  }

  /** Is an instrument silent for too long, or has it said more than could be taken? */
  private void lookForSilence() {
    Moment now = now();
    boolean slept = now.seconds() - lookedAt > SILENT_SECONDS;
    lookedAt = now.seconds();
    for (Wired each : wired) {
      Watch watch = watches[each.index()];
      if (slept) {
        watch.lastFrame = now.seconds();
      }
      long overflowed = watch.overflowed.get();
      if (overflowed > watch.overflowTold) {
        lose(
            each,
            now,
            (overflowed - watch.overflowTold)
                + " readings came faster than they could"
                + " be taken and are thrown away");
        watch.overflowTold = overflowed;
      } else if (ears.get(each.index()).isBusy()) {
        lookForHanging(each, now, slept);
      } else if (!watch.lost
          && now.seconds() - watch.lastFrame > longestSilence(each, watch)
          && queue.isEmpty()) {
        lose(each, now, silence(watch, now.seconds() - watch.lastFrame));
      }
    }
  }

  /** A driver that hangs holds its own line's thread; its port is taken from it. */
  private void lookForHanging(Wired instrument, Moment now, boolean slept) {
    Ear ear = ears.get(instrument.index());
    if (!slept && !ear.setAside && ear.busySeconds(now) > HANGING_SECONDS) {
      ear.setAside = true;
      readers.get(instrument.index()).close();
      lose(instrument, now, setAside(instrument, "does not come back from a call"));
    }
  }

  private static String setAside(Wired instrument, String because) {
    return "the driver \""
        + instrument.driver().id()
        + "\" "
        + because
        + " and is set aside; the other instruments go on";
  }

  private void lose(Wired instrument, Moment now, String reason) {
    watches[instrument.index()].lost = true;
    last = now;
    ahead.add(new Happening.Lost(now, instrument.index(), reason));
  }

  private static double longestSilence(Wired instrument, Watch watch) {
    if (isByHand(instrument)) {
      return Double.POSITIVE_INFINITY;
    }
    boolean speaksOften = watch.usualGap < 1 || !watch.heard && watch.unread > 2;
    return speaksOften ? SILENT_SECONDS : SILENT_SLOW_SECONDS;
  }

  private static String silence(Watch watch, double seconds) {
    return "nothing that fits its sheet has come for "
        + Math.round(seconds)
        + " s"
        + (watch.unread == 0
            ? ": is it on, is the cable in, is it the right port?"
            : "; what came was like \""
                + watch.example
                + "\": is it the right sheet, is the baud rate right?");
  }

  private static boolean takesRoom(Happening happening) {
    return happening instanceof Happening.Arrived || happening instanceof Happening.Unread;
  }

  /** Listens to one line, on that line's thread; a driver that throws is set aside. */
  private final class Ear implements LineListener {

    private final Wired instrument;
    private final Acquisition.Tap tap;
    private final boolean playedBack;
    private int saidInThisCall;

    /** Written by the line's thread and by the one that takes happenings, never taken back. */
    private volatile boolean setAside;

    /** Since when the line's thread has been in a call to the driver [s]; NaN: it is in none. */
    private volatile double busySince = Double.NaN;

    Ear(Wired instrument) {
      this.instrument = instrument;
      this.playedBack = instrument.kind().equals(PLAYED_BACK);
      this.tap =
          new Acquisition.Tap(
              instrument.index(),
              instrument.channels(),
              instrument.newDecoder(),
              frame -> said(new Happening.Arrived(frame)),
              rejected -> said(new Happening.Unread(instrument.index(), rejected)));
    }

    boolean isBusy() {
      return !Double.isNaN(busySince);
    }

    /** NaN when in no call. */
    double busySeconds(Moment now) {
      return now.seconds() - busySince;
    }

    /** Throws where that ends a driver's loop without end. */
    private void said(Happening happening) {
      if (setAside || ++saidInThisCall > MOST_IN_ONE_CALL) {
        throw new IllegalStateException("it gives more readings than there were bytes");
      }
      Watch watch = watches[instrument.index()];
      if (watch.room.tryAcquire() || playedBack && waitsForRoom(watch)) {
        queue.add(happening);
      } else {
        watch.overflowed.incrementAndGet();
      }
    }

    /** A recording can wait; an instrument can not. */
    private boolean waitsForRoom(Watch watch) {
      busySince = Double.NaN;
      try {
        watch.room.acquire();
        return true;
      } catch (InterruptedException e) {
        Thread.currentThread().interrupt();
        return false;
      } finally {
        busySince = clock.get().seconds();
      }
    }

    @Override
    public Next opened(Moment at) {
      return guarded(at, () -> tap.opened(at));
    }

    @Override
    public Next bytes(Moment at, ByteBuffer bytes) {
      return guarded(at, () -> tap.bytes(at, bytes));
    }

    @Override
    public Next tick(Moment at) {
      return guarded(at, () -> tap.tick(at));
    }

    @Override
    public void lost(Moment at, String reason) {
      guarded(
          at,
          () -> {
            tap.lost(at);
            return Next.NOTHING;
          });
      tell(new Happening.Lost(at, instrument.index(), reason));
    }

    @Override
    public void waiting(Moment at, String reason) {
      tell(new Happening.Lost(at, instrument.index(), reason));
    }

    @Override
    public void remark(Moment at, String text) {
      tell(new Happening.Remark(at, instrument.index(), text));
    }

    @Override
    public void ended(Moment at) {
      tell(new Happening.Ended(at, instrument.index()));
    }

    private void tell(Happening happening) {
      if (!setAside) {
        queue.add(happening);
      }
    }

    private Next guarded(Moment at, Supplier<Next> call) {
      if (setAside) {
        return Next.NOTHING;
      }
      saidInThisCall = 0;
      busySince = clock.get().seconds();
      try {
        return Objects.requireNonNull(call.get(), "null instead of what it wants next");
      } catch (Throwable fault) {
        tell(new Happening.Lost(at, instrument.index(), setAside(instrument, failed(fault))));
        setAside = true;
        return Next.NOTHING;
      } finally {
        busySince = Double.NaN;
      }
    }

    /** What a plugin throws is a plugin's too: its message may throw again. */
    private String failed(Throwable fault) {
      try {
        LOG.warn("driver {} failed", instrument.driver().id(), fault);
        return "failed (" + fault + ")";
      } catch (Throwable evenThat) {
        return "failed (" + fault.getClass().getName() + ")";
      }
    }
  }
}
