package meniscus.recorder.journal;

import java.io.IOException;
import java.nio.ByteBuffer;

/** Where bytes of the journal can be read that memory no longer holds: another copy of it. */
interface Fallback {

  /**
   * @return bytes read, or −1 when it does not reach that far
   */
  int read(long position, ByteBuffer into) throws IOException;
}
