package meniscus.drivers.mqtt;

import java.nio.charset.StandardCharsets;
import java.nio.file.Path;
import java.util.Optional;
import java.util.UUID;
import javax.net.SocketFactory;
import meniscus.core.instrument.Settings;
import meniscus.core.outlet.Outlet;
import meniscus.core.outlet.OutletHost;
import meniscus.core.outlet.OutletLost;
import meniscus.core.outlet.OutletPlugin;
import meniscus.core.refusal.Refusal;
import org.eclipse.paho.mqttv5.client.MqttConnectionOptions;

/**
 * Carries facts to an MQTT 5 broker. Under the topic of the settings: {@code TOPIC/facts}, each
 * fact, at least once (QoS 1); {@code TOPIC/now}, what is read just now, retained, so that who
 * comes later sees the newest; {@code TOPIC/stored}, where the receiver answers. A broker's own
 * acknowledgement only paces the sending: it says that the broker has a fact, not that anybody
 * stored it.
 */
public final class MqttOutlet implements OutletPlugin {

  private static final String TOPIC = "meniscus";

  @Override
  public String id() {
    return "mqtt";
  }

  @Override
  public String summary() {
    return "sends facts to an MQTT 5 broker";
  }

  @Override
  public int apiVersion() {
    return API_VERSION;
  }

  @Override
  public Outlet open(Settings settings, OutletHost host) throws OutletLost {
    BrokerAddress address = BrokerAddress.of(settings);
    String topic = topic(settings);
    MqttConnectionOptions options = new MqttConnectionOptions();
    // Nothing is kept by the broker for this client: facts are sent once more from the disk.
    options.setCleanStart(true);
    options.setSessionExpiryInterval(0L);
    options.setAutomaticReconnect(false);
    settings.optionalText("user").ifPresent(options::setUserName);
    settings
        .optionalText("password_secret")
        .map(host::secret)
        .ifPresent(secret -> options.setPassword(secret.getBytes(StandardCharsets.UTF_8)));
    Optional<String> ca = settings.optionalText("ca");
    settings.done();
    if (address.encrypted()) {
      SocketFactory sockets =
          ca.map(file -> TrustedCa.of(Path.of(host.file(file)))).orElseGet(TrustedCa::usual);
      options.setSocketFactory(sockets);
      options.setHttpsHostnameVerificationEnabled(true);
    }
    return MqttConnection.open(address, options, "meniscus-" + UUID.randomUUID(), topic, host);
  }

  private static String topic(Settings settings) {
    String topic = settings.text("topic", TOPIC);
    if (!topic.matches("[^#+$\\p{Cntrl}/][^#+\\p{Cntrl}]{0,199}") || topic.endsWith("/")) {
      throw new Refusal(
          settings.where()
              + ", \"topic\": \""
              + topic
              + "\" is none to send to: no # + or $, no stroke at its ends, 200 characters at most");
    }
    return topic;
  }
}
