package meniscus.drivers.line;

import java.nio.ByteBuffer;
import java.util.Optional;
import meniscus.core.time.Moment;

/**
 * An open line: bytes in, bytes out. It belongs to the thread that opened it; only {@link #close}
 * may come from another one. Once lost it stays lost: open a new one.
 */
public interface Line extends AutoCloseable {

  /** What {@link #read} answers when nothing will ever come again: a recording has been played. */
  int ENDED = -1;

  /** No read blocks longer than about this, whatever it was asked for [ms]. */
  int LONGEST_WAIT_MS = 200;

  /**
   * Takes what has arrived.
   *
   * @param into has room; bytes are put at its position
   * @param waitMs how long to wait when nothing is there [ms], from 0 to {@link #LONGEST_WAIT_MS}
   * @return number of bytes; 0 when nothing came; {@link #ENDED}
   * @throws LineLost when the line is gone
   */
  int read(ByteBuffer into, int waitMs) throws LineLost;

  /**
   * Sends all bytes between position and limit.
   *
   * @throws LineLost when they could not all be sent
   */
  void write(ByteBuffer bytes) throws LineLost;

  /**
   * The time on this line. On a live line that is the reader's clock; a recording keeps its own.
   *
   * @param now the reader's clock
   */
  default Moment time(Moment now) {
    return now;
  }

  /** What the operator should know of this open line: something is not as it was asked for. */
  default Optional<String> remark() {
    return Optional.empty();
  }

  /** Gives the line back; ends a read in another thread; may be called again. */
  @Override
  void close();
}
