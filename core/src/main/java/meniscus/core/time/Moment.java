package meniscus.core.time;

/**
 * A moment on the test's monotonic clock. All arithmetic on time uses it; the wall clock is only
 * shown.
 *
 * @param nanos nanoseconds since the test's first segment began; never falls within a test
 */
public record Moment(long nanos) implements Comparable<Moment> {

  public static final Moment START = new Moment(0);

  public static Moment ofSeconds(double seconds) {
    return new Moment(Math.round(seconds * 1e9));
  }

  public double seconds() {
    return nanos * 1e-9;
  }

  /** Seconds from an earlier moment to this one [s]. */
  public double secondsSince(Moment earlier) {
    return (nanos - earlier.nanos) * 1e-9;
  }

  public Moment plusSeconds(double seconds) {
    return new Moment(nanos + Math.round(seconds * 1e9));
  }

  public boolean isAfter(Moment other) {
    return nanos > other.nanos;
  }

  @Override
  public int compareTo(Moment other) {
    return Long.compare(nanos, other.nanos);
  }
}
