package meniscus.recorder.power;

import java.io.BufferedInputStream;
import java.io.BufferedOutputStream;
import java.io.DataInputStream;
import java.io.DataOutputStream;
import java.io.EOFException;
import java.io.IOException;
import java.net.StandardProtocolFamily;
import java.net.UnixDomainSocketAddress;
import java.nio.channels.Channels;
import java.nio.channels.ServerSocketChannel;
import java.nio.channels.SocketChannel;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;

/**
 * A disk over the NBD protocol (network block device; its published description, "newstyle"
 * handshake and simple replies), for one machine. It knows reads, writes and flushes.
 */
final class LoggedDisk implements AutoCloseable {

  private static final long MAGIC = 0x4e42444d41474943L;
  private static final long OPTION = 0x49484156454f5054L;
  private static final long OPTION_REPLY = 0x3e889045565a9L;
  private static final int GO = 7;
  private static final int ABORT = 2;
  private static final int ACK = 1;
  private static final int INFO = 3;
  private static final int UNSUPPORTED = 0x80000001;

  /** Has flags, can flush. */
  private static final int ABILITIES = 1 | 4;

  private static final int REQUEST = 0x25609513;
  private static final int REPLY = 0x67446698;
  private static final int READ = 0;
  private static final int WRITE = 1;
  private static final int DISCONNECT = 2;
  private static final int FLUSH = 3;
  private static final int INVALID = 22;

  private final Path socket;
  private final byte[] image;
  private final List<DiskLog.Event> events = new ArrayList<>();
  private final ServerSocketChannel server;

  /**
   * @param socket where it can be reached; is made
   * @param image what is on it to begin with
   */
  LoggedDisk(Path socket, byte[] image) throws IOException {
    this.socket = socket;
    this.image = image.clone();
    for (int at = 0; at < image.length; at += 4096) {
      byte[] piece = java.util.Arrays.copyOfRange(image, at, Math.min(at + 4096, image.length));
      for (byte each : piece) {
        if (each != 0) {
          events.add(new DiskLog.Write(at, piece));
          break;
        }
      }
    }
    events.add(new DiskLog.Flush());
    server = ServerSocketChannel.open(StandardProtocolFamily.UNIX);
    server.bind(UnixDomainSocketAddress.of(socket));
    Thread thread = new Thread(this::serve, "disk");
    thread.setDaemon(true);
    thread.start();
  }

  Path socket() {
    return socket;
  }

  synchronized void line(String text) {
    events.add(new DiskLog.Line(text));
    notifyAll();
  }

  synchronized DiskLog log() {
    return new DiskLog(image.length, events);
  }

  /** Until so many points were told in all. */
  synchronized void awaitTold(int points, long deadlineNanos) throws InterruptedException {
    while (log().told(events.size()).size() < points) {
      long left = (deadlineNanos - System.nanoTime()) / 1_000_000;
      if (left <= 0) {
        throw new AssertionError("waited for " + points + " points, came: " + lines());
      }
      wait(left);
    }
  }

  private List<DiskLog.Event> lines() {
    return events.stream().filter(DiskLog.Line.class::isInstance).toList();
  }

  @Override
  public void close() throws IOException {
    server.close();
    java.nio.file.Files.deleteIfExists(socket);
  }

  private void serve() {
    try (SocketChannel channel = server.accept();
        DataInputStream in =
            new DataInputStream(new BufferedInputStream(Channels.newInputStream(channel)));
        DataOutputStream out =
            new DataOutputStream(
                new BufferedOutputStream(Channels.newOutputStream(channel), 1 << 16))) {
      if (agreed(in, out)) {
        while (answered(in, out)) {
          out.flush();
        }
      }
    } catch (EOFException e) {
      // The machine was killed.
    } catch (IOException e) {
      line("disk: " + e);
    }
  }

  private boolean agreed(DataInputStream in, DataOutputStream out) throws IOException {
    out.writeLong(MAGIC);
    out.writeLong(OPTION);
    out.writeShort(3);
    out.flush();
    in.readInt();
    while (true) {
      in.readLong();
      int option = in.readInt();
      in.skipNBytes(in.readInt());
      if (option == GO) {
        reply(out, option, INFO, 12);
        out.writeShort(0);
        out.writeLong(image.length);
        out.writeShort(ABILITIES);
        reply(out, option, ACK, 0);
        out.flush();
        return true;
      }
      reply(out, option, option == ABORT ? ACK : UNSUPPORTED, 0);
      out.flush();
      if (option == ABORT) {
        return false;
      }
    }
  }

  private static void reply(DataOutputStream out, int option, int kind, int length)
      throws IOException {
    out.writeLong(OPTION_REPLY);
    out.writeInt(option);
    out.writeInt(kind);
    out.writeInt(length);
  }

  private boolean answered(DataInputStream in, DataOutputStream out) throws IOException {
    if (in.readInt() != REQUEST) {
      throw new IOException("no request");
    }
    in.readShort();
    int kind = in.readShort();
    long handle = in.readLong();
    long at = in.readLong();
    int length = in.readInt();
    byte[] bytes = kind == WRITE ? in.readNBytes(length) : new byte[0];
    if (kind == DISCONNECT) {
      return false;
    }
    boolean inside = at >= 0 && length >= 0 && at + length <= image.length;
    boolean known = kind == READ || kind == WRITE || kind == FLUSH;
    out.writeInt(REPLY);
    out.writeInt(inside && known ? 0 : INVALID);
    out.writeLong(handle);
    if (inside && known) {
      done(kind, at, length, bytes, out);
    }
    return true;
  }

  private synchronized void done(int kind, long at, int length, byte[] bytes, DataOutputStream out)
      throws IOException {
    if (kind == READ) {
      out.write(image, (int) at, length);
    } else if (kind == WRITE) {
      System.arraycopy(bytes, 0, image, (int) at, length);
      events.add(new DiskLog.Write(at, bytes));
    } else {
      events.add(new DiskLog.Flush());
    }
  }
}
