package meniscus.recorder.outlet;

import java.io.DataInputStream;
import java.io.IOException;
import java.io.OutputStream;
import java.net.InetAddress;
import java.net.ServerSocket;
import java.net.Socket;
import java.util.concurrent.atomic.AtomicInteger;

/** A broker that takes connections and whatever is sent, and never acknowledges any of it. */
final class SilentBroker implements AutoCloseable {

  private static final int CONNECT = 1; // MQTT 5, 2.1.2
  private static final int PUBLISH = 3;
  private static final int SUBSCRIBE = 8;

  final AtomicInteger published = new AtomicInteger();
  private final ServerSocket door = new ServerSocket(0, 50, InetAddress.getLoopbackAddress());

  SilentBroker() throws IOException {
    Thread thread = new Thread(this::accept, "silent broker");
    thread.setDaemon(true);
    thread.start();
  }

  int port() {
    return door.getLocalPort();
  }

  private void accept() {
    while (!door.isClosed()) {
      try {
        Socket socket = door.accept();
        Thread thread = new Thread(() -> serve(socket), "silent connection");
        thread.setDaemon(true);
        thread.start();
      } catch (IOException closed) {
        return;
      }
    }
  }

  private void serve(Socket socket) {
    try (socket;
        DataInputStream in = new DataInputStream(socket.getInputStream())) {
      OutputStream out = socket.getOutputStream();
      while (true) {
        int kind = in.readUnsignedByte() >> 4;
        byte[] body = in.readNBytes(length(in));
        if (kind == CONNECT) {
          out.write(new byte[] {0x20, 3, 0, 0, 0});
        } else if (kind == SUBSCRIBE) {
          out.write(new byte[] {(byte) 0x90, 4, body[0], body[1], 0, 1});
        } else if (kind == PUBLISH) {
          published.incrementAndGet();
        }
        out.flush();
      }
    } catch (IOException gone) {
      // As it pleases.
    }
  }

  /** A variable byte integer: MQTT 5, 1.5.5. */
  private static int length(DataInputStream in) throws IOException {
    int value = 0;
    int each;
    int shift = 0;
    do {
      each = in.readUnsignedByte();
      value |= (each & 0x7f) << shift;
      shift += 7;
    } while (each > 0x7f);
    return value;
  }

  @Override
  public void close() throws IOException {
    door.close();
  }
}
