package meniscus.drivers.line.serial;

import com.fazecast.jSerialComm.SerialPort;
import java.nio.ByteBuffer;
import java.util.concurrent.TimeUnit;
import java.util.concurrent.locks.LockSupport;
import meniscus.drivers.line.Line;
import meniscus.drivers.line.LineLost;

/**
 * An open serial port.
 *
 * <p>What was measured of the serial library and is built upon: a lost port answers −1 to a read,
 * at once and for ever, and 0 to a write; {@code isOpen()} stays true. Waiting is counted in tenths
 * of a second and must stay below 25.5 s, so it is set once and short; less than a tenth is waited
 * for here.
 */
final class SerialLine implements Line {

  static final int READ_TIMEOUT_MS = 100;

  private static final long POLL_NANOS = 1_000_000;

  /**
   * A stream that speaks without a pause is taken a few lines at a time: to wake for each of a
   * thousand lines a second costs more than all that is done with them. Our own choice: a quarter
   * of what a common USB adapter holds bytes back for (16 ms), so arrival is known no worse.
   */
  private static final long SIP_NANOS = 4_000_000;

  /** Where more has come at once there is no time to rest. */
  private static final int SIP_BYTES = 1024;

  /** Reads in a row that had not to wait; one slow line in pieces has fewer (our own choice). */
  private static final int SIPS_AFTER = 8;

  private final String path;
  private final SerialPort port;
  private int promptReads;

  SerialLine(String path, SerialPort port) {
    this.path = path;
    this.port = port;
  }

  @Override
  public int read(ByteBuffer into, int waitMs) throws LineLost {
    if (waitMs < READ_TIMEOUT_MS && !somethingWithin(waitMs)) {
      return 0;
    }
    if (promptReads >= SIPS_AFTER && waitMs >= READ_TIMEOUT_MS) {
      LockSupport.parkNanos(SIP_NANOS);
    }
    long asked = System.nanoTime();
    int count =
        port.readBytes(into.array(), into.remaining(), into.arrayOffset() + into.position());
    if (count < 0) {
      throw lost();
    }
    boolean prompt = count > 0 && count < SIP_BYTES && System.nanoTime() - asked < SIP_NANOS;
    promptReads = prompt ? promptReads + 1 : 0;
    into.position(into.position() + count);
    return count;
  }

  private boolean somethingWithin(int waitMs) throws LineLost {
    long until = System.nanoTime() + TimeUnit.MILLISECONDS.toNanos(waitMs);
    while (true) {
      int waiting = port.bytesAvailable();
      if (waiting < 0) {
        throw lost();
      }
      if (waiting > 0 || System.nanoTime() - until >= 0) {
        return waiting > 0;
      }
      LockSupport.parkNanos(POLL_NANOS);
    }
  }

  @Override
  public void write(ByteBuffer out) throws LineLost {
    promptReads = 0; // An answer is waited for.
    byte[] all = new byte[out.remaining()];
    out.get(all);
    if (all.length > 0 && port.writeBytes(all, all.length) < all.length) {
      throw lost();
    }
  }

  @Override
  public void close() {
    port.closePort();
  }

  private LineLost lost() {
    return new LineLost(path + " is gone: was the cable or the instrument unplugged?");
  }
}
