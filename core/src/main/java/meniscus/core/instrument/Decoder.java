package meniscus.core.instrument;

import java.nio.ByteBuffer;
import meniscus.core.time.Moment;

/**
 * Turns the bytes of one line into readings; asks for nothing else. A pure state machine: the same
 * calls give the same answers, whatever the wall clock or the thread.
 *
 * <p>The stream may be cut anywhere: values, their order and the rejects must not depend on the
 * cuts. A reading's moment is that of the chunk which held the last byte of its frame. Nothing that
 * arrives may throw; what cannot be read goes to {@link Sink#rejected}.
 *
 * <p>Calls come from one thread, moments never fall.
 */
public interface Decoder {

  /** The line is open. */
  Next opened(Moment at);

  /**
   * Bytes have arrived; all of them between position and limit are to be taken.
   *
   * @param buffer borrowed for the call only
   */
  Next bytes(Moment at, ByteBuffer buffer, Sink sink);

  /** The moment asked for by {@link Next#wakeAt()} has come. */
  default Next tick(Moment at, Sink sink) {
    return Next.NOTHING;
  }

  /** The line is gone; half a frame is dropped, {@link #opened} may follow. */
  void lost(Moment at);
}
