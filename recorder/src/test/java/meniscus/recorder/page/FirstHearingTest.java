package meniscus.recorder.page;

import static meniscus.recorder.page.RawHttp.status;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import meniscus.core.instrument.Settings;
import meniscus.drivers.line.FoundLine;
import meniscus.drivers.line.LineKind;
import meniscus.drivers.line.LineOpener;
import meniscus.recorder.feed.Drivers;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** What the page hears of instruments before there is a bench file. */
class FirstHearingTest {

  @TempDir Path data;

  /** A recording that is said to be plugged in. */
  private record PluggedIn(Path recording) implements LineKind {
    @Override
    public String id() {
      return "staged";
    }

    @Override
    public String summary() {
      return "a recording";
    }

    @Override
    public int apiVersion() {
      return API_VERSION;
    }

    @Override
    public LineOpener opener(Settings settings) {
      throw new IllegalStateException("opened as what it is, a recording");
    }

    @Override
    public List<FoundLine> found() {
      return List.of(new FoundLine("serial", "play:" + recording, "Wren <b>gauge</b>", Map.of()));
    }
  }

  /** Two pressures with the checksum that the shipped sheet asks for. */
  private Path manometer() throws IOException {
    StringBuilder lines = new StringBuilder();
    for (int i = 0; i < 40; i++) {
      String text = String.format(Locale.ROOT, "P1,+%.3f,P2,+%.3f", 20 + i * 0.037, i * 0.051);
      int sum = text.chars().reduce(0, (one, other) -> one ^ other);
      lines.append(
          String.format(Locale.ROOT, "%d < %s*%02X\\r\\n\n", (i + 1) * 1_000_000L, text, sum));
    }
    return Files.writeString(data.resolve("gauge.txt"), "meniscus line recording 1\n" + lines);
  }

  @Test
  void aBenchFileBeginsWithWhatIsRecognised() throws Exception {
    Path recording = manometer();
    Drivers drivers = Drivers.shipped().and(List.of(), List.of(new PluggedIn(recording)));
    try (PageServer page = PageServer.start(0, data, data.resolve("bench.json"), drivers)) {
      RawHttp http = new RawHttp(page);
      assertTrue(http.get("/api/found").contains("Wren <b>gauge</b>"), "as text");
      String answer = http.post("/api/hear", "{\"port\":\"play:" + recording + "\"}");
      assertEquals(200, status(answer), answer);
      JsonNode heard = new ObjectMapper().readTree(answer.substring(answer.indexOf("\r\n\r\n")));
      assertEquals("two-channel-manometer", heard.path("sheet").asText(), answer);
      JsonNode bench = heard.path("bench");
      assertEquals(1, bench.path("instruments").size(), answer);
      assertTrue(bench.path("channels").has("test_pressure"), answer);
      assertFalse(bench.has("upkeep"), "that the page may not write");
      assertFalse(Files.exists(data.resolve("bench.json")), "nothing is written by listening");
    }
  }

  @Test
  void whatIsNotPluggedInIsNotOpened() throws Exception {
    try (PageServer page =
        PageServer.start(0, data, data.resolve("bench.json"), Drivers.shipped())) {
      RawHttp http = new RawHttp(page);
      assertEquals(404, status(http.post("/api/hear", "{\"port\":\"play:/etc/passwd\"}")));
      assertEquals(404, status(http.post("/api/hear", "{\"port\":\"tcp:10.0.0.1:80\"}")));
    }
  }
}
