package meniscus.recorder.page;

import static meniscus.recorder.page.RawHttp.status;
import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import com.fasterxml.jackson.databind.node.ObjectNode;
import java.io.ByteArrayInputStream;
import java.io.ByteArrayOutputStream;
import java.io.IOException;
import java.io.PrintStream;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.StandardCopyOption;
import java.time.Instant;
import java.time.InstantSource;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.TreeMap;
import java.util.concurrent.locks.LockSupport;
import java.util.stream.Stream;
import meniscus.recorder.cli.MeniscusCommand;
import meniscus.recorder.cli.terminal.Console;
import meniscus.recorder.feed.Drivers;
import meniscus.recorder.file.BenchFile;
import meniscus.recorder.upkeep.MovedBench;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Tag;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.Timeout;
import org.junit.jupiter.api.io.TempDir;

/**
 * Terminal and page are two doors of one house: the same task on the same readings ends the same
 * way, says the same, and leaves the same bytes behind. The simulated bench gives the same readings
 * for the same seed; both doors have one clock.
 */
@Timeout(value = 1200, threadMode = Timeout.ThreadMode.SEPARATE_THREAD)
@Tag("long")
class BothDoorsTest {

  private static final InstantSource CLOCK =
      InstantSource.fixed(Instant.parse("2031-05-06T07:08:09.123Z"));

  private static final ObjectMapper JSON = new ObjectMapper();

  private static final Map<String, Integer> EXIT_CODES =
      Map.of("done", 0, "done with doubt", 5, "refused", 3);

  @TempDir Path temp;
  private Path atTerminal;
  private Path atPage;
  private PageServer page;
  private RawHttp http;

  /** What one door gave: how it ended, what it said on which stream, its JSON. */
  private record Came(int exitCode, List<String> good, List<String> bad, JsonNode json) {}

  @BeforeEach
  void serve() throws IOException {
    atPage = Files.createDirectory(temp.resolve("page"));
    atTerminal = Files.createDirectory(temp.resolve("terminal"));
    page = PageServer.start(0, atPage, atPage.resolve("bench.json"), Drivers.shipped(), CLOCK);
    http = new RawHttp(page);
    assertEquals(200, status(http.post("/api/simulated-bench", "{}")));
    BenchFile.identified(atPage.resolve("bench.json")); // one id on both sides
    for (String name : List.of("bench.json", "plates.json", "plan.json")) {
      Files.copy(atPage.resolve(name), atTerminal.resolve(name));
    }
    MovedBench.same(atTerminal.resolve("bench.json")); // and one file, at home at both
    Files.copy(
        atTerminal.resolve("bench.json"),
        atPage.resolve("bench.json"),
        StandardCopyOption.REPLACE_EXISTING);
  }

  @AfterEach
  void close() {
    page.close();
  }

  // ------------------------------------------------------------------ the doors

  private Came throughTheTerminal(String task, String... options) throws IOException {
    List<String> words = new ArrayList<>(List.of(task));
    words.addAll(List.of("--bench", atTerminal.resolve("bench.json").toString(), "--quick"));
    words.addAll(List.of(options));
    if (List.of("calibrate", "check", "calm").contains(task)) {
      words.addAll(List.of("--plates", atTerminal.resolve("plates.json").toString()));
    }
    words.add("--json");
    ByteArrayOutputStream out = new ByteArrayOutputStream();
    ByteArrayOutputStream err = new ByteArrayOutputStream();
    int code =
        MeniscusCommand.run(
            new Console(
                new PrintStream(out, true, StandardCharsets.UTF_8),
                new PrintStream(err, true, StandardCharsets.UTF_8),
                new ByteArrayInputStream(new byte[0]),
                CLOCK),
            words.toArray(String[]::new));
    ObjectNode answer = (ObjectNode) JSON.readTree(out.toString(StandardCharsets.UTF_8));
    assertEquals(task + "/1", answer.remove("meniscus").asText(), "the terminal names the form");
    return new Came(code, List.of(), err.toString(StandardCharsets.UTF_8).lines().toList(), answer);
  }

  private Came throughThePage(String task, String... options) throws IOException {
    ObjectNode body = JSON.createObjectNode().put("do", task).put("quick", true);
    for (int i = 0; i < options.length; i++) {
      String name = options[i].substring(2).replace('-', '_');
      boolean flag = i + 1 == options.length || options[i + 1].startsWith("--");
      if (flag) {
        body.put(name, true);
      } else if (name.equals("leave_out")) {
        body.putArray(name).add(options[++i]);
      } else {
        body.put(name, options[++i]);
      }
    }
    String answer = http.post("/api/upkeep", body.toString());
    assertEquals(200, status(answer), answer);
    JsonNode outcome = outcome();
    List<String> good = new ArrayList<>();
    List<String> bad = new ArrayList<>();
    for (int i = 0; i < outcome.get("lines").size(); i++) {
      (outcome.get("good").get(i).asBoolean() ? good : bad)
          .add(outcome.get("lines").get(i).asText());
    }
    return new Came(EXIT_CODES.get(outcome.get("kind").asText()), good, bad, outcome.get("json"));
  }

