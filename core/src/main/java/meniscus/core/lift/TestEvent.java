package meniscus.core.lift;

import java.util.HashMap;
import java.util.Map;
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
    /**
     * How readings become flow samples from here on, right after a segment's begin; detail: {@code
     * by_stream}. Segments without it are of programs that took the moment of arrival.
     */
    RECKONED,
    /** A rung's averaging begins; detail: {@code rung=1 attempt=1 aim_pa=7000.0 segment=1}. */
    BEGUN,
    /** A rung is kept; detail: {@code rung=1 attempt=1}. */
    KEPT,
    /** The kept value of a rung is thrown away, to be taken again; detail: {@code rung=1}. */
    REDO,
    /** A rung is left empty; detail: {@code rung=1}. */
    SKIPPED,
    /**
     * The last keep, redo or skip is taken back; detail: {@code rung=1 now=open step=keep}, where
     * now says how the rung stands: open, skipped or kept:attempt.
     */
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

  /** The {@code name=value} words of the detail; other words are passed over. */
  public Map<String, String> words() {
    Map<String, String> words = new HashMap<>();
    for (String word : detail.split(" ")) {
      int equals = word.indexOf('=');
      if (equals > 0) {
        words.putIfAbsent(word.substring(0, equals), word.substring(equals + 1));
      }
    }
    return words;
  }

  public TestEvent {
    Objects.requireNonNull(moment);
    Objects.requireNonNull(kind);
    Objects.requireNonNull(detail);
  }
}
