package meniscus.recorder.page;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import com.fasterxml.jackson.databind.node.ObjectNode;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import meniscus.core.bench.Bench;
import meniscus.core.instrument.Channel;
import meniscus.core.pipeline.Frame;
import meniscus.recorder.feed.Drivers;
import meniscus.recorder.feed.Feeds;
import meniscus.recorder.file.BenchFile;
import meniscus.recorder.json.JsonOut;
import meniscus.recorder.page.bench.BenchOfPage;
import meniscus.recorder.page.bench.ChannelMean;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** What the page says of a gauge before the blower starts. The first gauge ends at 48 inH2O. */
class HeardTest {

  private static final double INCH_PA = 249.08891;

  @TempDir Path data;
  private ChannelMean gauge;

  @BeforeEach
  void testPressureOfTheSimulatedBench() throws IOException {
    Path file = Files.writeString(data.resolve("bench.json"), BenchOfPage.text("bench.json"));
    Bench bench = BenchFile.read(file);
    List<Channel> channels = Feeds.wire(bench, file, Drivers.shipped()).get(0).channels();
    gauge = new ChannelMean(bench, 0, channels.get(0));
  }

  private ObjectNode told(double atSeconds) {
    ObjectNode json = JsonOut.object();
    gauge.addTo(json, atSeconds);
    return json;
  }

  @Test
  void aReadingInRangeIsTold() {
    gauge.add(27 * INCH_PA);
    gauge.add(29 * INCH_PA);
    ObjectNode json = told(1);
    assertEquals("test_pressure", json.path("use").asText());
    assertEquals(28, json.path("mean").asDouble(), 1e-9);
    assertEquals(2, json.path("readings").asInt());
    assertFalse(json.path("over_range").asBoolean());
  }

  @Test
  void atItsEndAGaugeIsOverRangeThoughItStillGivesANumber() {
    double end = told(0).path("high").asDouble();
    gauge.add(end * INCH_PA);
    assertTrue(told(1).path("over_range").asBoolean());
    gauge.add(0);
    assertFalse(told(2).path("over_range").asBoolean(), "and no longer than it lasts");
  }

  @Test
  void aGaugeThatSaysItIsOverloadedHasNoReading() {
    gauge.add(Frame.OVERLOAD);
    ObjectNode json = told(1);
    assertTrue(json.path("over_range").asBoolean());
    assertTrue(json.path("mean").isNull(), json.toString());
    assertEquals(0, json.path("quiet_s").asDouble(), "it speaks, though");
  }

  @Test
  void whatStillMovesAfterAMinuteIsNotAtRest() {
    for (int second = 0; second <= 120; second += 5) {
      gauge.add(second * 0.01 * INCH_PA);
      ObjectNode json = told(second);
      assertEquals(second >= 60, json.has("rests"), "too early to say at " + second + " s");
      if (second >= 60) {
        assertFalse(json.path("rests").asBoolean());
      }
    }
  }

  @Test
  void whatStaysIsAtRest() {
    for (int second = 0; second <= 60; second += 5) {
      gauge.add(INCH_PA + (second % 10 == 0 ? 0.1 : -0.1));
      ObjectNode json = told(second);
      if (second == 60) {
        assertTrue(json.path("rests").asBoolean(), json.toString());
      }
    }
  }
}
