package meniscus.recorder.plugin;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.io.InputStream;
import java.io.OutputStream;
import java.net.InetAddress;
import java.net.ServerSocket;
import java.net.Socket;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import meniscus.recorder.cli.Called;
import meniscus.recorder.folder.TestFolder;
import meniscus.recorder.journal.JournalVisitor;
import org.junit.jupiter.api.Tag;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/**
 * A stranger's barometer, read by a stranger's jar, in a whole lift test on the simulated bench.
 */
@Tag("long")
class PluginBesideSimulatedTest {

  private static final int STATION_PA = 98_765;

  @TempDir private Path temp;

  private Path demo(String name, String... changes) throws IOException {
    try (InputStream in = getClass().getResourceAsStream("/meniscus/recorder/demo/" + name)) {
      String text = new String(in.readAllBytes(), StandardCharsets.UTF_8);
      for (int i = 0; i < changes.length; i += 2) {
        assertTrue(text.contains(changes[i]), changes[i]);
        text = text.replace(changes[i], changes[i + 1]);
      }
      return Files.writeString(temp.resolve(name), text);
    }
  }

  @Test
  void itsReadingsStandInTheTestAndTheTestWorksOutAgain() throws Exception {
    Path plugins = Files.createDirectory(temp.resolve("plugins"));
    Path jar =
        new JarMaker(temp).driver("Barometer", "barometer").into(plugins.resolve("barometer.jar"));
    Files.writeString(
        temp.resolve("barometer.json"),
        "{\"meniscus\": \"sheet/1\", \"name\": \"barometer\", \"driver\": \"barometer\"}");
    Path out = temp.resolve("test");
    try (ServerSocket server = new ServerSocket(0, 1, InetAddress.getLoopbackAddress())) {
      Thread barometer = new Thread(() -> says(server), "barometer");
      barometer.setDaemon(true);
      barometer.start();
      Path bench =
          demo(
              "bench.json",
              "\"instruments\": [",
              "\"instruments\": [{\"id\": \"barometer\", \"sheet\": \"barometer.json\", \"line\":"
                  + " {\"kind\": \"tcp\", \"host\": \"127.0.0.1\", \"port\": "
                  + server.getLocalPort()
                  + "}},",
              "\"instrument\": \"air\", \"channel\": \"pressure\"",
              "\"instrument\": \"barometer\", \"channel\": \"pressure\"");
      Path plan =
          demo(
              "plan.json",
              "{\"from\": 0.05, \"to\": 0.6, \"step\": 0.05}",
              "{\"lifts\": [0.2]}",
              "\"0.5 %\"",
              "\"2 %\"");
      Called called =
          Called.with(
              "record",
              "--bench",
              bench,
              "--plan",
              plan,
              "--out",
              out,
              "--hands-free",
              "--plugins",
              plugins,
              "--trust",
              TrustedJars.sha256(jar).orElseThrow(),
              "--trusted-jars",
              temp.resolve("trusted-jars"));
      assertTrue(called.code() == 0 || called.code() == 5, called.out() + called.err());
      barometer.interrupt();
    }
    TestFolder test = TestFolder.open(out);
    assertEquals(1, test.points().size());
    double[] heard = {0, 0};
    int instrument =
        test.instruments().stream().map(one -> one.instrument()).toList().indexOf("barometer");
    test.replay(
        new JournalVisitor() {
          @Override
          public void row(long moment, int from, long present, double[] values) {
            if (from == instrument) {
              heard[0]++;
              heard[1] += values[0];
            }
          }
        });
    assertTrue(heard[0] > 5, heard[0] + " readings");
    assertEquals(STATION_PA, heard[1] / heard[0], 1e-9, "each as it was sent");
    Called again = Called.with("recompute", out, "--json");
    assertEquals(0, again.code(), "without the plugin: " + again.err());
    assertTrue(again.out().contains("\"same\":true"), again.out());
    assertEquals(List.of(), test.damage());
  }

  /** Once a quarter of a second, to whoever connects. */
  private static void says(ServerSocket server) {
    while (!server.isClosed()) {
      try (Socket reader = server.accept()) {
        OutputStream out = reader.getOutputStream();
        while (true) {
          out.write((STATION_PA + "\n").getBytes(StandardCharsets.US_ASCII));
          out.flush();
          Thread.sleep(250);
        }
      } catch (IOException gone) {
        // The program has closed the line; it may open it again.
      } catch (InterruptedException e) {
        return;
      }
    }
  }
}
