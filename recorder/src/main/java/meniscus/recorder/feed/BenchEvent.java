package meniscus.recorder.feed;

import java.util.function.Function;
import meniscus.core.instrument.Rejected;
import meniscus.core.pipeline.Frame;
import meniscus.core.time.Moment;

/** Something that happened on a bench's lines. */
public sealed interface BenchEvent {

  Moment moment();

  /** Index in the bench of the instrument it happened to. */
  int instrument();

  default <T> T fold(
      Function<Arrived, T> arrived,
      Function<Unread, T> unread,
      Function<Lost, T> lost,
      Function<Back, T> back,
      Function<Ended, T> ended,
      Function<Remark, T> remark) {
    if (this instanceof Arrived it) {
      return arrived.apply(it);
    }
    if (this instanceof Unread it) {
      return unread.apply(it);
    }
    if (this instanceof Lost it) {
      return lost.apply(it);
    }
    if (this instanceof Back it) {
      return back.apply(it);
    }
    return this instanceof Ended it ? ended.apply(it) : remark.apply((Remark) this);
  }

  /** A frame has arrived. */
  record Arrived(Frame frame) implements BenchEvent {
    @Override
    public Moment moment() {
      return frame.moment();
    }

    @Override
    public int instrument() {
      return frame.instrument();
    }
  }

  /** Bytes could not be read. */
  record Unread(int instrument, Rejected rejected) implements BenchEvent {
    @Override
    public Moment moment() {
      return rejected.at();
    }
  }

  /**
   * An instrument cannot be read: its line is gone or could not be opened, or nothing sensible
   * comes.
   *
   * @param reason for people: what, where, what to do
   */
  record Lost(Moment moment, int instrument, String reason) implements BenchEvent {}

  /** Its first frame after having been lost has arrived. */
  record Back(Moment moment, int instrument) implements BenchEvent {}

  /** A recording has been played to its end. */
  record Ended(Moment moment, int instrument) implements BenchEvent {}

  /** A line is open, but not quite as it was asked for; readings may still come. */
  record Remark(Moment moment, int instrument, String text) implements BenchEvent {}
}
