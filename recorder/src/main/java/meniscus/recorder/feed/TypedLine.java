package meniscus.recorder.feed;

import java.nio.ByteBuffer;
import java.nio.charset.StandardCharsets;
import java.util.concurrent.BlockingQueue;
import java.util.concurrent.LinkedBlockingQueue;
import java.util.concurrent.TimeUnit;
import meniscus.drivers.line.Line;
import meniscus.drivers.line.LineOpener;

/** What a person types at the program, as the line of an instrument that is read by eye. */
final class TypedLine implements Line {

  /** The kind that a bench file names; also meant where a by-hand sheet has no line at all. */
  static final String KIND = "typed";

  private final BlockingQueue<ByteBuffer> typed;
  private ByteBuffer rest = ByteBuffer.allocate(0);

  private TypedLine(BlockingQueue<ByteBuffer> typed) {
    this.typed = typed;
  }

  static byte[] bytes(String line) {
    return (line + "\n").getBytes(StandardCharsets.ISO_8859_1);
  }

  /** Where typed lines are put, from any thread. */
  static final class Keyboard implements LineOpener {

    private final BlockingQueue<ByteBuffer> typed = new LinkedBlockingQueue<>();

    void type(String line) {
      typed.add(ByteBuffer.wrap(bytes(line)));
    }

    @Override
    public String name() {
      return KIND;
    }

    @Override
    public Line open() {
      return new TypedLine(typed);
    }
  }

  @Override
  public int read(ByteBuffer into, int waitMs) {
    if (!rest.hasRemaining()) {
      try {
        ByteBuffer next = typed.poll(waitMs, TimeUnit.MILLISECONDS);
        if (next == null) {
          return 0;
        }
        rest = next;
      } catch (InterruptedException e) {
        Thread.currentThread().interrupt();
        return 0;
      }
    }
    int count = Math.min(into.remaining(), rest.remaining());
    into.put(rest.slice(rest.position(), count));
    rest.position(rest.position() + count);
    return count;
  }

  /** Nobody reads what is sent to a person. */
  @Override
  public void write(ByteBuffer bytes) {
    bytes.position(bytes.limit());
  }

  @Override
  public void close() {
    // Nothing is held.
  }
}
