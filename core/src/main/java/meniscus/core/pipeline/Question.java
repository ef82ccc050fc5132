package meniscus.core.pipeline;

import java.util.Objects;
import java.util.OptionalDouble;
import meniscus.core.quantity.Coded;

/**
 * Something besides a rung that a running test would like of its operator; none of it stops a rung.
 *
 * @param kind of question
 * @param liftM the lift it is about [m], where there is one
 * @param typed true when a person must type the answer, since no gauge shows it
 */
public record Question(Kind kind, OptionalDouble liftM, boolean typed) {

  /** What is asked. */
  public enum Kind implements Coded {
    /** What does the dial show on the seat, before the first lift? */
    SEAT_BEFORE,
    /** The same after the last one. */
    SEAT_AFTER,
    /** Shall the suspicion at a lift be confirmed? */
    CONFIRM,
    /** Are the hoses changed, so that the air goes the other way? */
    OTHER_WAY;
  }

  public Question {
    Objects.requireNonNull(kind);
    Objects.requireNonNull(liftM);
  }
}
