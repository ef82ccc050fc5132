package meniscus.drivers.line.playback;

import java.io.IOException;
import java.nio.ByteBuffer;
import java.util.Optional;
import java.util.concurrent.CountDownLatch;
import java.util.concurrent.TimeUnit;
import meniscus.core.time.Moment;
import meniscus.drivers.line.Line;
import meniscus.drivers.line.LineLost;
import meniscus.drivers.line.playback.Recording.Entry;
import meniscus.drivers.line.playback.Recording.Mark;

/** A recording as a line. Its time is the recording's; what is sent goes nowhere. */
final class PlaybackLine implements Line {

  private final Recording.Source source;
  private final boolean fullSpeed;
  private final CountDownLatch closed = new CountDownLatch(1);

  private Optional<Entry> next;
  private ByteBuffer rest = ByteBuffer.allocate(0);
  private long recordedNanos;
  private final long firstNanos;
  private long startedAtNanos = Long.MIN_VALUE;

  PlaybackLine(Recording.Source source, boolean fullSpeed) throws IOException {
    this.source = source;
    this.fullSpeed = fullSpeed;
    next = source.next();
    firstNanos = next.map(entry -> entry.at().nanos()).orElse(0L);
    recordedNanos = firstNanos;
    skipWhatWasNotReceived();
  }

  @Override
  public int read(ByteBuffer into, int waitMs) throws LineLost {
    if (!rest.hasRemaining()) {
      if (next.isEmpty()) {
        return ENDED;
      }
      if (!reached(next.get().at().nanos(), waitMs)) {
        return 0;
      }
      rest = ByteBuffer.wrap(next.get().bytes());
      advance();
    }
    int count = Math.min(into.remaining(), rest.remaining());
    into.put(rest.slice(rest.position(), count));
    rest.position(rest.position() + count);
    return count;
  }

  /** Passes recorded time, at most {@code waitMs}; tells whether {@code nanos} was reached. */
  private boolean reached(long nanos, int waitMs) throws LineLost {
    long stepNanos = Math.min(nanos - recordedNanos, TimeUnit.MILLISECONDS.toNanos(waitMs));
    if (!fullSpeed && stepNanos > 0) {
      pass(stepNanos);
    }
    recordedNanos += Math.max(0, stepNanos);
    return recordedNanos >= nanos;
  }

  private void pass(long nanos) throws LineLost {
    try {
      if (closed.await(nanos, TimeUnit.NANOSECONDS)) {
        throw new LineLost("the playback was stopped");
      }
    } catch (InterruptedException interrupted) {
      Thread.currentThread().interrupt();
      throw new LineLost("the playback was interrupted", interrupted);
    }
  }

  private void advance() throws LineLost {
    try {
      next = source.next();
      skipWhatWasNotReceived();
    } catch (IOException damaged) {
      throw new LineLost(damaged.getMessage(), damaged);
    }
  }

  private void skipWhatWasNotReceived() throws IOException {
    while (next.isPresent() && next.get().mark() != Mark.RECEIVED) {
      next = source.next();
    }
  }

  @Override
  public void write(ByteBuffer bytes) {
    bytes.position(bytes.limit());
  }

  @Override
  public Moment time(Moment now) {
    if (startedAtNanos == Long.MIN_VALUE) {
      startedAtNanos = now.nanos();
    }
    return new Moment(startedAtNanos + recordedNanos - firstNanos);
  }

  @Override
  public void close() {
    closed.countDown();
    try {
      source.close();
    } catch (IOException nothingToLose) {
      // Only read from: nothing is lost when giving it back fails.
    }
  }
}
