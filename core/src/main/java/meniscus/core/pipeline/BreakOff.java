package meniscus.core.pipeline;

import java.util.List;
import java.util.function.Function;
import meniscus.core.remark.Remark;

/** Why an average is begun anew, with its numbers; {@link MessageWords#why} says it. */
public sealed interface BreakOff {

  /** After an interruption nothing goes on. */
  record SegmentBegins() implements BreakOff {}

  /**
   * Nothing can be measured without it.
   *
   * @param id of the instrument
   */
  record InstrumentGone(String id) implements BreakOff {}

  /** Or it was never where it should be. */
  record ValveMoved() implements BreakOff {}

  record PressureLeftBand() implements BreakOff {}

  /** What comes now cannot be averaged with what came before. */
  record NothingRead(double seconds) implements BreakOff {}

  /** A gauge that stood still: what came before is of another time. */
  record MovesAgain() implements BreakOff {}

  /**
   * The longest time is over without a value that is worth keeping.
   *
   * @param why what is wrong with it
   */
  record TimeOver(List<Remark> why) implements BreakOff {
    public TimeOver {
      why = List.copyOf(why);
    }
  }

  /** One of these for each of the above, in that order. */
  default <T> T fold(
      Function<SegmentBegins, T> begins,
      Function<InstrumentGone, T> gone,
      Function<ValveMoved, T> moved,
      Function<PressureLeftBand, T> left,
      Function<NothingRead, T> nothing,
      Function<MovesAgain, T> again,
      Function<TimeOver, T> over) {
    if (this instanceof SegmentBegins it) {
      return begins.apply(it);
    }
    if (this instanceof InstrumentGone it) {
      return gone.apply(it);
    }
    if (this instanceof ValveMoved it) {
      return moved.apply(it);
    }
    if (this instanceof PressureLeftBand it) {
      return left.apply(it);
    }
    if (this instanceof NothingRead it) {
      return nothing.apply(it);
    }
    return this instanceof MovesAgain it ? again.apply(it) : over.apply((TimeOver) this);
  }
}
