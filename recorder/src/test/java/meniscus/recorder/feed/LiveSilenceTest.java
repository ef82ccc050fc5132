package meniscus.recorder.feed;

import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Optional;
import java.util.concurrent.atomic.AtomicLong;
import meniscus.core.Needed;
import meniscus.core.bench.Bench;
import meniscus.core.time.Moment;
import meniscus.drivers.line.serial.PseudoTerminal;
import meniscus.recorder.file.BenchFile;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/**
 * A line that says nothing, and one that says nothing sensible; the clock goes as the test says.
 */
class LiveSilenceTest {

  private static final long PATIENCE_NANOS = 120_000_000_000L;

  private static final String BENCH =
      """
      {"meniscus": "bench/1", "name": "Two pressures", "units": "metric",
       "site": {"altitude": "100 m", "barometer": "station", "mains_hz": 50},
       "layout": "blower side",
       "instruments": [{"id": "gauge", "sheet": "gauge.json",
         "line": {"kind": "serial", "port": "PORT"}}],
       "channels": {
         "test_pressure": {"instrument": "gauge", "channel": "depression",
           "low": "-10 kPa", "high": "10 kPa", "accuracy": {"absolute": "2 Pa"}},
         "room_temperature": {"typed": "22 degC", "within": "1 K"},
         "room_pressure": {"typed": "1000 hPa", "within": "2 hPa"}},
       "ranges": [{"name": "large",
         "element": {"kind": "orifice", "bore": "60 mm", "bore_within": "0.05 mm",
           "coefficient": {"value": 0.6, "standard_uncertainty": "3 %"}},
         "drop": {"instrument": "gauge", "channel": "drop", "low": "-5 kPa", "high": "5 kPa",
           "accuracy": {"absolute": "2 Pa"}}}]}
      """;

  private static final String SHEET =
      """
      {"meniscus": "sheet/1", "name": "Gauge", "driver": "text-stream", "separator": ",",
       "fields": 2, "channels": [{"name": "depression", "unit": "Pa", "field": 1},
                                 {"name": "drop", "unit": "Pa", "field": 2}]}
      """;

  private static final String ASKED =
      """
      {"meniscus": "sheet/1", "name": "Gauge", "driver": "text-ask", "terminator": "\\r\\n",
       "every_s": 0.1, "timeout_s": 0.5, "retries": 0,
       "asks": [{"command": "P?", "separator": ",", "fields": 2, "channels": [
         {"name": "depression", "unit": "Pa", "field": 1},
         {"name": "drop", "unit": "Pa", "field": 2}]}]}
      """;

  @TempDir Path temp;

  private final AtomicLong nanos = new AtomicLong();

  /** Waits, on the wall clock, for something of a kind; the feed's own clock stands. */
  private static <T> T next(LiveFeed feed, Class<T> kind) throws InterruptedException {
    long until = System.nanoTime() + PATIENCE_NANOS;
    while (System.nanoTime() < until) {
      Optional<BenchEvent> next = feed.next(0.01);
      if (next.isPresent() && kind.isInstance(next.get())) {
        return kind.cast(next.get());
      }
    }
    throw new AssertionError("no " + kind.getSimpleName());
  }

  /**
   * Lets time pass in half seconds until the gauge is said to be lost. The feed looks once for each
   * step of its clock, and passes a look over while the line's thread is still in a call.
   */
  private BenchEvent.Lost lost(LiveFeed feed) throws InterruptedException {
    for (int i = 0; i < 4; i++) {
      nanos.addAndGet(500_000_000L);
      for (int look = 0; look < 20; look++) {
        Optional<BenchEvent> next = feed.next(0.01);
        if (next.isPresent() && next.get() instanceof BenchEvent.Lost lost) {
          return lost;
        }
      }
    }
    throw new AssertionError("no Lost");
  }

  private static void question(PseudoTerminal port) {
    long until = System.nanoTime() + PATIENCE_NANOS;
    StringBuilder asked = new StringBuilder();
    while (asked.indexOf("P?") < 0 && System.nanoTime() < until) {
      asked.append(port.read(100));
    }
    assertTrue(asked.indexOf("P?") >= 0, asked.toString());
  }

  private LiveFeed feed(PseudoTerminal port) throws IOException {
    Path file = temp.resolve("bench.json");
    Files.writeString(file, BENCH.replace("PORT", port.path()));
    Bench bench = BenchFile.read(file);
    return new LiveFeed(
        bench, Feeds.wire(bench, file, Drivers.shipped()), () -> new Moment(nanos.get()));
  }

  private void pass(LiveFeed feed, double seconds) throws InterruptedException {
    for (double gone = 0; gone < seconds - 1e-9; gone += 0.5) {
      nanos.addAndGet(500_000_000L);
      feed.next(0).ifPresent(early -> assertFalse(early instanceof BenchEvent.Lost, "" + early));
    }
  }

  @Test
  void silenceIsToldApartFromWhatDoesNotFitAndNothingOldIsQuoted() throws Exception {
    Needed.that(Files.exists(Path.of("/dev/ptmx")), "no pseudo-terminals here");
    Files.writeString(temp.resolve("gauge.json"), SHEET);
    try (PseudoTerminal port = PseudoTerminal.open();
        LiveFeed feed = feed(port)) {
      port.write("1,2\r\n1,2\r\n1,2\r\nboot\r\n");
      next(feed, BenchEvent.Unread.class);
      pass(feed, 3);
      String silent = lost(feed).reason();
      assertTrue(silent.startsWith("nothing at all has come for "), silent);
      assertFalse(silent.contains("boot"), silent);

      port.write("1,2\r\n");
      next(feed, BenchEvent.Back.class);
      next(feed, BenchEvent.Arrived.class);
      pass(feed, 2);
      port.write("7;8\r\n");
      next(feed, BenchEvent.Unread.class);
      pass(feed, 1);
      String odd = lost(feed).reason();
      assertTrue(odd.startsWith("what comes does not fit its sheet: \"7;8"), odd);
    }
  }

  /** It was called an answer that does not fit, and quoted: "". */
  @Test
  void anAnswerThatNeverComesIsSilence() throws Exception {
    Needed.that(Files.exists(Path.of("/dev/ptmx")), "no pseudo-terminals here");
    Files.writeString(temp.resolve("gauge.json"), ASKED);
    try (PseudoTerminal port = PseudoTerminal.open();
        LiveFeed feed = feed(port)) {
      question(port);
      nanos.addAndGet(100_000_000L);
      port.write("1,2\r\n");
      next(feed, BenchEvent.Arrived.class);
      nanos.addAndGet(500_000_000L);
      question(port);
      nanos.addAndGet(600_000_000L);
      BenchEvent.Unread missed = next(feed, BenchEvent.Unread.class);
      assertTrue(missed.rejected().reason().startsWith("no answer to"), missed.toString());
      pass(feed, 1.5);
      String silent = lost(feed).reason();
      assertTrue(silent.startsWith("nothing at all has come for "), silent);
    }
  }
}
