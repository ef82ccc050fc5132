package meniscus.recorder.journal;

import java.time.Duration;

/**
 * How long and how much a journal waits.
 *
 * @param memoryBytes kept in memory while the disk does not take them; above it no more rows
 * @param patience how long a caller waits for the disk before it is told "not yet"
 * @param retry pause before a failed write is tried again
 * @param rowAge rows are handed to the operating system when the oldest is this old
 * @param forceEvery without a reason of its own, the disk is forced this often: what a power cut
 *     may cost
 */
record JournalLimits(
    int memoryBytes, Duration patience, Duration retry, Duration rowAge, Duration forceEvery) {

  static final JournalLimits USUAL =
      new JournalLimits(
          64 << 20,
          Duration.ofSeconds(2),
          Duration.ofMillis(250),
          Duration.ofMillis(100),
          Duration.ofSeconds(2));
}