  /** Mounts each plate that is asked for, until the end. */
  private JsonNode outcome() throws IOException {
    while (true) {
      String answer = http.get("/api/state");
      JsonNode upkeep = JSON.readTree(answer.substring(answer.indexOf("\r\n\r\n"))).get("upkeep");
      if (upkeep.has("outcome")) {
        return upkeep.get("outcome");
      }
      if (!upkeep.get("asks").isNull()) {
        // Between look and answer the question may have been answered: a second one is refused.
        http.post("/api/upkeep", "{\"do\":\"mounted\",\"bevel\":\"downstream\"}");
      } else if (!upkeep.get("ready").isNull()) {
        http.post("/api/upkeep", "{\"do\":\"ready\"}");
      } else if (!upkeep.get("missed").isNull()) {
        http.post("/api/upkeep", "{\"do\":\"leave_out\"}");
      } else {
        LockSupport.parkNanos(10_000_000); // only how often it is looked at
      }
    }
  }

  /**
   * Each folder of a plate draws an id of its own, and how long its journal was depends on how
   * often it was forced meanwhile.
   */
  private static byte[] withoutItsOwn(Path file) throws IOException {
    return file.endsWith("datapackage.json")
        ? Files.readString(file)
            .replaceFirst("\"id\" : \"[0-9a-f-]{36}\"", "")
            .replaceFirst("\"journal_bytes\" : [0-9]+", "")
            .replaceFirst("\"seal\" : \"sha256:[0-9a-f]{64}\"", "")
            .getBytes(StandardCharsets.UTF_8)
        : Files.readAllBytes(file);
  }

  private static Map<String, byte[]> files(Path folder) throws IOException {
    Map<String, byte[]> files = new TreeMap<>();
    try (Stream<Path> all = Files.walk(folder)) {
      for (Path each : all.filter(Files::isRegularFile).toList()) {
        files.put(folder.relativize(each).toString(), withoutItsOwn(each));
      }
    }
    return files;
  }

  /** Through both doors, one after the other. */
  private Came both(String task, String... options) throws IOException {
    Came terminal = throughTheTerminal(task, options);
    Came shown = throughThePage(task, options);
    String said = task + " " + String.join(" ", options) + ": " + terminal.bad() + shown.bad();
    assertEquals(terminal.exitCode(), shown.exitCode(), said);
    assertEquals(terminal.json(), shown.json(), said);
    for (String line : shown.bad()) {
      assertEquals(true, terminal.bad().contains(line), "said on the page alone: " + line);
    }
    Map<String, byte[]> one = files(atTerminal);
    Map<String, byte[]> other = files(atPage);
    assertEquals(one.keySet(), other.keySet(), said);
    one.forEach((name, bytes) -> assertArrayEquals(bytes, other.get(name), said + ": " + name));
    return shown;
  }

  // ------------------------------------------------------------------ every task

  @Test
  void everyTaskEndsTheSameAndLeavesTheSameBytes() throws IOException {
    assertEquals(0, both("zero").exitCode());
    assertEquals(0, both("zero", "--seconds", "12", "--lift", "--seed", "3").exitCode());
    assertEquals(3, both("leakage", "--direction", "suction", "--limit", "0.1 cfm").exitCode());
    Came typed =
        both("leakage", "--direction", "suction", "--at", "3 kPa, 60 mbar", "--limit", "0.6 L/s");
    assertEquals(0, typed.exitCode(), "units as they are typed, on a bench in inches");
    assertEquals(6000, typed.json().get("at_pa").asDouble(), 1e-6);
    assertTrue(typed.json().get("limit_m3_per_s").asDouble() < 6e-4, "what was found, not asked");
    both("gauges");
    both(
        "leakage", "--direction", "suction", "--set-up", "head on, valves shut", "--range", "leak");
    both(
        "calibrate",
        "--direction",
        "suction",
        "--range",
        "large",
        "--at",
        "12 inH2O, 24 inH2O",
        "--target",
        "0.3 %",
        "--leave-out",
        "12.5");
    both("check", "--direction", "suction", "--plate", "44", "--remark", "after lunch");
    // Few readings at the largest plate: the blower does not hold the test pressure there.
    both("calm", "--direction", "suction", "--range", "large", "--seconds", "20");
  }
}
