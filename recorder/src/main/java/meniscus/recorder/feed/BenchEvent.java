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

  <T> T fold(
      Function<Arrived, T> arrived,
      Function<Unread, T> unread,
      Function<Lost, T> lost,
      Function<Back, T> back,
      Function<Ended, T> ended,
      Function<Remark, T> remark);

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

    @Override
    public <T> T fold(
        Function<Arrived, T> arrived,
        Function<Unread, T> unread,
        Function<Lost, T> lost,
        Function<Back, T> back,
        Function<Ended, T> ended,
        Function<Remark, T> remark) {
      return arrived.apply(this);
    }
  }

  /** Bytes could not be read. */
  record Unread(int instrument, Rejected rejected) implements BenchEvent {
    @Override
    public Moment moment() {
      return rejected.at();
    }

    @Override
    public <T> T fold(
        Function<Arrived, T> arrived,
        Function<Unread, T> unread,
        Function<Lost, T> lost,
        Function<Back, T> back,
        Function<Ended, T> ended,
        Function<Remark, T> remark) {
      return unread.apply(this);
    }
  }

  /**
   * An instrument cannot be read: its line is gone or could not be opened, or nothing sensible
   * comes.
   *
   * @param reason for people: what, where, what to do
   */
  record Lost(Moment moment, int instrument, String reason) implements BenchEvent {
    @Override
    public <T> T fold(
        Function<Arrived, T> arrived,
        Function<Unread, T> unread,
        Function<Lost, T> lost,
        Function<Back, T> back,
        Function<Ended, T> ended,
        Function<Remark, T> remark) {
      return lost.apply(this);
    }
  }

  /** Its first frame after having been lost has arrived. */
  record Back(Moment moment, int instrument) implements BenchEvent {
    @Override
    public <T> T fold(
        Function<Arrived, T> arrived,
        Function<Unread, T> unread,
        Function<Lost, T> lost,
        Function<Back, T> back,
        Function<Ended, T> ended,
        Function<Remark, T> remark) {
      return back.apply(this);
    }
  }

  /** A recording has been played to its end. */
  record Ended(Moment moment, int instrument) implements BenchEvent {
    @Override
    public <T> T fold(
        Function<Arrived, T> arrived,
        Function<Unread, T> unread,
        Function<Lost, T> lost,
        Function<Back, T> back,
        Function<Ended, T> ended,
        Function<Remark, T> remark) {
      return ended.apply(this);
    }
  }

  /** A line is open, but not quite as it was asked for; readings may still come. */
  record Remark(Moment moment, int instrument, String text) implements BenchEvent {
    @Override
    public <T> T fold(
        Function<Arrived, T> arrived,
        Function<Unread, T> unread,
        Function<Lost, T> lost,
        Function<Back, T> back,
        Function<Ended, T> ended,
        Function<Remark, T> remark) {
      return remark.apply(this);
    }
  }
}
