package meniscus.core.time;

import java.util.Arrays;

/**
 * Gives recorded readings the times at which they were taken: their own clock's, from the first on.
 * The first ones are held back until the clock is known; a stream without an even clock keeps its
 * times of arrival.
 */
public final class StreamTimes {

  /** So long a clock is waited for: some chunks of a slow gauge [s] … */
  private static final double PATIENCE_SECONDS = 30;

  /** … or so many readings. */
  private static final int MOST_HELD = 4096;

  /** Takes readings at their own times. */
  @FunctionalInterface
  public interface Sink {
    void reading(double seconds, double value);
  }

  private final Sink sink;
  private final StreamClock clock = new StreamClock();
  private double[] seconds = new double[64];
  private double[] values = new double[64];
  private int held;
  private boolean holds = true;

  public StreamTimes(Sink sink) {
    this.sink = sink;
  }

  /**
   * The next reading.
   *
   * @param arrival never falls [s]
   * @param value NaN for one that was dropped
   */
  public void reading(double arrival, double value) {
    double moment = clock.sampled(arrival);
    if (!holds) {
      sink.reading(moment, value);
      return;
    }
    if (held == seconds.length) {
      seconds = Arrays.copyOf(seconds, 2 * held);
      values = Arrays.copyOf(values, 2 * held);
    }
    seconds[held] = arrival;
    values[held++] = value;
    if (clock.isEven() || held == MOST_HELD || arrival - seconds[0] > PATIENCE_SECONDS) {
      release();
    }
  }

  /** No more readings will come. */
  public void finish() {
    if (holds) {
      release();
    }
  }

  private void release() {
    holds = false;
    double last = Double.NEGATIVE_INFINITY;
    for (int i = 0; i < held; i++) {
      double moment = clock.isEven() ? Math.min(seconds[i], clock.moment(i)) : seconds[i];
      last = Math.max(last, moment);
      sink.reading(last, values[i]);
    }
  }
}
