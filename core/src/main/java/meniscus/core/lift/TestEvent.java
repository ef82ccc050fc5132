package meniscus.core.lift;

import java.time.Instant;
import java.util.Locale;
import java.util.Objects;
import java.util.Optional;
import java.util.stream.Stream;
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
  public enum Kind {
    SEGMENT,
    RECKONED,
    BEGUN,
    KEPT,
    REDO,
    SKIPPED,
    UNDONE,
    CONFIRM,
    SEAT,
    NOTE,
    LOST,
    BACK,
    REJECTED,
    CLOCK,
    STOPPED;

    /** As written in events.csv: {@code kept}. */
    public String word() {
      return name().toLowerCase(Locale.ROOT);
    }

    public static Optional<Kind> named(String word) {
      return Stream.of(values()).filter(kind -> kind.word().equals(word)).findFirst();
    }
  }

  /** What happened. */
  public sealed interface What {
    Kind kind();

    void tell(Reader reader);
  }

  /** Is told what happened, each thing as what it is. */
  public interface Reader {
    default void segment(Segment segment) {}

    default void reckoned(Reckoned reckoned) {}

    default void begun(Begun begun) {}

    default void kept(Kept kept) {}

    default void redone(Redone redone) {}

    default void skipped(Skipped skipped) {}

    default void undone(Undone undone) {}

    default void confirm(Confirm confirm) {}

    default void seat(Seat seat) {}

    default void lost(Lost lost) {}

    default void back(Back back) {}

    default void said(Said said) {}

    default void unread(Unread unread) {}
  }

  /**
   * A segment begins.
   *
   * @param anchor its calendar time
   */
  public record Segment(Instant anchor) implements What {
    @Override
    public Kind kind() {
      return Kind.SEGMENT;
    }

    @Override
    public void tell(Reader reader) {
      reader.segment(this);
    }
  }

  /**
   * How readings become flow samples from here on, right after a segment's begin. Segments without
   * it are of programs that took the moment of arrival.
   *
   * @param by such as {@code by_stream}
   */
  public record Reckoned(String by) implements What {
    @Override
    public Kind kind() {
      return Kind.RECKONED;
    }

    @Override
    public void tell(Reader reader) {
      reader.reckoned(this);
    }
  }

  /**
   * A rung's averaging begins.
   *
   * @param attempt 1 for the first time at this rung
   * @param aimPa test pressure asked for [Pa]
   * @param segment 1 for the first
   */
  public record Begun(int rung, int attempt, double aimPa, int segment) implements What {
    @Override
    public Kind kind() {
      return Kind.BEGUN;
    }

    @Override
    public void tell(Reader reader) {
      reader.begun(this);
    }
  }

  /** A rung is kept. */
  public record Kept(int rung, int attempt) implements What {
    @Override
    public Kind kind() {
      return Kind.KEPT;
    }

    @Override
    public void tell(Reader reader) {
      reader.kept(this);
    }
  }

  /** The kept value of a rung is thrown away, to be taken again. */
  public record Redone(int rung) implements What {
    @Override
    public Kind kind() {
      return Kind.REDO;
    }

    @Override
    public void tell(Reader reader) {
      reader.redone(this);
    }
  }

  /** A rung is left empty. */
  public record Skipped(int rung) implements What {
    @Override
    public Kind kind() {
      return Kind.SKIPPED;
    }

    @Override
    public void tell(Reader reader) {
      reader.skipped(this);
    }
  }

  /**
   * The last keep, redo or skip is taken back.
   *
   * @param now how the rung stands after that
   * @param step what was taken back
   */
  public record Undone(int rung, RungStands now, Step step) implements What {

    /** What can be taken back. */
    public enum Step {
      KEEP,
      REDO,
      SKIP;

      public String word() {
        return name().toLowerCase(Locale.ROOT);
      }
    }

    @Override
    public Kind kind() {
      return Kind.UNDONE;
    }

    @Override
    public void tell(Reader reader) {
      reader.undone(this);
    }
  }

  /**
   * An experiment is added to the ladder, to settle a suspicion; its rungs follow from this.
   *
   * @param liftM suspected [m]
   * @param controlM a healthy lift [m]; the suspected one where there is none
   * @param highestPa highest test pressure [Pa]
   * @param firstRung number of its first rung
   */
  public record Confirm(double liftM, double controlM, double highestPa, int firstRung)
      implements What {
    @Override
    public Kind kind() {
      return Kind.CONFIRM;
    }

    @Override
    public void tell(Reader reader) {
      reader.confirm(this);
    }
  }

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

    @Override
    public Kind kind() {
      return Kind.SEAT;
    }

    @Override
    public void tell(Reader reader) {
      reader.seat(this);
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

    @Override
    public Kind kind() {
      return Kind.LOST;
    }

    @Override
    public void tell(Reader reader) {
      reader.lost(this);
    }
  }

  /**
   * It is back.
   *
   * @param id as in {@link Lost}
   * @param meanwhile what happened meanwhile, in words; empty when nothing is to be said
   */
  public record Back(String id, String meanwhile) implements What {
    @Override
    public Kind kind() {
      return Kind.BACK;
    }

    @Override
    public void tell(Reader reader) {
      reader.back(this);
    }
  }

  /**
   * Something for people to read that decides nothing.
   *
   * @param kind {@code NOTE} a remark, {@code REJECTED} bytes that could not be read, {@code CLOCK}
   *     the wall clock parted from the monotonic one, {@code STOPPED} why the test was stopped
   */
  public record Said(Kind kind, String text) implements What {
    public Said {
      Objects.requireNonNull(text);
      if (kind != Kind.NOTE
          && kind != Kind.REJECTED
          && kind != Kind.CLOCK
          && kind != Kind.STOPPED) {
        throw new Refusal(kind + " is more than a text");
      }
    }

    @Override
    public void tell(Reader reader) {
      reader.said(this);
    }
  }

  /** An event of a known kind whose detail has not that kind's form: kept as it stands. */
  public record Unread(Kind kind, String detail) implements What {
    @Override
    public void tell(Reader reader) {
      reader.unread(this);
    }
  }

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
