package meniscus.core.pipeline;

import java.nio.ByteBuffer;
import java.util.Arrays;
import java.util.List;
import java.util.function.Consumer;
import meniscus.core.instrument.Channel;
import meniscus.core.instrument.Decoder;
import meniscus.core.instrument.Next;
import meniscus.core.instrument.Rejected;
import meniscus.core.instrument.Sink;
import meniscus.core.time.Moment;

/** The first half of the path, for one instrument: feeds its decoder and gathers its frames. */
public final class FrameDecoder implements Sink {

  private final int instrument;
  private final Decoder decoder;
  private final List<Channel> channels;
  private final Consumer<Frame> frames;
  private final Consumer<Rejected> rejects;
  private double[] row;

  /**
   * @param instrument index in the bench
   * @param channels of it
   * @param decoder of its line
   * @param frames takes each complete frame
   * @param rejects takes what could not be read
   */
  public FrameDecoder(
      int instrument,
      List<Channel> channels,
      Decoder decoder,
      Consumer<Frame> frames,
      Consumer<Rejected> rejects) {
    this.instrument = instrument;
    this.channels = List.copyOf(channels);
    this.decoder = decoder;
    this.frames = frames;
    this.rejects = rejects;
    this.row = emptyRow();
  }

  public Next opened(Moment at) {
    return decoder.opened(at);
  }

  public Next bytes(Moment at, ByteBuffer buffer) {
    return decoder.bytes(at, buffer, this);
  }

  public Next tick(Moment at) {
    return decoder.tick(at, this);
  }

  public void lost(Moment at) {
    decoder.lost(at);
    row = emptyRow();
  }

  @Override
  public void reading(int channel, double value, Moment moment) {
    row[channel] =
        Double.isFinite(value) ? channels.get(channel).unit().toSi(value) : Frame.OVERLOAD;
  }

  @Override
  public void frame(Moment moment) {
    if (isEmpty(row)) {
      return;
    }
    Frame complete = new Frame(instrument, moment, row);
    row = emptyRow();
    frames.accept(complete);
  }

  @Override
  public void rejected(Rejected rejected) {
    rejects.accept(rejected);
  }

  private static boolean isEmpty(double[] row) {
    for (double value : row) {
      if (!Double.isNaN(value)) {
        return false;
      }
    }
    return true;
  }

  private double[] emptyRow() {
    double[] values = new double[channels.size()];
    Arrays.fill(values, Double.NaN);
    return values;
  }
}
