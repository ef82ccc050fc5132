package meniscus.core.lift;

import java.util.Objects;
import java.util.Optional;
import java.util.stream.Stream;
import meniscus.core.time.Moment;

/**
 * Something that happened in a test: what samples alone do not tell. Samples and events together
 * give the lift points again.
 *
 * @param moment when; never falls from event to event
 * @param afterRow number of sample rows received before it
 * @param kind what
 * @param detail kind by kind, see {@link Kind}
 */
public record TestEvent(Moment moment, long afterRow, Kind kind, String detail) {

  /** The kinds, with the form of their detail. */
  public enum Kind {
    /** A segment begins; detail: its UTC anchor, ISO 8601 with nanoseconds. */
    SEGMENT,
    /** A rung's averaging begins; detail: rung number, attempt, window number. */
    BEGUN,
    /** A rung is kept; detail: rung number, attempt. */
    KEPT,
    /** The kept value of a rung is thrown away, to be taken again; detail: rung number. */
    REDO,
    /** A rung is left empty; detail: rung number. */
    SKIPPED,
    /** The last keep, redo or skip is taken back; detail: what was taken back. */
    UNDONE,
    /** A remark; detail: its text. */
    NOTE,
    /** Gauges were zeroed; detail: channel=offset pairs. */
    ZEROED,
    /** An instrument is gone; detail: its id and why. */
    LOST,
    /** An instrument is back; detail: its id. */
    BACK,
    /** Bytes could not be read; detail: instrument, reason, bytes. */
    REJECTED,
    /** The wall clock parted from the monotonic clock; detail: by how many seconds. */
    CLOCK,
    /** The test is stopped; detail: why. */
    STOPPED;

    /** As written in events.csv: {@code kept}. */
    public String word() {
      return name().toLowerCase(java.util.Locale.ROOT);
    }

    public static Optional<Kind> named(String word) {
      return Stream.of(values()).filter(kind -> kind.word().equals(word)).findFirst();
    }
  }

  public TestEvent {
    Objects.requireNonNull(moment);
    Objects.requireNonNull(kind);
    Objects.requireNonNull(detail);
  }
}
