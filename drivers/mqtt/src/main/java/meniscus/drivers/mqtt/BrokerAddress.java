package meniscus.drivers.mqtt;

import java.net.URI;
import java.net.URISyntaxException;
import java.util.Optional;
import java.util.Set;
import meniscus.core.instrument.Settings;
import meniscus.core.refusal.Refusal;

/**
 * Where a broker is: {@code mqtts://host} or {@code mqtts://host:8883}. Without encryption only on
 * this computer, to try things.
 *
 * @param host name or address
 * @param port of it
 * @param encrypted by TLS
 */
record BrokerAddress(String host, int port, boolean encrypted) {

  private static final int PLAIN_PORT = 1883; // IANA: mqtt
  private static final int TLS_PORT = 8883; // IANA: secure-mqtt
  private static final Set<String> THIS_COMPUTER = Set.of("localhost", "127.0.0.1", "[::1]");

  static BrokerAddress of(Settings settings) {
    String text = settings.text("address");
    try {
      URI address = new URI(text);
      boolean encrypted = "mqtts".equals(address.getScheme());
      boolean only =
          address.getHost() != null
              && address.getUserInfo() == null
              && Optional.ofNullable(address.getPath()).orElse("").isEmpty()
              && address.getQuery() == null
              && address.getFragment() == null;
      if (only && (encrypted || "mqtt".equals(address.getScheme()))) {
        int usual = encrypted ? TLS_PORT : PLAIN_PORT;
        return new BrokerAddress(
                address.getHost(), address.getPort() < 0 ? usual : address.getPort(), encrypted)
            .closed(settings, text);
      }
    } catch (URISyntaxException e) {
      // Told below.
    }
    throw new Refusal(
        settings.where()
            + ", \"address\": \""
            + text
            + "\" is no address of a broker; write mqtts://HOST or mqtts://HOST:PORT, without a"
            + " user or password in it");
  }

  private BrokerAddress closed(Settings settings, String text) {
    if (!encrypted && !THIS_COMPUTER.contains(host)) {
      throw new Refusal(
          settings.where()
              + ", \"address\": \""
              + text
              + "\" is not encrypted, and another computer's: whoever listens could read along and"
              + " answer in the receiver's place. Use mqtts://");
    }
    return this;
  }

  /** As the library wants it. */
  String uri() {
    return (encrypted ? "ssl://" : "tcp://") + host + ":" + port;
  }

  @Override
  public String toString() {
    return host + ":" + port;
  }
}
