package meniscus.drivers.line.tcp;

import java.io.IOException;
import java.net.Socket;
import java.net.SocketTimeoutException;
import java.nio.ByteBuffer;
import meniscus.drivers.line.Line;
import meniscus.drivers.line.LineLost;

/** A connected socket as a line. */
final class TcpLine implements Line {

  private final String name;
  private final Socket socket;
  private final byte[] bytes = new byte[8192];

  TcpLine(String name, Socket socket) {
    this.name = name;
    this.socket = socket;
  }

  @Override
  public int read(ByteBuffer into, int waitMs) throws LineLost {
    try {
      // Zero would wait for ever.
      socket.setSoTimeout(Math.max(1, waitMs));
      int count = socket.getInputStream().read(bytes, 0, Math.min(bytes.length, into.remaining()));
      if (count < 0) {
        throw new LineLost(name + " has closed the connection");
      }
      into.put(bytes, 0, count);
      return count;
    } catch (SocketTimeoutException quiet) {
      return 0;
    } catch (IOException broken) {
      throw new LineLost(
          "the connection to " + name + " is broken: " + broken.getMessage(), broken);
    }
  }

  @Override
  public void write(ByteBuffer out) throws LineLost {
    byte[] all = new byte[out.remaining()];
    out.get(all);
    try {
      socket.getOutputStream().write(all);
    } catch (IOException broken) {
      throw new LineLost(
          "the connection to " + name + " is broken: " + broken.getMessage(), broken);
    }
  }

  @Override
  public void close() {
    try {
      socket.close();
    } catch (IOException nothingToLose) {
      // The socket is given back by the system even so.
    }
  }
}
