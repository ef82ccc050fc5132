package meniscus.recorder.page;

import static meniscus.recorder.page.RawHttp.status;
import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import java.io.IOException;
import java.net.Socket;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Locale;
import java.util.function.Predicate;
import meniscus.recorder.feed.Drivers;
import meniscus.recorder.file.BenchFile;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Tag;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.Timeout;
import org.junit.jupiter.api.io.TempDir;

/**
 * Each piece of upkeep at the pace of the clock on the wall: how it stands is seen while it goes
 * on, Stop ends it in the middle of a reading, what was kept stays, and it is taken up again.
 */
@Tag("long")
@Timeout(value = 600, threadMode = Timeout.ThreadMode.SEPARATE_THREAD)
class UpkeepStoppedTest {

  private static final ObjectMapper JSON = new ObjectMapper();
  private static final String PLATES = "\"direction\":\"suction\",\"range\":\"large\",";

  @TempDir Path data;
  private PageServer page;
  private RawHttp http;

  @BeforeEach
  void serve() throws IOException {
    page = PageServer.start(0, data, data.resolve("bench.json"), Drivers.shipped());
    http = new RawHttp(page);
    assertEquals(200, status(http.post("/api/simulated-bench", "{}")));
  }

  @AfterEach
  void close() {
    page.close();
  }

  private byte[] bench() throws IOException {
    return Files.readAllBytes(data.resolve("bench.json"));
  }

  private void asks(String body) throws IOException {
    String answer = http.post("/api/upkeep", body);
    assertEquals(200, status(answer), answer);
  }

  private JsonNode state() throws IOException {
    String answer = http.get("/api/state");
    return JSON.readTree(answer.substring(answer.indexOf("\r\n\r\n"))).get("upkeep");
  }

  private JsonNode await(String what, Predicate<JsonNode> until) throws Exception {
    JsonNode now = state();
    while (!until.test(now)) {
      assertFalse(now.has("outcome"), "no " + what + ", it has ended: " + now);
      Thread.sleep(20);
      now = state();
    }
    return now;
  }

  private void mount(String plate) throws Exception {
    await("plate " + plate, now -> now.path("asks").asText().equals(plate));
    asks("{\"do\":\"mounted\",\"bevel\":\"downstream\"}");
  }

  private void ready(String begins) throws Exception {
    int answered;
    do {
      await(begins, now -> now.path("ready").asText().startsWith(begins));
      answered = status(http.post("/api/upkeep", "{\"do\":\"ready\"}"));
    } while (answered == 409); // the question before still stood, in the same words
    assertEquals(200, answered);
  }

  private JsonNode outcome() throws Exception {
    JsonNode now = state();
    while (!now.has("outcome")) {
      Thread.sleep(20);
      now = state();
    }
    return now.get("outcome");
  }

  /** How the reading stands, from the page's own events. */
  private JsonNode live() throws IOException {
    try (Socket events = http.open(http.head("GET /api/live") + "\r\n")) {
      events.setSoTimeout(120_000);
      RawHttp.readUntil(events, "upkeep_live");
      String text = RawHttp.readUntil(events, "longest_s");
      text += text.contains("}") ? "" : RawHttp.readUntil(events, "}");
      int from = text.lastIndexOf('{', text.lastIndexOf("longest_s"));
      return JSON.readTree(text.substring(from, text.indexOf('}', from) + 1));
    }
  }

  /** Stops what goes on; what is kept is said. */
  private void stopped(String kept) throws Exception {
    long before = System.nanoTime();
    asks("{\"do\":\"stop\"}");
    JsonNode end = outcome();
    System.out.printf(
        Locale.ROOT,
        "%s stopped within %.2f s%n",
        state().get("task").asText(),
        (System.nanoTime() - before) * 1e-9);
    assertEquals("stopped", end.get("kind").asText(), end::toString);
    assertTrue(end.get("lines").get(0).asText().contains(kept), end::toString);
  }

  private JsonNode done() throws Exception {
    JsonNode end = outcome();
    assertTrue(end.get("kind").asText().startsWith("done"), end::toString);
    return end;
  }

  private static void inItsBand(JsonNode live, double askedInchOfWater) {
    assertEquals("inH2O", live.get("unit").asText());
    assertEquals(askedInchOfWater, live.get("asked").asDouble(), 1e-3);
    assertEquals(0.95 * askedInchOfWater, live.get("low").asDouble(), 1e-2);
    assertEquals(1.05 * askedInchOfWater, live.get("high").asDouble(), 1e-2);
    assertTrue(live.get("pressure").isNumber() && live.get("drop").isNumber(), live::toString);
    assertTrue(live.has("still_s") && live.get("longest_s").asDouble() > 0, live::toString);
  }

  @Test
  void zeroAndLeakage() throws Exception {
    byte[] before = bench();
    asks("{\"do\":\"zero\",\"seconds\":60}");
    assertTrue(live().get("at_rest").asBoolean());
    stopped("the bench file is as it was");
    assertArrayEquals(before, bench());
    asks("{\"do\":\"zero\",\"quick\":true}");
    done();
    byte[] zeroed = bench();
    asks("{\"do\":\"leakage\",\"direction\":\"suction\"}");
    inItsBand(live(), 7);
    assertEquals("bench blanked; pressure 1 of 3", state().get("step").asText());
    stopped("the bench file is as it was");
    assertArrayEquals(zeroed, bench());
    asks("{\"do\":\"leakage\",\"direction\":\"suction\",\"quick\":true}");
    done();
  }

