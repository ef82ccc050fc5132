package meniscus.drivers.line;

import java.nio.ByteBuffer;
import java.util.Objects;
import java.util.Optional;
import java.util.concurrent.Semaphore;
import java.util.concurrent.TimeUnit;
import java.util.concurrent.locks.LockSupport;
import java.util.function.Supplier;
import meniscus.core.instrument.Next;
import meniscus.core.instrument.Request;
import meniscus.core.time.Moment;

/**
 * Owns one line on one thread: opens it, reads it, stamps what arrives, sends what the listener
 * wants sent, and opens it anew whenever it is lost.
 *
 * <pre>{@code
 * try (LineReader reader = LineReader.start(Lines.opener(settings), clock, listener)) { … }
 * }</pre>
 *
 * <p>A listener that throws ends the reader: the line is given back and the thread's handler of
 * uncaught exceptions is told.
 */
public final class LineReader implements AutoCloseable {

  /** The first try to open anew comes after this, each later one after twice as long. */
  private static final long FIRST_PAUSE_MS = 50;

  /** A device that is plugged in again is found well within a second. */
  private static final long LONGEST_PAUSE_MS = 250;

  private static final int BUFFER_BYTES = 8192;

  /** A line that keeps answering "nothing" at once must not cost a core. */
  private static final long BREATH_NANOS = 1_000_000;

  private static final double SUSPICIOUSLY_SHORT_S = 1e-4;

  private final LineOpener opener;
  private final Supplier<Moment> clock;
  private final LineListener listener;
  private final Thread thread;
  private final ByteBuffer buffer = ByteBuffer.allocate(BUFFER_BYTES);
  private final Semaphore stop = new Semaphore(0);
  private volatile boolean closed;
  private volatile Line current;

  // What follows belongs to the reader's thread.
  private Optional<Moment> wakeAt = Optional.empty();
  private Moment now = Moment.START;
  private Moment lastByteAt = Moment.START;
  private Moment lastTold = Moment.START;
  private String toldReason = "";

  private LineReader(LineOpener opener, Supplier<Moment> clock, LineListener listener) {
    this.opener = Objects.requireNonNull(opener);
    this.clock = Objects.requireNonNull(clock);
    this.listener = Objects.requireNonNull(listener);
    this.thread = new Thread(this::run, "line " + opener.name());
    this.thread.setDaemon(true);
  }

  /**
   * Starts to read a line.
   *
   * @param clock monotonic; read at each read of the line
   */
  public static LineReader start(LineOpener opener, Supplier<Moment> clock, LineListener listener) {
    LineReader reader = new LineReader(opener, clock, listener);
    reader.thread.start();
    return reader;
  }

  /** Gives the line back, even when the listener hangs; does not wait for the thread. */
  @Override
  public void close() {
    closed = true;
    stop.release();
    closeCurrent();
  }

  /**
   * Waits for the thread to end after {@link #close} or the end of a recording.
   *
   * @return whether it has ended
   */
  public boolean join(long milliseconds) throws InterruptedException {
    thread.join(milliseconds);
    return !thread.isAlive();
  }

  private void closeCurrent() {
    Line line = current;
    if (line != null) {
      line.close();
    }
  }

  private void run() {
    long pauseMs = FIRST_PAUSE_MS;
    while (!closed) {
      try (Line line = opener.open()) {
        current = line;
        toldReason = "";
        Moment openedAt = time(line);
        if (untilLost(line)) {
          return;
        }
        // A device that opens and is lost at once, again and again, is not asked without pause.
        if (now.secondsSince(openedAt) > 1) {
          pauseMs = FIRST_PAUSE_MS;
        }
      } catch (LineLost refused) {
        tellOnce(refused.getMessage());
      } finally {
        current = null;
      }
      pause(pauseMs);
      pauseMs = Math.min(2 * pauseMs, LONGEST_PAUSE_MS);
    }
  }

  /** Whether the line has ended for good. */
  private boolean untilLost(Line line) {
    try {
      lastByteAt = now;
      lastTold = now;
      line.remark().ifPresent(text -> listener.remark(now, text));
      take(line, listener.opened(now));
      while (!closed) {
        if (!readOnce(line)) {
          listener.ended(now);
          return true;
        }
      }
    } catch (LineLost lost) {
      if (!closed) {
        listener.lost(time(line), lost.getMessage());
      }
    } finally {
      wakeAt = Optional.empty();
    }
    return false;
  }

  /** Whether more may come. */
  private boolean readOnce(Line line) throws LineLost {
    Moment before = time(line);
    int waitMs = waitMs(before);
    buffer.clear();
    int count = line.read(buffer, waitMs);
    Moment at = time(line);
    if (wakeAt.isPresent() && !wakeAt.get().isAfter(at)) {
      take(line, listener.tick(at));
    }
    if (count > 0) {
      lastByteAt = at;
      lastTold = at;
      take(line, listener.bytes(at, buffer.flip()));
      return true;
    }
    if (at.secondsSince(lastTold) >= 1) {
      lastTold = at;
      listener.quiet(at, at.secondsSince(lastByteAt));
    }
    if (count == 0 && waitMs > 0 && at.secondsSince(before) < SUSPICIOUSLY_SHORT_S) {
      LockSupport.parkNanos(BREATH_NANOS);
    }
    return count != Line.ENDED;
  }

  /** The line's time, which never falls. */
  private Moment time(Line line) {
    Moment read = line.time(clock.get());
    if (read.isAfter(now)) {
      now = read;
    }
    return now;
  }

  private int waitMs(Moment from) {
    if (wakeAt.isEmpty()) {
      return Line.LONGEST_WAIT_MS;
    }
    double leftMs = Math.ceil(wakeAt.get().secondsSince(from) * 1e3);
    return (int) Math.max(0, Math.min(Line.LONGEST_WAIT_MS, leftMs));
  }

  private void take(Line line, Next next) throws LineLost {
    wakeAt = next.wakeAt();
    for (Request request : next.requests()) {
      line.write(request.bytes());
    }
  }

  private void tellOnce(String reason) {
    if (!closed && !reason.equals(toldReason)) {
      toldReason = reason;
      Moment read = clock.get();
      now = read.isAfter(now) ? read : now;
      listener.waiting(now, reason);
    }
  }

  private void pause(long milliseconds) {
    try {
      if (!closed && stop.tryAcquire(milliseconds, TimeUnit.MILLISECONDS)) {
        closed = true;
      }
    } catch (InterruptedException interrupted) {
      closed = true;
    }
  }
}
