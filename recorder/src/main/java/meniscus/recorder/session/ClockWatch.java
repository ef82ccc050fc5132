package meniscus.recorder.session;

import java.time.Instant;
import java.util.Optional;
import java.util.OptionalDouble;
import meniscus.core.quantity.Text;
import meniscus.core.time.Moment;
import meniscus.recorder.feed.Feed;
import meniscus.recorder.feed.TestClock;

/**
 * Sees when the test's own clock and the one on the wall part: that one was set, or the computer
 * slept. Belongs to the session's thread.
 */
final class ClockWatch {

  /** The two clocks part by more than this [s]. */
  private static final double PARTED_SECONDS = 0.5;

  private final Feed feed;
  private final Optional<TestClock> clock;
  private double lookedAt = Double.NEGATIVE_INFINITY;

  /**
   * @param feed in whose time a look is taken each second
   * @param clock empty on simulated time, which nothing parts from
   */
  ClockWatch(Feed feed, Optional<TestClock> clock) {
    this.feed = feed;
    this.clock = clock;
  }

  /**
   * How far the wall clock ran ahead [s], below zero where it was set back; empty while the two
   * keep together. A test's clock that was left behind has caught up by then.
   */
  OptionalDouble parted() {
    if (clock.isEmpty() || feed.now().seconds() - lookedAt < 1) {
      return OptionalDouble.empty();
    }
    double parted = clock.get().parted();
    boolean apart = Math.abs(parted) > PARTED_SECONDS;
    if (apart && parted > 0) {
      clock.get().skip(parted);
    }
    lookedAt = feed.now().seconds();
    return apart ? OptionalDouble.of(parted) : OptionalDouble.empty();
  }

  /** What the wall clock says at a moment; asked only after the two parted. */
  Instant utcOf(Moment moment) {
    return clock.orElseThrow().utcOf(moment);
  }

  static String words(double parted) {
    long seconds = Math.round(Math.abs(parted));
    String roughly =
        seconds < 60
            ? ""
            : seconds < 3600
                ? " (" + seconds / 60 + " min)"
                : " (" + seconds / 3600 + " h " + seconds % 3600 / 60 + " min)";
    return parted > 0
        ? Text.of(
            "clock jumped or computer slept: the wall clock ran ahead by %.3f s%s; a new segment"
                + " begins",
            parted, roughly)
        : Text.of(
            "clock jumped: the wall clock was set back by %.3f s%s; the test goes on by its own"
                + " clock",
            -parted, roughly);
  }
}
