package meniscus.drivers.line;

import java.nio.ByteBuffer;
import meniscus.core.instrument.Next;
import meniscus.core.time.Moment;

/**
 * Told by a {@link LineReader}, on the reader's thread, what happens on its line. Moments never
 * fall. The answers are those of a {@link meniscus.core.instrument.Decoder}, which usually stands
 * behind: what to send now, and when to be woken.
 */
public interface LineListener {

  /** The line is open, for the first time or again. */
  Next opened(Moment at);

  /**
   * Bytes have arrived.
   *
   * @param bytes borrowed for the call only
   */
  Next bytes(Moment at, ByteBuffer bytes);

  /** The moment asked for has come. */
  Next tick(Moment at);

  /** The line was opened, but something is not as it was asked for; told once an opening. */
  default void remark(Moment at, String text) {}

  /** The open line says nothing: called after each full second without a byte. */
  default void quiet(Moment at, double silentSeconds) {}

  /** The open line is gone; the reader goes on trying to open it. */
  void lost(Moment at, String reason);

  /**
   * The line could not be opened; told once for each new reason while the reader goes on trying.
   */
  void waiting(Moment at, String reason);

  /** Nothing will come any more: a recording has been played. The reader stops. */
  default void ended(Moment at) {}
}
