package meniscus.drivers.line.tcp;

import java.io.IOException;
import java.net.ConnectException;
import java.net.InetSocketAddress;
import java.net.Socket;
import java.net.SocketTimeoutException;
import java.net.StandardSocketOptions;
import jdk.net.ExtendedSocketOptions;
import meniscus.core.instrument.Settings;
import meniscus.drivers.line.Line;
import meniscus.drivers.line.LineKind;
import meniscus.drivers.line.LineLost;
import meniscus.drivers.line.LineOpener;

/** Lines over TCP: {@code {"kind": "tcp", "host": "10.0.0.20", "port": 4001}}. */
public final class TcpKind implements LineKind {

  private static final int CONNECT_TIMEOUT_MS = 3000;

  @Override
  public String id() {
    return "tcp";
  }

  @Override
  public String summary() {
    return "a TCP connection to a network instrument or a serial server";
  }

  @Override
  public int apiVersion() {
    return API_VERSION;
  }

  @Override
  public LineOpener opener(Settings settings) {
    settings.text("kind", id());
    String host = settings.text("host");
    settings.number("port");
    int port = settings.whole("port", 0, 1, 65535);
    settings.done();
    return opener(host, port);
  }

  /** How to connect, for kinds of line that speak something else on top. */
  public static LineOpener opener(String host, int port) {
    return new Opener(host, port);
  }

  private record Opener(String host, int port) implements LineOpener {

    @Override
    public String name() {
      return host + ":" + port;
    }

    @Override
    public Line open() throws LineLost {
      Socket socket = new Socket();
      try {
        socket.connect(new InetSocketAddress(host, port), CONNECT_TIMEOUT_MS);
        socket.setTcpNoDelay(true);
        noticeAPulledCable(socket);
        return new TcpLine(name(), socket);
      } catch (IOException refused) {
        try {
          socket.close();
        } catch (IOException nothingToLose) {
          refused.addSuppressed(nothingToLose);
        }
        throw new LineLost(reason(refused), refused);
      }
    }

    private String reason(IOException refused) {
      if (refused instanceof java.net.UnknownHostException) {
        return "no host \"" + host + "\" is known: check the name, or write its address";
      }
      if (refused instanceof SocketTimeoutException) {
        return name() + " does not answer: is it switched on, and on this network?";
      }
      if (refused instanceof ConnectException) {
        return name()
            + " refuses the connection: is the port right, and free? ("
            + refused.getMessage()
            + ")";
      }
      return name() + " cannot be reached: " + refused.getMessage();
    }

    /** Without this a connection whose cable was pulled looks merely quiet for two hours. */
    private static void noticeAPulledCable(Socket socket) throws IOException {
      socket.setOption(StandardSocketOptions.SO_KEEPALIVE, true);
      if (socket.supportedOptions().contains(ExtendedSocketOptions.TCP_KEEPIDLE)) {
        socket.setOption(ExtendedSocketOptions.TCP_KEEPIDLE, 5);
        socket.setOption(ExtendedSocketOptions.TCP_KEEPINTERVAL, 2);
        socket.setOption(ExtendedSocketOptions.TCP_KEEPCOUNT, 3);
      }
    }
  }
}
