package meniscus.recorder.record;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.net.URI;
import java.net.http.HttpClient;
import java.net.http.HttpRequest;
import java.net.http.HttpResponse;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.concurrent.TimeUnit;
import java.util.stream.Stream;
import meniscus.core.Needed;
import meniscus.drivers.line.serial.PseudoTerminal;
import meniscus.recorder.feed.Drivers;
import meniscus.recorder.page.PageServer;
import meniscus.recorder.record.Recorder.Ran;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Tag;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/**
 * Tests begun and stopped again and again in one process, on a network line and a serial port, with
 * a mirror, and the page opened and closed beside each: no thread stays, and no file stays open.
 */
@Tag("long")
class StartsAndStopsTest {

  /** After these all that is made once is there. */
  private static final int FIRST = 3;

  /** What the other side of a connection that was closed still holds for a moment. */
  private static final long PATIENCE_SECONDS = 60;

  private static final Path HANDLES = Path.of("/proc/self/fd");

  @TempDir Path temp;

  private final HttpClient client = HttpClient.newHttpClient();
  private Path files;
  private StreamingGauge gauge;
  private PseudoTerminal port;
  private volatile boolean over;

  /** What a process holds. */
  private record Held(long threads, long handles) {
    static Held now() throws IOException {
      try (Stream<Path> open = Files.list(HANDLES)) {
        return new Held(
            Thread.getAllStackTraces().keySet().stream().filter(Thread::isAlive).count(),
            open.count());
      }
    }
  }

  @BeforeEach
  void wire() throws IOException {
    Needed.that(Files.exists(Path.of("/dev/ptmx")), "no pseudo-terminals here");
    files = Recorder.files(temp);
    port = PseudoTerminal.open();
    gauge = new StreamingGauge();
    Files.writeString(
        files.resolve("dial.json"),
        "{\"meniscus\": \"sheet/1\", \"name\": \"x\", \"driver\": \"text-stream\","
            + " \"channels\": [{\"name\": \"x\", \"unit\": \"mm\", \"field\": 1}]}");
    gauge.wire(
        files,
        ", {\"id\": \"dial\", \"sheet\": \"dial.json\","
            + " \"line\": {\"kind\": \"serial\", \"port\": \""
            + port.path()
            + "\"}}");
    Thread dial = new Thread(this::turn, "dial");
    dial.setDaemon(true);
    dial.start();
  }

  private void turn() {
    try {
      while (!over) {
        port.spill("1.25\r\n");
        Thread.sleep(20);
      }
    } catch (InterruptedException end) {
      // The test is over.
    }
  }

  @AfterEach
  void close() throws IOException {
    over = true;
    if (gauge != null) {
      gauge.close();
      port.close();
    }
  }

  @Test
  void tenStartsAndStopsLeaveNothingBehind() throws Exception {
    startAndStop(10);
  }

  @Test
  @Tag("bench")
  void twoHundredStartsAndStopsLeaveNothingBehind() throws Exception {
    startAndStop(200);
  }

  private void startAndStop(int times) throws Exception {
    for (int i = 0; i < FIRST; i++) {
      once("first-" + i);
    }
    Held before = Held.now();
    for (int i = 0; i < times; i++) {
      once("test-" + i);
    }
    long until = System.nanoTime() + TimeUnit.SECONDS.toNanos(PATIENCE_SECONDS);
    Held after = Held.now();
    while (System.nanoTime() < until
        && (after.threads > before.threads || after.handles > before.handles)) {
      Thread.sleep(100);
      after = Held.now();
    }
    System.out.println(times + " starts and stops: " + before + " before, " + after + " after");
    assertTrue(after.threads <= before.threads, before + " " + Thread.getAllStackTraces().keySet());
    assertTrue(after.handles <= before.handles, before + " became " + after);
  }

  private void once(String name) throws Exception {
    Path out = temp.resolve(name);
    try (PageServer page =
        PageServer.start(0, temp, files.resolve("bench.json"), Drivers.shipped())) {
      HttpRequest asked = HttpRequest.newBuilder(URI.create(page.address() + "api/state")).build();
      assertEquals(200, client.send(asked, HttpResponse.BodyHandlers.ofString()).statusCode());
      Ran ran =
          Recorder.run(
              "keep now\nstop\n",
              "record",
              "--bench",
              files.resolve("bench.json"),
              "--plan",
              files.resolve("plan.json"),
              "--out",
              out,
              "--mirror",
              temp.resolve(name + "-mirror"),
              "--json");
      assertTrue(ran.out().contains("\"event\":\"stopped\""), ran.out() + ran.err());
      assertEquals(List.of(), ran.keptRungs(), "stopped before anything could be kept");
    }
  }
}
