package meniscus.recorder.look;

import java.nio.ByteBuffer;
import java.util.Arrays;
import java.util.List;
import java.util.function.Supplier;
import meniscus.core.instrument.Channel;
import meniscus.core.instrument.Decoder;
import meniscus.core.instrument.Next;
import meniscus.core.instrument.Printable;
import meniscus.core.instrument.Rejected;
import meniscus.core.instrument.Request;
import meniscus.core.instrument.Sink;
import meniscus.core.time.Moment;
import meniscus.drivers.line.LineListener;

/** What a sheet makes of what comes over a line, told step by step and counted. */
public final class SheetTrial implements LineListener, Sink {

  /** Is told what happens, on the line's thread. */
  public interface Trace {

    /** Bytes came, as harmless text. */
    default void received(Moment at, String bytes) {}

    /** Bytes were sent, as harmless text. */
    default void sent(Moment at, String bytes) {}

    /**
     * A whole frame was read.
     *
     * @param values by channel, in the channels' units; NaN: the instrument gave no value
     * @param given which channels the frame held
     */
    default void frame(Moment at, double[] values, boolean[] given) {}

    /** Bytes could not be read. */
    default void rejected(Rejected rejected) {}

    /** Something about the line: opened, lost, not as asked. */
    default void noted(Moment at, String text) {}

    /** Nothing more will come. */
    default void ended() {}
  }

  private final Decoder decoder;
  private final Trace trace;
  private final double[] values;
  private final boolean[] given;
  private volatile int frames;
  private volatile int rejects;
  private boolean failed;

  /**
   * @param channels of the sheet
   * @param decoder new
   */
  public SheetTrial(List<Channel> channels, Decoder decoder, Trace trace) {
    this.decoder = decoder;
    this.trace = trace;
    this.values = new double[channels.size()];
    this.given = new boolean[channels.size()];
    clear();
  }

  /** How many frames were read. */
  public int frames() {
    return frames;
  }

  /** How many were not. */
  public int rejects() {
    return rejects;
  }

  private void clear() {
    Arrays.fill(values, Double.NaN);
    Arrays.fill(given, false);
  }

  @Override
  public Next opened(Moment at) {
    trace.noted(at, "opened");
    return told(at, () -> decoder.opened(at));
  }

  @Override
  public Next bytes(Moment at, ByteBuffer bytes) {
    trace.received(at, Printable.whole(bytes));
    return told(at, () -> decoder.bytes(at, bytes, this));
  }

  @Override
  public Next tick(Moment at) {
    return told(at, () -> decoder.tick(at, this));
  }

  @Override
  public void lost(Moment at, String reason) {
    trace.noted(at, "lost: " + reason);
    clear();
    told(
        at,
        () -> {
          decoder.lost(at);
          return Next.NOTHING;
        });
  }

  @Override
  public void waiting(Moment at, String reason) {
    trace.noted(at, reason);
  }

  @Override
  public void remark(Moment at, String text) {
    trace.noted(at, text);
  }

  @Override
  public void ended(Moment at) {
    trace.noted(at, "ended");
    trace.ended();
  }

  @Override
  public void reading(int channel, double value, Moment moment) {
    values[channel] = value;
    given[channel] = true;
  }

  @Override
  public void frame(Moment moment) {
    frames++;
    trace.frame(moment, values.clone(), given.clone());
    clear();
  }

  @Override
  public void rejected(Rejected rejected) {
    rejects++;
    trace.rejected(rejected);
  }

  private Next told(Moment at, Supplier<Next> call) {
    if (failed) {
      return Next.NOTHING;
    }
    try {
      Next next = call.get();
      for (Request request : next.requests()) {
        trace.sent(at, Printable.whole(request.bytes()));
      }
      return next;
    } catch (RuntimeException | Error fault) {
      failed = true;
      trace.noted(at, "the driver failed and is not asked any more: " + fault);
      trace.ended();
      return Next.NOTHING;
    }
  }
}
