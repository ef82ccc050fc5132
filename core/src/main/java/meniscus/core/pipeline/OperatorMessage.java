package meniscus.core.pipeline;

import java.util.Objects;

/**
 * A sentence for the operator.
 *
 * @param kind what it is about
 * @param text what, where, what to do
 */
public record OperatorMessage(Kind kind, String text) {

  /** What a sentence is about. */
  public enum Kind {
    /** The next rung is asked for. */
    NEXT,
    /** A keep is remembered until the average is good. */
    ARMED,
    /** A command could not be done. */
    REFUSED,
    /** A reading was typed, or is to be typed again. */
    TYPED,
    /** The averaging of a rung was broken off. */
    BROKEN_OFF,
    /** The blower does not reach the test pressure. */
    SHORT_PRESSURE,
    /** Something of the bench's upkeep is still to be done. */
    UPKEEP,
    /** The gauges' zeros are to be looked at. */
    ZERO,
    /** How a rung came out again after an interruption. */
    STEP,
    /** The air at a rung is rougher than at its neighbour. */
    ROUGHER,
    /** The dial on the seat: to be read, or what it showed. */
    SEAT,
    /** Something looks like a short side that gives up: confirm it now? */
    CONFIRM,
    /** An instrument is at fault. */
    FAULT,
    /** The disk does not take what is written. */
    DISK,
    /** It takes it again. */
    DISK_AGAIN,
    /** The journal's second copy is not written, or is written again. */
    MIRROR,
    /** All rungs are done. */
    COMPLETE;

    public String word() {
      return name().toLowerCase(java.util.Locale.ROOT);
    }
  }

  public OperatorMessage {
    Objects.requireNonNull(kind);
    Objects.requireNonNull(text);
  }
}
