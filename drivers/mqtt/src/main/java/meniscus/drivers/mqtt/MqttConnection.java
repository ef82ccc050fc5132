package meniscus.drivers.mqtt;

import java.net.SocketException;
import java.net.SocketTimeoutException;
import java.net.UnknownHostException;
import java.nio.charset.StandardCharsets;
import java.util.Optional;
import meniscus.core.outlet.Fact;
import meniscus.core.outlet.LiveValues;
import meniscus.core.outlet.Outlet;
import meniscus.core.outlet.OutletHost;
import meniscus.core.outlet.OutletLost;
import org.eclipse.paho.mqttv5.client.IMqttToken;
import org.eclipse.paho.mqttv5.client.MqttAsyncClient;
import org.eclipse.paho.mqttv5.client.MqttCallback;
import org.eclipse.paho.mqttv5.client.MqttConnectionOptions;
import org.eclipse.paho.mqttv5.client.MqttDisconnectResponse;
import org.eclipse.paho.mqttv5.client.persist.MemoryPersistence;
import org.eclipse.paho.mqttv5.common.MqttException;
import org.eclipse.paho.mqttv5.common.MqttMessage;
import org.eclipse.paho.mqttv5.common.packet.MqttProperties;

/** One connection to a broker. */
final class MqttConnection implements Outlet {

  /** A broker that takes longer over one message is not there [ms]. */
  private static final long PATIENCE_MS = 10_000;

  private static final int KEEP_ALIVE_S = 30;
  private static final int AT_MOST_ONCE = 0;
  private static final int AT_LEAST_ONCE = 1;

  /** MQTT 5, 2.4: codes from here on are failures. */
  private static final int FAILURES = 0x80;

  private final BrokerAddress address;
  private final MqttAsyncClient client;
  private final String topic;
  private final OutletHost host;
  private Optional<IMqttToken> shown = Optional.empty();

  private MqttConnection(
      BrokerAddress address, MqttAsyncClient client, String topic, OutletHost host) {
    this.address = address;
    this.client = client;
    this.topic = topic;
    this.host = host;
  }

  static MqttConnection open(
      BrokerAddress address,
      MqttConnectionOptions options,
      String clientId,
      String topic,
      OutletHost host)
      throws OutletLost {
    options.setConnectionTimeout((int) (PATIENCE_MS / 1000));
    options.setKeepAliveInterval(KEEP_ALIVE_S);
    try {
      MqttConnection connection =
          new MqttConnection(
              address,
              new MqttAsyncClient(address.uri(), clientId, new MemoryPersistence()),
              topic,
              host);
      connection.begin(options);
      return connection;
    } catch (MqttException e) {
      throw lost(address, e);
    }
  }

  private void begin(MqttConnectionOptions options) throws MqttException {
    client.setCallback(new Heard());
    try {
      client.connect(options).waitForCompletion(PATIENCE_MS);
      client.subscribe(topic + "/stored", AT_LEAST_ONCE).waitForCompletion(PATIENCE_MS);
    } catch (MqttException | RuntimeException e) {
      close();
      throw e;
    }
  }

  @Override
  public void send(Fact fact, String json) throws OutletLost {
    try {
      IMqttToken sent = publish("/facts", json, AT_LEAST_ONCE, false);
      sent.waitForCompletion(PATIENCE_MS);
      for (int code : Optional.ofNullable(sent.getReasonCodes()).orElse(new int[0])) {
        if (code >= FAILURES) {
          throw new OutletLost(
              "the broker "
                  + address
                  + " does not take facts on "
                  + topic
                  + "/facts (reason "
                  + code
                  + "): may this user write there?");
        }
      }
    } catch (MqttException e) {
      throw lost(address, e);
    }
  }

  @Override
  public void show(LiveValues now, String json) throws OutletLost {
    if (shown.map(IMqttToken::isComplete).orElse(true)) {
      try {
        shown = Optional.of(publish("/now", json, AT_MOST_ONCE, true));
      } catch (MqttException e) {
        throw lost(address, e);
      }
    }
  }

  private IMqttToken publish(String below, String json, int qos, boolean retained)
      throws MqttException {
    MqttMessage message =
        new MqttMessage(json.getBytes(StandardCharsets.UTF_8), qos, retained, new MqttProperties());
    return client.publish(topic + below, message);
  }

  private static OutletLost lost(BrokerAddress address, Throwable why) {
    Throwable deepest = why;
    while (deepest.getCause() != null && deepest.getCause() != deepest) {
      deepest = deepest.getCause();
    }
    return new OutletLost("the broker " + address + ": " + words(deepest), why);
  }

  private static String words(Throwable why) {
    if (why instanceof UnknownHostException) {
      return "no computer of that name is found; see the name and the network";
    }
    if (why instanceof SocketException || why instanceof SocketTimeoutException) {
      return "no connection (" + why.getMessage() + "); see that it runs, and the port";
    }
    return why instanceof MqttException of // whose own code is at times all that it says
        ? of.getMessage() + " (reason " + of.getReasonCode() + ")"
        : why.getClass().getSimpleName() + ": " + why.getMessage();
  }

  @Override
  public void close() {
    try {
      if (client.isConnected()) {
        client.disconnectForcibly(0, PATIENCE_MS / 10, true);
      }
    } catch (MqttException e) {
      // It is gone already.
    }
    try {
      client.close(true);
    } catch (MqttException e) {
      // It is gone already.
    }
  }

  /** What comes from the broker, on the library's thread. */
  private final class Heard implements MqttCallback {

    @Override
    public void messageArrived(String at, MqttMessage message) {
      // A retained answer is of another day.
      if (!message.isRetained()) {
        host.answered(new String(message.getPayload(), StandardCharsets.UTF_8));
      }
    }

    @Override
    public void disconnected(MqttDisconnectResponse response) {
      host.lost(
          Optional.<Throwable>ofNullable(response.getException())
              .map(why -> lost(address, why).getMessage())
              .orElse("the broker " + address + " has ended the connection"));
    }

    @Override
    public void mqttErrorOccurred(MqttException exception) {
      // Of no consequence for the connection, by the library's word.
    }

    @Override
    public void deliveryComplete(IMqttToken token) {
      // The broker has it; that says nothing of the receiver.
    }

    @Override
    public void connectComplete(boolean reconnect, String serverUri) {
      // Waited for where it is opened.
    }

    @Override
    public void authPacketArrived(int reasonCode, MqttProperties properties) {
      // Not asked for.
    }
  }
}
