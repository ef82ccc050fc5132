package meniscus.recorder.record;

import java.io.IOException;
import java.net.InetAddress;
import java.net.ServerSocket;
import java.net.Socket;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Locale;
import java.util.Random;
import java.util.concurrent.atomic.AtomicLong;

/**
 * A gauge on a network line that sends fifty numbered lines a second: test pressure, and a drop
 * that may change. Its bench file has no other instrument, but has room for more.
 */
final class StreamingGauge implements AutoCloseable {

  static final int PRESSURE_PA = 6975;
  static final int DROP_PA = 3000;

  private static final String SHEET =
      """
      {"meniscus": "sheet/1", "name": "x", "driver": "text-stream", "separator": " ", "fields": 3,
       "channels": [{"name": "number", "unit": "1", "field": 1},
                    {"name": "test_pressure", "unit": "Pa", "field": 2},
                    {"name": "element_drop", "unit": "Pa", "field": 3}]}
      """;

  private static final String BENCH =
      """
      {"meniscus": "bench/1", "name": "One gauge", "layout": "blower side",
       "instruments": [{"id": "gauge", "sheet": "streaming.json",
         "line": {"kind": "tcp", "host": "127.0.0.1", "port": PORT}}MORE],
       "channels": {
         "test_pressure": {"instrument": "gauge", "channel": "test_pressure",
           "low": "0 Pa", "high": "10 kPa", "accuracy": {"absolute": "10 Pa"}},
         "room_temperature": {"typed": "21 degC", "within": "2 degC"},
         "room_pressure": {"typed": "1000 hPa", "within": "2 hPa"}},
       "ranges": [{"name": "plate", "element": {"kind": "orifice", "bore": "30 mm",
           "coefficient": {"value": 0.6, "standard_uncertainty": "2 %"}},
         "drop": {"instrument": "gauge", "channel": "element_drop",
           "low": "0 Pa", "high": "10 kPa", "accuracy": {"absolute": "10 Pa", "quantum": "1 Pa"}}}]}
      """;

  /** Lines sent so far, on whichever connection. */
  final AtomicLong sent = new AtomicLong();

  volatile int dropPa = DROP_PA;

  private final ServerSocket server;

  StreamingGauge() throws IOException {
    server = new ServerSocket(0, 8, InetAddress.getLoopbackAddress());
    Thread thread = new Thread(this::serve, "streaming gauge");
    thread.setDaemon(true);
    thread.start();
  }

  /**
   * @param more instruments of the bench file, each with a comma before it
   */
  void wire(Path files, String more) throws IOException {
    Files.writeString(files.resolve("streaming.json"), SHEET);
    Files.writeString(
        files.resolve("bench.json"),
        BENCH.replace("PORT", String.valueOf(server.getLocalPort())).replace("MORE", more));
  }

  private void serve() {
    Random noise = new Random(28);
    while (!server.isClosed()) {
      try (Socket socket = server.accept()) {
        while (true) {
          String line =
              String.format(
                  Locale.ROOT,
                  "%d %d %d\r\n",
                  sent.incrementAndGet(),
                  PRESSURE_PA - 2 + noise.nextInt(5),
                  dropPa - 2 + noise.nextInt(5));
          socket.getOutputStream().write(line.getBytes(StandardCharsets.US_ASCII));
          Thread.sleep(20);
        }
      } catch (IOException gone) {
        // The next one may come.
      } catch (InterruptedException over) {
        return;
      }
    }
  }

  @Override
  public void close() throws IOException {
    server.close();
  }
}
