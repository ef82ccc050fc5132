package meniscus.recorder.session;

import java.nio.ByteBuffer;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.concurrent.BlockingQueue;
import java.util.concurrent.LinkedBlockingQueue;
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
import meniscus.drivers.line.LineReader;
import meniscus.drivers.line.Lines;
import org.slf4j.Logger;
import org.slf4j.LoggerFactory;

/** Real lines: one reader thread an instrument, one queue in order of arrival. */
public final class LiveFeed implements Feed {

  private static final Logger LOG = LoggerFactory.getLogger(LiveFeed.class);

  /** About 40 s of three instruments at 1 kHz: longer than a disk may stall. */
  private static final int ROOM = 131_072;

  /** An open line without a frame for this long is as good as gone [s]. */
  private static final double SILENT_SECONDS = 3;

  /** The same for an instrument that speaks every few seconds only [s]. */
  private static final double SILENT_SLOW_SECONDS = 15;

  private final Bench bench;
  private final List<Wired> wired;
  private final Supplier<Moment> clock;
  private final BlockingQueue<Happening> queue = new LinkedBlockingQueue<>(ROOM);
  private final AtomicLong overflowed = new AtomicLong();
  private final List<LineReader> readers = new ArrayList<>();
  private final Watch[] watches;
  private Moment last = Moment.START;

  /** What is known of an instrument's liveliness; belongs to the thread that takes happenings. */
  private static final class Watch {
    double lastFrame = Double.NaN;
    double usualGap = Double.NaN;
    boolean lost;
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
        readers.add(LineReader.start(Lines.opener(each.line()), clock, new Ear(each)));
      }
    } catch (IllegalArgumentException e) {
      close();
      throw e;
    }
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
  public Optional<Happening> next(double waitSeconds) throws InterruptedException {
    Happening happening = queue.poll(Math.round(waitSeconds * 1e6), TimeUnit.MICROSECONDS);
    if (happening == null) {
      return silent();
    }
    last = later(happening.moment());
    return Optional.of(
        happening.<Happening>fold(
            arrived -> noted(arrived, last),
            unread -> unread,
            lost -> {
              watches[lost.instrument()].lost = true;
              return new Happening.Lost(last, lost.instrument(), lost.reason());
            },
            back -> back,
            ended -> ended));
  }

  /** Frames that were thrown away because nobody took them in time. */
  public long overflowed() {
    return overflowed.get();
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
    double gap = at.seconds() - watch.lastFrame;
    watch.usualGap = Double.isNaN(watch.usualGap) ? gap : 0.9 * watch.usualGap + 0.1 * gap;
    watch.lastFrame = at.seconds();
    if (watch.lost) {
      watch.lost = false;
      queue.offer(new Happening.Arrived(new Frame(frame.instrument(), at, frame.valuesSi())));
      return new Happening.Back(at, frame.instrument());
    }
    return at.equals(frame.moment())
        ? arrived
        : new Happening.Arrived(new Frame(frame.instrument(), at, frame.valuesSi()));
  }

  /** Nothing came: is an instrument silent for too long? */
  private Optional<Happening> silent() {
    Moment now = now();
    for (Wired each : wired) {
      Watch watch = watches[each.index()];
      double limit = watch.usualGap < 1 ? SILENT_SECONDS : SILENT_SLOW_SECONDS;
      if (!watch.lost && now.seconds() - watch.lastFrame > limit) {
        watch.lost = true;
        last = now;
        return Optional.of(
            new Happening.Lost(
                now,
                each.index(),
                "nothing that fits its sheet has come from "
                    + each.instrument().id()
                    + " for "
                    + Math.round(limit)
                    + " s: is it on, is the baud rate right, is it the right sheet?"));
      }
    }
    return Optional.empty();
  }

  private void put(Happening happening) {
    if (!queue.offer(happening)) {
      overflowed.incrementAndGet();
    }
  }

  /** Listens to one line, on that line's thread; a driver that throws is set aside. */
  private final class Ear implements LineListener {

    private final Wired instrument;
    private final Acquisition.Tap tap;
    private boolean setAside;

    Ear(Wired instrument) {
      this.instrument = instrument;
      this.tap =
          new Acquisition.Tap(
              instrument.index(),
              instrument.channels(),
              instrument.newDecoder(),
              frame -> put(new Happening.Arrived(frame)),
              rejected -> put(new Happening.Unread(instrument.index(), rejected)));
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
      put(new Happening.Lost(at, instrument.index(), reason));
    }

    @Override
    public void waiting(Moment at, String reason) {
      put(new Happening.Lost(at, instrument.index(), reason));
    }

    @Override
    public void ended(Moment at) {
      put(new Happening.Ended(at, instrument.index()));
    }

    private Next guarded(Moment at, Supplier<Next> call) {
      if (setAside) {
        return Next.NOTHING;
      }
      try {
        return call.get();
      } catch (RuntimeException | LinkageError | StackOverflowError | OutOfMemoryError fault) {
        setAside = true;
        LOG.warn("driver {} set aside", instrument.driver().id(), fault);
        put(
            new Happening.Lost(
                at,
                instrument.index(),
                "the driver \""
                    + instrument.driver().id()
                    + "\" failed ("
                    + fault
                    + ") and is set aside; the other instruments go on"));
        return Next.NOTHING;
      }
    }
  }
}
