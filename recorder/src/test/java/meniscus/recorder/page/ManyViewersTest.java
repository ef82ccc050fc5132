package meniscus.recorder.page;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import java.io.BufferedReader;
import java.io.IOException;
import java.io.InputStreamReader;
import java.lang.management.ManagementFactory;
import java.net.InetSocketAddress;
import java.net.Socket;
import java.nio.charset.StandardCharsets;
import java.nio.file.Path;
import java.time.Duration;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.concurrent.atomic.AtomicInteger;
import java.util.concurrent.atomic.AtomicLong;
import meniscus.core.lift.TestEvent;
import meniscus.recorder.journal.JournalReader;
import meniscus.recorder.journal.Recovered;
import meniscus.recorder.session.EightInstruments;
import meniscus.recorder.session.TestSession;
import org.junit.jupiter.api.Tag;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** Eight instruments of 2 kHz and twenty viewers, of whom five never read what they are sent. */
class ManyViewersTest {

  private static final int READING = 15;
  private static final int ASLEEP = 5;

  @TempDir Path data;

  @Test
  void slowViewersCostTheJournalNothing() throws Exception {
    run(3);
  }

  /** {@code -Dmeniscus.seconds=S} for another length; the system's buffers last two minutes. */
  @Test
  @Tag("bench")
  void slowViewersMissStatesAndAreCounted() throws Exception {
    JsonNode viewers = run(Integer.getInteger("meniscus.seconds", 240));
    assertTrue(
        viewers.get("states_missed").asLong() + viewers.get("let_go").asLong() > 0, "" + viewers);
  }

  private JsonNode run(int seconds) throws Exception {
    JsonNode viewers;
    try (Stage stage = new Stage(data)) {
      EightInstruments.addDials(data.resolve("bench.json"));
      EightInstruments feed = new EightInstruments(data.resolve("bench.json"), true);
      List<Socket> sockets = new ArrayList<>();
      AtomicLong states = new AtomicLong();
      AtomicInteger readersAtEnd = new AtomicInteger();
      for (int i = 0; i < READING + ASLEEP; i++) {
        sockets.add(watch(stage.page, i));
      }
      TestSession session = stage.run("load", stage.plan("plan.json", "0.1, 0.2"), feed, false);
      for (Socket socket : sockets.subList(0, READING)) {
        Thread reader = new Thread(() -> read(socket, states, readersAtEnd), "viewer");
        reader.setDaemon(true);
        reader.start();
      }
      Duration before = processor();
      Thread.sleep(seconds * 1000L);
      double share = processor().minus(before).toNanos() / (seconds * 1e9);
      double behind = feed.behindSeconds();
      String state = new RawHttp(stage.page).get("/api/state");
      viewers = new ObjectMapper().readTree(state.split("\r\n\r\n", 2)[1]).get("viewers");
      assertEquals(0, readersAtEnd.get(), "no viewer that reads is let go");
      stage.stop(session);
      Recovered written = JournalReader.read(data.resolve("load").resolve("test.journal"));
      System.out.printf(
          Locale.ROOT,
          "8 instruments at 2 kHz for %d s, %d viewers that read, %d that never do: %d readings"
              + " handed over, %d in the journal, taken %.1f s behind the clock at the end; %d states"
              + " seen, viewers %s; %.0f %% of a core, viewers of the test included%n",
          seconds,
          READING,
          ASLEEP,
          feed.handedOver(),
          written.rows(),
          behind,
          states.get(),
          viewers,
          100 * share);
      assertEquals(feed.handedOver(), written.rows(), "each reading is in the journal");
      assertEquals(List.of(), written.damage());
      assertTrue(written.events().stream().noneMatch(event -> event.kind() == TestEvent.Kind.LOST));
      assertTrue(states.get() > READING, "states were seen: " + states.get());
      for (Socket socket : sockets) {
        socket.close();
      }
    }
    return viewers;
  }

  private static Socket watch(PageServer page, int number) throws IOException {
    Socket socket = new Socket();
    socket.setReceiveBufferSize(8 << 10);
    socket.connect(new InetSocketAddress(page.address().getHost(), page.address().getPort()));
    String head = new RawHttp(page).head("GET /api/live?client=viewer-" + number);
    socket.getOutputStream().write((head + "\r\n").getBytes(StandardCharsets.UTF_8));
    socket.getOutputStream().flush();
    return socket;
  }

  private static void read(Socket socket, AtomicLong states, AtomicInteger atEnd) {
    try (BufferedReader lines =
        new BufferedReader(
            new InputStreamReader(socket.getInputStream(), StandardCharsets.UTF_8))) {
      for (String line = lines.readLine(); line != null; line = lines.readLine()) {
        if (line.equals("event: state")) {
          states.incrementAndGet();
        }
      }
      atEnd.incrementAndGet();
    } catch (IOException closed) {
      // By the test itself, at its end.
    }
  }

  private static Duration processor() {
    return Duration.ofNanos(
        ((com.sun.management.OperatingSystemMXBean) ManagementFactory.getOperatingSystemMXBean())
            .getProcessCpuTime());
  }
}
