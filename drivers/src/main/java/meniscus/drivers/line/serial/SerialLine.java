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

  private final String path;
  private final SerialPort port;
  private final byte[] bytes = new byte[8192];

  SerialLine(String path, SerialPort port) {
    this.path = path;
    this.port = port;
  }

  @Override
  public int read(ByteBuffer into, int waitMs) throws LineLost {
    if (waitMs < READ_TIMEOUT_MS && !somethingWithin(waitMs)) {
      return 0;
    }
    int count = port.readBytes(bytes, Math.min(bytes.length, into.remaining()));
    if (count < 0) {
      throw lost();
    }
    into.put(bytes, 0, count);
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
