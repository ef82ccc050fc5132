package bench.board;

import java.nio.ByteBuffer;
import meniscus.core.instrument.Decoder;
import meniscus.core.instrument.Next;
import meniscus.core.instrument.Printable;
import meniscus.core.instrument.Rejected;
import meniscus.core.instrument.Sink;
import meniscus.core.time.Moment;

final class LetterDecoder implements Decoder {
  private final double scale;
  private final byte[] frame = new byte[4];
  private final ByteBuffer givenUp = ByteBuffer.allocate(32);
  private int length;

  LetterDecoder(double scale) {
    this.scale = scale;
  }

  @Override
  public Next opened(Moment at) {
    return Next.NOTHING;
  }

  @Override
  public Next bytes(Moment at, ByteBuffer buffer, Sink sink) {
    while (buffer.hasRemaining()) {
      frame[length++] = buffer.get();
      if (length == frame.length) {
        read(at, sink);
      }
    }
    return Next.NOTHING;
  }

  private void read(Moment at, Sink sink) {
    if (frame[0] == 'P' && (frame[0] ^ frame[1] ^ frame[2]) == frame[3]) {
      reject(at, sink);
      sink.reading(0, scale * (short) (frame[1] << 8 | frame[2] & 0xff), at);
      sink.frame(at);
      length = 0;
      return;
    }
    // Out of step: one byte is given up and the next three are looked at again.
    givenUp.put(frame[0]);
    System.arraycopy(frame, 1, frame, 0, 3);
    length = 3;
    if (!givenUp.hasRemaining()) {
      reject(at, sink);
    }
  }

  private void reject(Moment at, Sink sink) {
    if (givenUp.position() > 0) {
      sink.rejected(new Rejected(at, Printable.text(givenUp.flip()), "not a frame"));
      givenUp.clear();
    }
  }

  @Override
  public void lost(Moment at) {
    length = 0;
    givenUp.clear();
  }
}