  @Test
  void calibrationAndCheck() throws Exception {
    String calibrate =
        "{\"do\":\"calibrate\","
            + PLATES
            + "\"plates\":[\"36\",\"44\"],\"at\":\"14 inH2O, 28 inH2O\"";
    asks(calibrate + ",\"quick\":true}");
    mount("36");
    await("plate 44", now -> now.path("asks").asText().equals("44"));
    stopped("Each plate that was read is kept");
    byte[] before = bench();

    asks(calibrate + "}");
    JsonNode taken = await("plate 44", now -> now.path("asks").asText().equals("44"));
    assertEquals(2, taken.get("points").size(), "what was read stands on the growing correction");
    assertTrue(taken.get("points").get(0).get("percent").isNumber(), taken::toString);
    mount("44");
    inItsBand(live(), 14);
    assertEquals("plate 44, 2 of 2; pressure 1 of 2", state().get("step").asText());
    stopped("begin again to go on from there");
    assertArrayEquals(before, bench());

    asks(calibrate + ",\"quick\":true}");
    mount("44");
    JsonNode end = done();
    assertEquals(4, state().get("points").size());
    assertTrue(
        end.get("lines").toString().contains("what averaging cannot take away"),
        "between a reading that is good to 0.1 % and the result stands one sentence: " + end);
    before = bench();

    String check = "{\"do\":\"check\"," + PLATES + "\"plate\":\"44\"";
    asks(check + "}");
    mount("44");
    inItsBand(live(), 28);
    stopped("the bench file is as it was");
    assertArrayEquals(before, bench());

    asks(check + ",\"at\":\"99 inH2O\",\"quick\":true}");
    mount("44");
    missed(1, "the blower does not reach it", "again");
    missed(2, "the blower does not reach it", "longer");
    JsonNode log = missed(3, "the blower does not reach it", "leave_out");
    double usual = waited(log, 1);
    assertTrue(waited(log, 2) > usual + 60, "three times the patience: " + log);
    assertEquals("refused", outcome().get("kind").asText());
    assertArrayEquals(before, bench());
    asks(check + ",\"quick\":true}");
    mount("44");
    done();
  }

  /** Seconds that the nth missed reading was waited for, as it says itself. */
  private static double waited(JsonNode bad, int n) {
    String said = bad.get(n).get("text").asText();
    return Double.parseDouble(said.replaceAll("(?s).*after (\\d+) s:.*", "$1"));
  }

  /** Waits until so many readings were missed, and answers. */
  private JsonNode missed(int times, String why, String then) throws Exception {
    JsonNode now =
        await(times + " missed", each -> bad(each).size() == times && !each.get("missed").isNull());
    assertTrue(now.get("missed").asText().contains(why), now::toString);
    asks("{\"do\":\"" + then + "\"}");
    return bad(now);
  }

  private static JsonNode bad(JsonNode state) {
    var bad = JSON.createArrayNode();
    state
        .path("log")
        .forEach(
            row -> {
              if (!row.get("good").asBoolean()) {
                bad.add(row);
              }
            });
    return bad;
  }

  @Test
  void calmRecord() throws Exception {
    byte[] before = bench();
    String calm = "{\"do\":\"calm\"," + PLATES + "\"seconds\":20,\"plates\":[\"44\"],";
    asks(calm + "\"at\":\"28 inH2O\"}");
    mount("44");
    inItsBand(live(), 28);
    stopped("the calm record is as it was");
    assertArrayEquals(before, bench());
    asks(calm + "\"at\":\"28 inH2O, 99 inH2O\",\"quick\":true}");
    mount("44");
    missed(1, "never within", "leave_out");
    JsonNode end = done();
    assertEquals("done with doubt", end.get("kind").asText());
    assertEquals(1, end.get("json").get("missed").asInt());
    assertEquals(1, end.get("json").get("runs").size(), "the other one is stored");
  }

  @Test
  void repeatability() throws Exception {
    BenchFile.identified(data.resolve("bench.json")); // a fitting is a test, which asks for an id
    byte[] before = bench();
    String repeat = "{\"do\":\"repeat\",\"plan\":\"plan.json\",\"fittings\":3";
    asks(repeat + ",\"quick\":true}");
    ready("Fitting 1 of 3");
    await("fitting 2", now -> now.path("ready").asText().startsWith("Fitting 2 of 3"));
    stopped("Each fitting that was taken is kept in the folder repeats");

    asks(repeat + "}");
    ready("Fitting 2 of 3");
    inItsBand(live(), 28);
    assertEquals("fitting, 2 of 3", state().get("step").asText());
    stopped("begin again to go on from there");
    assertArrayEquals(before, bench());

    asks(repeat + ",\"quick\":true}");
    ready("Fitting 2 of 3");
    ready("Fitting 3 of 3");
    JsonNode end = done();
    assertTrue(end.get("lines").toString().contains("known to within"), end::toString);
    assertTrue(state().get("log").toString().contains("1 fitting of head"), "taken up: " + state());
  }

  @Test
  void bothGaugesOnOnePressure() throws Exception {
    byte[] before = bench();
    asks("{\"do\":\"gauges\"}");
    ready("Blower off. Put both gauges");
    assertTrue(live().get("at_rest").asBoolean());
    stopped("the bench file is as it was");
    assertArrayEquals(before, bench());
    asks("{\"do\":\"gauges\",\"quick\":true}");
    ready("Blower off. Put both gauges");
    ready("Bring both to about");
    ready("Bring both to about");
    done();
  }
}
