package meniscus.core.pipeline;

import java.util.Objects;
import java.util.OptionalDouble;
import java.util.OptionalInt;
import java.util.function.Function;
import meniscus.core.quantity.Dimension;
import meniscus.core.quantity.Value;
import meniscus.core.refusal.Refusal;

/** What the operator can ask of a run. */
public sealed interface Command {

  default <T> T fold(
      Function<Keep, T> keep,
      Function<Redo, T> redo,
      Function<Skip, T> skip,
      Function<Undo, T> undo,
      Function<Confirm, T> confirm,
      Function<Seat, T> seat,
      Function<Note, T> note,
      Function<Stop, T> stop) {
    if (this instanceof Keep it) {
      return keep.apply(it);
    }
    if (this instanceof Redo it) {
      return redo.apply(it);
    }
    if (this instanceof Skip it) {
      return skip.apply(it);
    }
    if (this instanceof Undo it) {
      return undo.apply(it);
    }
    if (this instanceof Confirm it) {
      return confirm.apply(it);
    }
    if (this instanceof Seat it) {
      return seat.apply(it);
    }
    return this instanceof Note it ? note.apply(it) : stop.apply((Stop) this);
  }

  /**
   * Keep the rung: as soon as its average is good, or as it stands.
   *
   * @param asItStands do not wait for the average to be good
   */
  record Keep(boolean asItStands) implements Command {}

  /**
   * Throw a value away and take it again.
   *
   * @param rung which one; empty for the one being averaged, else the last kept
   */
  record Redo(OptionalInt rung) implements Command {}

  /** Leave the rung empty. */
  record Skip() implements Command {}

  /** Take the last keep, redo or skip back. */
  record Undo() implements Command {}

  /**
   * Add the experiment that settles a suspicion to the ladder.
   *
   * @param liftM suspected [m]
   */
  record Confirm(double liftM) implements Command {
    public Confirm {
      if (!(liftM > 0 && liftM < 0.1)) {
        throw new Refusal("a valve lift lies between 0 and 100 mm");
      }
    }

    /**
     * @param lift with its unit, such as {@code 0.500 in}
     * @throws Refusal when it is no lift
     */
    public static Confirm of(String lift) {
      return new Confirm(Value.si(lift, Dimension.LENGTH));
    }
  }

  /**
   * The dial is read with the valve shut.
   *
   * @param readM what a person reads [m]; empty for what its channel shows
   */
  record Seat(OptionalDouble readM) implements Command {

    /**
     * @param reading with its unit, such as {@code 0.0005 in}; empty for what the channel shows
     * @throws Refusal when it is no length
     */
    public static Seat of(String reading) {
      return new Seat(
          reading.isEmpty()
              ? OptionalDouble.empty()
              : OptionalDouble.of(Value.si(reading, Dimension.LENGTH)));
    }
  }

  /** Write a remark. */
  record Note(String text) implements Command {
    public Note {
      Objects.requireNonNull(text);
    }
  }

  /** End the test with what is kept. */
  record Stop(String why) implements Command {
    public Stop {
      Objects.requireNonNull(why);
    }
  }
}
