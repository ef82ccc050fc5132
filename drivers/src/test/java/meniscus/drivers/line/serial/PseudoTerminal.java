package meniscus.drivers.line.serial;

import com.sun.jna.Library;
import com.sun.jna.Memory;
import com.sun.jna.Native;
import com.sun.jna.Pointer;
import java.nio.charset.StandardCharsets;
import java.util.Arrays;
import java.util.concurrent.locks.LockSupport;

/**
 * A serial port made of software: what is written here comes out at {@link #path()}, and the other
 * way round. For tests on Linux, through the C library ({@code posix_openpt}), without any program
 * outside. One thread writes and reads; another may {@link #unplug}.
 *
 * <p>Baud, parity and framing mean nothing here and cannot be tested with it.
 */
public final class PseudoTerminal implements AutoCloseable {

  /** The C functions, as in POSIX.1-2017; constants are those of Linux. */
  private interface C extends Library {
    C LIBRARY = Native.load("c", C.class);

    int posix_openpt(int flags);

    int grantpt(int fd);

    int unlockpt(int fd);

    int ptsname_r(int fd, byte[] name, long size);

    int open(String path, int flags);

    int close(int fd);

    long write(int fd, byte[] bytes, long count);

    long read(int fd, byte[] bytes, long count);

    int poll(Pointer fds, long count, int timeoutMs);

    int tcgetattr(int fd, Pointer termios);

    int tcsetattr(int fd, int when, Pointer termios);

    void cfmakeraw(Pointer termios);

    int setfsuid(int user);
  }

  private static final int READ_WRITE = 2;
  private static final int NOT_CONTROLLING = 0x100;
  private static final int NON_BLOCKING = 0x800;
  private static final short CAN_READ = 1;
  private static final short CAN_WRITE = 4;
  private static final long LONGEST_WAIT_NANOS = 120_000_000_000L;
  private static final int LOOK_AGAIN_MS = 50; // whether it is being unplugged

  private final int master;
  private final int slave;
  private final String path;
  private boolean plugged = true;
  private volatile boolean leaving;

  private PseudoTerminal(int master, int slave, String path) {
    this.master = master;
    this.slave = slave;
    this.path = path;
  }

  /** A new one, with a name that the system chooses. */
  public static PseudoTerminal open() {
    // Never blocking: a close while another thread blocks in a read would not be seen as unplugged.
    int master = C.LIBRARY.posix_openpt(READ_WRITE | NOT_CONTROLLING | NON_BLOCKING);
    byte[] name = new byte[128];
    check(master >= 0, "posix_openpt");
    check(C.LIBRARY.grantpt(master) == 0, "grantpt");
    check(C.LIBRARY.unlockpt(master) == 0, "unlockpt");
    check(C.LIBRARY.ptsname_r(master, name, name.length) == 0, "ptsname_r");
    String path = new String(name, StandardCharsets.US_ASCII).split("\0", 2)[0];
    // Held open so that "raw" stays set while no reader is there.
    int slave = C.LIBRARY.open(path, READ_WRITE | NOT_CONTROLLING);
    check(slave >= 0, "open " + path);
    try (Memory termios = new Memory(256)) {
      check(C.LIBRARY.tcgetattr(slave, termios) == 0, "tcgetattr");
      C.LIBRARY.cfmakeraw(termios);
      check(C.LIBRARY.tcsetattr(slave, 0, termios) == 0, "tcsetattr");
    }
    return new PseudoTerminal(master, slave, path);
  }

  /** What the program under test opens. */
  public String path() {
    return path;
  }

  /** Writes text in ISO 8859-1. */
  public void write(String text) {
    write(text.getBytes(StandardCharsets.ISO_8859_1));
  }

  /**
   * Writes all bytes, waiting while the reader is behind.
   *
   * @throws IllegalStateException when it is unplugged or nobody reads for two minutes
   */
  public synchronized void write(byte[] bytes) {
    long since = System.nanoTime();
    for (int from = 0; from < bytes.length; ) {
      check(plugged && !leaving, "write: unplugged");
      if (!ready(CAN_WRITE, LOOK_AGAIN_MS)) {
        check(System.nanoTime() - since < LONGEST_WAIT_NANOS, "write: nobody reads");
        continue;
      }
      byte[] rest = Arrays.copyOfRange(bytes, from, bytes.length);
      long count = C.LIBRARY.write(master, rest, rest.length);
      from += (int) Math.max(0, count);
      since = System.nanoTime();
    }
  }

  /** Sends like an instrument that nobody may be listening to: what finds no room is gone. */
  public synchronized void spill(String text) {
    byte[] bytes = text.getBytes(StandardCharsets.ISO_8859_1);
    if (plugged && ready(CAN_WRITE, 0)) {
      C.LIBRARY.write(master, bytes, bytes.length);
    }
  }

  /**
   * What the program under test has sent; empty when nothing comes in time. Others may write
   * meanwhile: a reader that held on while it waits would starve them.
   */
  public String read(int timeoutMs) {
    long until = System.nanoTime() + timeoutMs * 1_000_000L;
    String sent = sentSoFar();
    while (sent.isEmpty() && System.nanoTime() < until) {
      LockSupport.parkNanos(500_000);
      sent = sentSoFar();
    }
    return sent;
  }

  private synchronized String sentSoFar() {
    check(plugged, "read: unplugged");
    byte[] bytes = new byte[4096];
    long count = ready(CAN_READ, 0) ? C.LIBRARY.read(master, bytes, bytes.length) : 0;
    return new String(bytes, 0, (int) Math.max(0, count), StandardCharsets.ISO_8859_1);
  }

  /** Pulls the cable out; for ever. */
  public void unplug() {
    leaving = true; // a writer that waits for a reader lets go
    synchronized (this) {
      if (plugged) {
        plugged = false;
        C.LIBRARY.close(slave);
        C.LIBRARY.close(master);
      }
    }
  }

  @Override
  public void close() {
    unplug();
  }

  /**
   * Lets this thread alone open files as another user, so that root can test what others may not.
   *
   * @return the user it was before
   */
  static int openFilesAs(int user) {
    return C.LIBRARY.setfsuid(user);
  }

  private boolean ready(short events, int timeoutMs) {
    try (Memory poll = new Memory(8)) {
      poll.setInt(0, master);
      poll.setShort(4, events);
      poll.setShort(6, (short) 0);
      return C.LIBRARY.poll(poll, 1, timeoutMs) > 0 && (poll.getShort(6) & events) != 0;
    }
  }

  private static void check(boolean fine, String what) {
    if (!fine) {
      throw new IllegalStateException("pseudo-terminal: " + what + " failed");
    }
  }
}
