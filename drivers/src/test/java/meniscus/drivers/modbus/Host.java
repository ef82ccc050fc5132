package meniscus.drivers.modbus;

import java.nio.ByteBuffer;
import java.util.concurrent.BlockingQueue;
import meniscus.core.instrument.Decoder;
import meniscus.core.instrument.Next;
import meniscus.core.instrument.Rejected;
import meniscus.core.instrument.Sink;
import meniscus.core.time.Moment;
import meniscus.drivers.line.LineListener;

/** Reads a line by a decoder, and hears what it says as text. */
record Host(Decoder decoder, BlockingQueue<String> heard) implements LineListener, Sink {
  @Override
  public Next opened(Moment at) {
    return decoder.opened(at);
  }

  @Override
  public Next bytes(Moment at, ByteBuffer bytes) {
    return decoder.bytes(at, bytes, this);
  }

  @Override
  public Next tick(Moment at) {
    return decoder.tick(at, this);
  }

  @Override
  public void lost(Moment at, String reason) {
    decoder.lost(at);
    heard.add(reason);
  }

  @Override
  public void waiting(Moment at, String reason) {
    heard.add(reason);
  }

  @Override
  public void reading(int channel, double value, Moment moment) {
    heard.add(channel + "=" + value);
  }

  @Override
  public void frame(Moment moment) {
    // Each reading is looked at by itself.
  }

  @Override
  public void rejected(Rejected rejected) {
    heard.add(rejected.reason() + " [" + rejected.bytes() + "]");
  }
}
