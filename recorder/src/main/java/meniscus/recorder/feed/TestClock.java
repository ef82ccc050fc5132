package meniscus.recorder.feed;

import java.time.Clock;
import java.time.Instant;
import java.util.function.LongSupplier;
import java.util.function.Supplier;
import meniscus.core.time.Moment;

/**
 * The monotonic clock of a test, and the wall clock beside it. Where the two part, the wall clock
 * was set or the computer slept.
 */
public final class TestClock implements Supplier<Moment> {

  private final LongSupplier monotonicNanos;
  private final Clock wall;
  private long origin;
  private long partedNanos;

  /** The computer's clocks; the first moment is now. */
  public static TestClock startingAt(Moment first) {
    return new TestClock(System::nanoTime, Clock.systemUTC(), first);
  }

  public TestClock(LongSupplier monotonicNanos, Clock wall, Moment first) {
    this.monotonicNanos = monotonicNanos;
    this.wall = wall;
    this.origin = monotonicNanos.getAsLong() - first.nanos();
    this.partedNanos = wallNanos() - get().nanos();
  }

  @Override
  public synchronized Moment get() {
    return new Moment(monotonicNanos.getAsLong() - origin);
  }

  public Instant utc() {
    return wall.instant();
  }

  /** What the wall clock shows at a moment near now. */
  public Instant utcOf(Moment moment) {
    return utc().minusNanos(get().nanos() - moment.nanos());
  }

  /** Seconds by which the wall clock has run ahead since this was last asked [s]. */
  public synchronized double parted() {
    long apart = wallNanos() - get().nanos();
    double seconds = (apart - partedNanos) * 1e-9;
    partedNanos = apart;
    return seconds;
  }

  /** Moves on, after a sleep in which the monotonic clock stood still. */
  public synchronized void skip(double seconds) {
    origin -= Math.round(seconds * 1e9);
    partedNanos -= Math.round(seconds * 1e9);
  }

  private long wallNanos() {
    Instant now = wall.instant();
    return now.getEpochSecond() * 1_000_000_000L + now.getNano();
  }
}
