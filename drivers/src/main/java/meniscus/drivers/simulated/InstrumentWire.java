package meniscus.drivers.simulated;

import java.nio.ByteBuffer;
import java.util.ArrayDeque;
import meniscus.core.time.Moment;

/** Bytes that an instrument has sent and nobody has taken yet, in the order of their arrival. */
final class InstrumentWire {

  /** Nobody listens for longer than this many frames: the oldest are lost, as on a real line. */
  private static final int MOST_CHUNKS = 1 << 16;

  private record Chunk(long atNanos, byte[] bytes) {}

  private final ArrayDeque<Chunk> chunks = new ArrayDeque<>();
  private long lastNanos;
  private int taken;

  void send(long atNanos, byte[] bytes) {
    lastNanos = Math.max(lastNanos, atNanos);
    chunks.add(new Chunk(lastNanos, bytes));
    if (chunks.size() > MOST_CHUNKS) {
      chunks.remove();
      taken = 0;
    }
  }

  /** When the next bytes arrive; later than anything when there are none. */
  long nextNanos() {
    return chunks.isEmpty() ? Long.MAX_VALUE : chunks.peek().atNanos;
  }

  /** Hands over the next chunk. */
  void takeNext(SimulatedBench.Listener listener, String instrument) {
    Chunk chunk = chunks.remove();
    ByteBuffer buffer = ByteBuffer.wrap(chunk.bytes);
    buffer.position(taken);
    taken = 0;
    listener.bytes(instrument, new Moment(chunk.atNanos), buffer);
  }

  /** As many bytes as have arrived by then and fit. */
  int take(long untilNanos, ByteBuffer into) {
    int count = 0;
    while (nextNanos() <= untilNanos && into.hasRemaining()) {
      byte[] bytes = chunks.peek().bytes;
      int length = Math.min(bytes.length - taken, into.remaining());
      into.put(bytes, taken, length);
      count += length;
      taken += length;
      if (taken == bytes.length) {
        chunks.remove();
        taken = 0;
      }
    }
    return count;
  }
}
