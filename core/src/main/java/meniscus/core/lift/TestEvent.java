package meniscus.core.lift;

import java.time.Instant;
import java.util.Objects;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.stream.Stream;
import meniscus.core.quantity.Coded;
import meniscus.core.quantity.Worded;
import meniscus.core.refusal.Refusal;
import meniscus.core.time.Moment;

/**
 * Something that happened in a test: what samples alone do not tell. Samples and events together
 * give the lift points again.
 *
 * @param moment when; never falls from event to event
 * @param afterRow number of sample rows received before it
 * @param what happened
 */
public record TestEvent(Moment moment, long afterRow, What what) {
  /** The kinds, as files name them. */
  public enum Kind implements Coded {
    SEGMENT(Segment.class),
    RECKONED(Reckoned.class),
    BEGUN(Begun.class),
    KEPT(Kept.class),
    REDO(Redone.class),
    SKIPPED(Skipped.class),
    UNDONE(Undone.class),
    CONFIRM(Confirm.class),
    SEAT(Seat.class),
    NOTE(Said.class),
    LOST(Lost.class),
    BACK(Back.class),
    REJECTED(Said.class),
    CLOCK(Said.class),
    STOPPED(Said.class);

    private final Class<? extends What> of;

    Kind(Class<? extends What> of) {
      this.of = of;
    }

    public static Optional<Kind> named(String word) {
      return Worded.named(values(), word);
    }
  }

  /** What happened. */
  public sealed interface What {
    default Kind kind() {
      return Stream.of(Kind.values())
          .filter(kind -> getClass().equals(kind.of))
          .findFirst()
          .orElseThrow();
    }
  }

  /**
   * A segment begins.
   *
   * @param anchor its calendar time
   */
  public record Segment(Instant anchor) implements What {}

  /**
   * How readings become flow samples from here on, right after a segment's begin. Segments without
   * it are of programs that took the moment of arrival.
   *
   * @param by such as {@code by_stream}
   */
  public record Reckoned(String by) implements What {}

  /**
   * A rung's averaging begins.
   *
   * @param attempt 1 for the first time at this rung
   * @param aimPa test pressure asked for [Pa]
   * @param segment 1 for the first
   */
  public record Begun(int rung, int attempt, double aimPa, int segment) implements What {}

  /** A rung is kept. */
  public record Kept(int rung, int attempt) implements What {}

  /** The kept value of a rung is thrown away, to be taken again. */
  public record Redone(int rung) implements What {}

  /** A rung is left empty. */
  public record Skipped(int rung) implements What {}

  /**
   * The last keep, redo or skip is taken back.
   *
   * @param now how the rung stands after that
   * @param step what was taken back
   */
  public record Undone(int rung, RungStands now, Step step) implements What {
    /** What can be taken back. */
    public enum Step implements Coded {
      KEEP,
      REDO,
      SKIP;
    }
  }

  /**
   * An experiment is added to the ladder, to settle a suspicion; its rungs follow from this.
   *
   * @param liftM suspected [m]
   * @param controlM a healthy lift [m]; the suspected one where there is none
   * @param highestPa highest test pressure [Pa]
   * @param pressures how many
   * @param firstRung number of its first rung
   * @param otherWayFromM lift of the highest flow below the suspected one [m], where both are taken
   *     with the air going the other way as well
   */
  public record Confirm(
      double liftM,
      double controlM,
      double highestPa,
      int pressures,
      int firstRung,
      OptionalDouble otherWayFromM)
      implements What {}

  /**
   * The dial was read with the valve shut.
   *
   * @param readM what it showed [m]
   */
  public record Seat(double readM) implements What {
    public Seat {
      if (!(Math.abs(readM) <= SeatReadings.FURTHEST_M)) {
        throw new Refusal("a dial on the seat shows within ±0.5 mm of zero");
      }
    }
  }

  /**
   * An instrument is gone, or the journal's disk.
   *
   * @param id of the instrument; {@link #JOURNAL} for the disk
   */
  public record Lost(String id, String why) implements What {
    /** Is no instrument's id. */
    public static final String JOURNAL = "journal";
  }

  /**
   * It is back.
   *
   * @param id as in {@link Lost}
   * @param meanwhile what happened meanwhile, in words; empty when nothing is to be said
   */
  public record Back(String id, String meanwhile) implements What {}

  /**
   * Something for people to read that decides nothing.
   *
   * @param kind {@code NOTE} a remark, {@code REJECTED} bytes that could not be read, {@code CLOCK}
   *     the wall clock parted from the monotonic one, {@code STOPPED} why the test was stopped
   */
  public record Said(Kind kind, String text) implements What {
    public Said {
      Objects.requireNonNull(text);
      if (!kind.of.equals(Said.class)) {
        throw new Refusal(kind + " is more than a text");
      }
    }
  }

  /** An event of a known kind whose detail has not that kind's form: kept as it stands. */
  public record Unread(Kind kind, String detail) implements What {}

  public TestEvent {
    Objects.requireNonNull(moment);
    Objects.requireNonNull(what);
  }

  public Kind kind() {
    return what.kind();
  }

  /** The same event among other rows. */
  public TestEvent after(long rows) {
    return rows == afterRow ? this : new TestEvent(moment, rows, what);
  }
}
