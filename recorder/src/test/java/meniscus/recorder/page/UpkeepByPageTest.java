package meniscus.recorder.page;

import static meniscus.recorder.page.RawHttp.status;
import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.net.Socket;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import meniscus.recorder.archive.TestArchive;
import meniscus.recorder.feed.Drivers;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Tag;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.Timeout;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

/** Upkeep of the bench asked for over HTTP: one thing at a time, and nothing half done. */
@Tag("long")
class UpkeepByPageTest {

  private static final String CALIBRATE =
      "{\"do\":\"calibrate\",\"direction\":\"suction\",\"range\":\"large\","
          + "\"plates\":[\"36\",\"44\"],\"quick\":true}";

  @TempDir Path data;
  private PageServer page;
  private RawHttp http;
  private Socket events;

  @BeforeEach
  void serve() throws IOException {
    page = PageServer.start(0, data, data.resolve("bench.json"), Drivers.shipped());
    http = new RawHttp(page);
    assertEquals(200, status(http.post("/api/simulated-bench", "{}")));
    events = http.open(http.head("GET /api/live") + "\r\n");
    events.setSoTimeout(60_000);
  }

  @AfterEach
  void close() throws IOException {
    events.close();
    page.close();
  }

  private int asked(String body) throws IOException {
    return status(http.post("/api/upkeep", body));
  }

  private byte[] bench() throws IOException {
    return Files.readAllBytes(data.resolve("bench.json"));
  }

  @ParameterizedTest
  @ValueSource(
      strings = {
        "{\"do\":\"polish\"}",
        "{\"do\":\"zero\",\"seconds\":0}",
        "{\"do\":\"leakage\",\"direction\":\"up\"}",
        "{\"do\":\"leakage\",\"direction\":\"suction\",\"at\":\"28\"}",
        "{\"do\":\"leakage\",\"direction\":\"suction\",\"range\":\"huge\"}",
        "{\"do\":\"calibrate\",\"direction\":\"suction\",\"plates\":[]}",
        "{\"do\":\"check\",\"direction\":\"suction\",\"plate\":\"99\"}",
        "{\"do\":\"calm\",\"direction\":\"suction\",\"plates\":[\"44\"],\"seconds\":5}"
      })
  void whatCannotBeDoneIsRefusedBeforeAnyLineIsOpened(String body) throws IOException {
    assertEquals(400, asked(body));
    assertTrue(http.get("/api/state").contains("\"upkeep\":{}"));
  }

  @Test
  void aPlateIsNotCheckedWithoutACalibration() throws IOException {
    assertEquals(409, asked("{\"do\":\"check\",\"direction\":\"suction\",\"plate\":\"44\"}"));
  }

  @Test
  void oneThingAtATimeAndWhatIsStoppedLeavesTheBenchAsItWas() throws IOException {
    byte[] before = bench();
    assertEquals(409, asked("{\"do\":\"mounted\",\"bevel\":\"none\"}"), "nothing asks");
    assertEquals(200, asked(CALIBRATE));
    RawHttp.readUntil(events, "\"asks\":\"36\"");
    assertEquals(409, asked("{\"do\":\"zero\"}"), "the lines are in use");
    assertEquals(409, status(http.post("/api/listen", "{}")));
    assertEquals(409, status(http.post("/api/bench", "{\"bench\":{}}")));
    String start = "{\"plan\":\"plan.json\",\"out\":\"a\"}";
    assertEquals(409, status(http.post("/api/start", start)));
    assertEquals(400, asked("{\"do\":\"mounted\",\"bevel\":\"upstream\"}"), "turn it over");
    assertEquals(200, asked("{\"do\":\"stop\"}"));
    RawHttp.readUntil(events, "Stopped");
    assertArrayEquals(before, bench());
    assertEquals(200, asked(CALIBRATE), "and another can begin");
  }

  @Test
  void plateAfterPlateLeftOutIsSaid() throws IOException {
    assertEquals(200, asked(CALIBRATE));
    RawHttp.readUntil(events, "\"asks\":\"36\"");
    assertEquals(200, asked("{\"do\":\"leave_out\"}"));
    RawHttp.readUntil(events, "\"asks\":\"44\"");
    assertEquals(200, asked("{\"do\":\"leave_out\"}"));
    String end = RawHttp.readUntil(events, "\"doubt\":true");
    assertTrue(end.contains("outcome"), end);
  }

  @Test
  @Timeout(value = 100, threadMode = Timeout.ThreadMode.SEPARATE_THREAD)
  void aCalibrationLeavesTheReadingsOfEachPlate() throws IOException {
    assertTrue(http.get("/api/bench").contains("\"plate_readings\":{\"folders\":0}"));
    assertEquals(200, asked(CALIBRATE));
    for (String plate : List.of("36", "44")) {
      RawHttp.readUntil(events, "\"asks\":\"" + plate + "\"");
      assertEquals(200, asked("{\"do\":\"mounted\",\"bevel\":\"downstream\"}"));
    }
    RawHttp.readUntil(events, "outcome");
    String shown = http.get("/api/bench");
    assertTrue(shown.contains("\"plate_readings\":{\"folders\":2,\"newest\":{\"folder\":"), shown);
    assertEquals(
        List.of("44", "36"),
        TestArchive.of(data.resolve("plate-readings")).plates().stream()
            .map(one -> one.known().plate().name())
            .toList());
  }

  @Test
  @Timeout(value = 100, threadMode = Timeout.ThreadMode.SEPARATE_THREAD)
  void aStoppedCalmRecordGoesOnWhereItWasStopped() throws IOException {
    String calm =
        "{\"do\":\"calm\",\"direction\":\"suction\",\"range\":\"large\",\"seconds\":20,"
            + "\"plates\":[\"36\",\"44\"],\"quick\":true}";
    assertEquals(200, asked(calm));
    RawHttp.readUntil(events, "\"asks\":\"36\"");
    assertEquals(200, asked("{\"do\":\"mounted\",\"bevel\":\"downstream\"}"));
    RawHttp.readUntil(events, "\"asks\":\"44\"");
    assertEquals(200, asked("{\"do\":\"stop\"}"));
    RawHttp.readUntil(events, "Stopped");
    assertEquals(200, asked(calm));
    String said = RawHttp.readUntil(events, "\"asks\":\"44\"");
    assertFalse(said.contains("\"asks\":\"36\""), said);
    assertEquals(200, asked("{\"do\":\"mounted\",\"bevel\":\"downstream\"}"));
    String end = RawHttp.readUntil(events, "\"doubt\":false");
    assertTrue(
        (said + end).contains("1 run on plate 36, left by a calm record that was interrupted"),
        said + end);
    assertTrue(Files.exists(data.resolve("calm").resolve("calm.json")));
    assertFalse(Files.exists(data.resolve("calm-suction-large.readings")));
  }

  @Test
  void aBenchThatIsNotAcceptedIsNotWritten() throws IOException {
    byte[] before = bench();
    String answer = http.post("/api/bench", "{\"bench\":{\"meniscus\":\"bench/1\",\"nam\":\"x\"}}");
    assertEquals(422, status(answer), answer);
    assertEquals(400, status(http.post("/api/bench", "{\"bench\":{\"upkeep\":{}}}")));
    assertArrayEquals(before, bench());
    assertEquals(422, status(http.post("/api/plates", "{\"plates\":[{\"name\":\"a\"}]}")));
  }
}
