package meniscus.drivers.line.rfc2217;

import meniscus.core.instrument.Settings;
import meniscus.drivers.line.Line;
import meniscus.drivers.line.LineKind;
import meniscus.drivers.line.LineLost;
import meniscus.drivers.line.LineOpener;
import meniscus.drivers.line.tcp.TcpKind;

/**
 * A serial port behind a serial server: {@code {"kind": "rfc2217", "host": "10.0.0.20", "port":
 * 2217, "baud": 19200}}; members as of a serial line.
 */
public final class Rfc2217Kind implements LineKind {

  @Override
  public String id() {
    return "rfc2217";
  }

  @Override
  public String summary() {
    return "a serial port on a serial server that sets it as asked (RFC 2217)";
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
    PortSettings wanted = PortSettings.of(settings);
    settings.done();
    return new Opener(TcpKind.opener(host, port), wanted);
  }

  private record Opener(LineOpener connection, PortSettings wanted) implements LineOpener {

    @Override
    public String name() {
      return connection.name();
    }

    @Override
    public Line open() throws LineLost {
      Line connected = connection.open();
      try {
        return Rfc2217Line.negotiated(name(), connected, wanted);
      } catch (LineLost | RuntimeException failed) {
        connected.close();
        throw failed;
      }
    }
  }
}
