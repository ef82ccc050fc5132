package meniscus.recorder.feed;

import java.nio.ByteBuffer;
import java.util.Objects;
import java.util.concurrent.Semaphore;
import java.util.concurrent.atomic.AtomicLong;
import java.util.function.Consumer;
import java.util.function.Supplier;
import meniscus.core.instrument.Next;
import meniscus.core.pipeline.FrameDecoder;
import meniscus.core.time.Moment;
import meniscus.drivers.line.LineListener;
import org.slf4j.Logger;
import org.slf4j.LoggerFactory;

/**
 * Listens to one line, on that line's thread, and puts what it hears into the feed's queue; a
 * driver that throws is set aside.
 */
final class LineToQueue implements LineListener {

  private static final Logger LOG = LoggerFactory.getLogger(LineToQueue.class);

  /**
   * About 40 s of an instrument at 1 kHz: longer than a disk may stall. Each has its own room, so
   * that one that floods takes none of the others'.
   */
  private static final int ROOM = 40_000;

  /** No chunk of bytes holds more frames than this; a driver that gives more is broken. */
  private static final int MOST_IN_ONE_CALL = 20_000;

  private static final String PLAYED_BACK = "playback";

  private final BoundInstrument instrument;
  private final Supplier<Moment> clock;
  private final Consumer<BenchEvent> heard;
  private final FrameDecoder tap;

  /** Room for what nobody has taken yet. */
  private final Semaphore room = new Semaphore(ROOM);

  /** Frames that nobody took in time. */
  private final AtomicLong overflowed = new AtomicLong();

  private final boolean playedBack;
  private int saidInThisCall;

  /** Written by the line's thread and by the one that takes happenings, never taken back. */
  private volatile boolean setAside;

  /** When bytes last came, whatever they meant [s]; NaN: never. */
  private volatile double bytesAt = Double.NaN;

  /** Since when the line's thread has been in a call to the driver [s]; NaN: it is in none. */
  private volatile double busySince = Double.NaN;

  /**
   * @param clock of the feed
   * @param heard takes what happens, on the line's thread
   */
  LineToQueue(BoundInstrument instrument, Supplier<Moment> clock, Consumer<BenchEvent> heard) {
    this.instrument = instrument;
    this.clock = clock;
    this.heard = heard;
    this.playedBack = instrument.kind().equals(PLAYED_BACK);
    this.tap =
        new FrameDecoder(
            instrument.index(),
            instrument.channels(),
            instrument.newDecoder(),
            frame -> said(new BenchEvent.Arrived(frame)),
            rejected -> said(new BenchEvent.Unread(instrument.index(), rejected)));
  }

  /** A frame or a reject has been taken out of the queue. */
  void taken() {
    room.release();
  }

  /** How many frames and rejects were thrown away because nobody took them in time. */
  long overflowed() {
    return overflowed.get();
  }

  boolean isSetAside() {
    return setAside;
  }

  /** Asks the driver nothing any more; the answer says so in words. */
  String setAside(String because) {
    setAside = true;
    return "the driver \""
        + instrument.driver().id()
        + "\" "
        + because
        + " and is set aside; the other instruments go on";
  }

  /** NaN when none ever came. */
  double bytesAtSeconds() {
    return bytesAt;
  }

  boolean isBusy() {
    return !Double.isNaN(busySince);
  }

  /** NaN when in no call. */
  double busySeconds(Moment now) {
    return now.seconds() - busySince;
  }

  /** Throws where that ends a driver's loop without end. */
  private void said(BenchEvent happening) {
    if (setAside || ++saidInThisCall > MOST_IN_ONE_CALL) {
      throw new IllegalStateException("it gives more readings than there were bytes");
    }
    if (room.tryAcquire() || playedBack && waitsForRoom()) {
      heard.accept(happening);
    } else {
      overflowed.incrementAndGet();
    }
  }

  /** A recording can wait; an instrument can not. */
  private boolean waitsForRoom() {
    busySince = Double.NaN;
    try {
      room.acquire();
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
    bytesAt = at.seconds();
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
    tell(new BenchEvent.Lost(at, instrument.index(), reason));
  }

  @Override
  public void waiting(Moment at, String reason) {
    tell(new BenchEvent.Lost(at, instrument.index(), reason));
  }

  @Override
  public void remark(Moment at, String text) {
    tell(new BenchEvent.Remark(at, instrument.index(), text));
  }

  @Override
  public void ended(Moment at) {
    tell(new BenchEvent.Ended(at, instrument.index()));
  }

  private void tell(BenchEvent happening) {
    if (!setAside) {
      heard.accept(happening);
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
      boolean told = setAside;
      String reason = setAside(failed(fault));
      if (!told) {
        heard.accept(new BenchEvent.Lost(at, instrument.index(), reason));
      }
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
