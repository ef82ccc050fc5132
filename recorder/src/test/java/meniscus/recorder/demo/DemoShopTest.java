package meniscus.recorder.demo;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import com.fasterxml.jackson.databind.JsonNode;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.TreeSet;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import meniscus.recorder.record.Recorder;
import meniscus.recorder.record.Recorder.Ran;
import org.junit.jupiter.api.Tag;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/**
 * The invented shop's job: what its history says of each of the five changes against what the
 * simulation did to the ports. No claim may be false, and what is large must be found.
 */
@Tag("long")
class DemoShopTest {

  /** What one run a side finds on this bench, beyond the dial's zero at low lift [1]. */
  private static final double LARGE = 0.045;

  private static final Pattern HEAD_ROW =
      Pattern.compile("<th[^>]*>([0-9.]+) in</th>\\s*<td[^>]*>([0-9.]+)</td>");
  private static final Pattern CUSTOMER_ROW =
      Pattern.compile(
          "<td[^>]*>([0-9.]+) in</td>\\s*<td[^>]*>[0-9.]+ cfm</td>\\s*<td[^>]*>([0-9.]+) cfm</td>");

  @TempDir Path temp;

  @Test
  void theHistoryTellsOfEachChangeWhatTheSimulationDid() throws Exception {
    Path shop = temp.resolve("shop");
    Claims.run("demo", "--shop", "--out", shop);
    Map<String, JsonNode> truth = truth(shop);
    assertEquals(5, truth.size());
    JsonNode history =
        Recorder.json(Claims.run("report", "--history", shop.resolve("tests"), "--json"));
    Map<String, JsonNode> told = told(history);
    assertEquals(truth.keySet(), told.keySet());
    Set<String> gained = new TreeSet<>();
    Set<String> lost = new TreeSet<>();
    truth.forEach(
        (test, step) -> {
          assertEquals(
              List.of(), Claims.wrong(step.get("lifts"), told.get(test).get("lifts"), LARGE), test);
          told.get(test)
              .get("lifts")
              .forEach(
                  lift -> {
                    if (lift.get("outcome").asText().equals("gain")) {
                      gained.add(test);
                    } else if (lift.get("outcome").asText().equals("loss")) {
                      lost.add(test);
                    }
                  });
        });
    assertEquals(Set.of("intake-1-valve-job", "intake-1-bowl", "intake-2-valve-job"), gained);
    assertEquals(Set.of("intake-2-short-side", "exhaust-1-seat"), lost);
    saysWhatIsNext(history.get("next"));
    List<String> days = new ArrayList<>();
    history.get("ports").get(0).get("states").forEach(s -> days.add(s.get("since").asText()));
    assertEquals(
        List.of("2026-03-03T13:05:00Z", "2026-03-11T13:30:00Z", "2026-03-24T14:15:00Z"), days);
    assertTrue(Files.readString(shop.resolve("READ-ME.txt")).contains("invented"));
    sheetsAgree(shop);
    Ran again = Recorder.run("", "demo", "--shop", "--out", shop);
    assertEquals(4, again.exitCode(), "nothing is written over");
  }

  /** Those that lost come first; what gained on one intake is offered to the other. */
  private static void saysWhatIsNext(JsonNode next) {
    Map<String, JsonNode> ports = new LinkedHashMap<>();
    next.forEach(port -> ports.put(port.get("port").asText(), port));
    assertEquals(
        List.of("cylinder 1, intake 2", "cylinder 1, exhaust 1", "cylinder 1, intake 1"),
        List.copyOf(ports.keySet()));
    JsonNode lowered = ports.get("cylinder 1, intake 2");
    assertEquals("lost", lowered.get("last_change").asText());
    assertEquals("likely short side", lowered.get("suspicion").asText());
    assertEquals("[\"blended the bowl\"]", lowered.get("not_done_here").toString());
    JsonNode wide = ports.get("cylinder 1, exhaust 1");
    assertEquals("lost", wide.get("last_change").asText());
    assertEquals("lost at low lift", wide.get("suspicion").asText());
    assertEquals("gained", ports.get("cylinder 1, intake 1").get("last_change").asText());
  }

  /** The same flow of the same port is the same number on each sheet, but for its digits. */
  private static void sheetsAgree(Path shop) throws IOException {
    Map<String, String> head = column(shop.resolve("head.html"), HEAD_ROW);
    Map<String, String> customer = column(shop.resolve("customer.html"), CUSTOMER_ROW);
    assertEquals(7, customer.size());
    customer.forEach(
        (lift, flow) -> {
          int digits = Math.min(decimals(flow), decimals(head.get(lift)));
          assertEquals(
              Double.parseDouble(flow),
              Double.parseDouble(head.get(lift)),
              Math.pow(10, -digits) * 0.51,
              lift);
        });
    String history = Files.readString(shop.resolve("history.html"));
    for (String lift : List.of("0.050", "0.100", "0.200", "0.300")) {
      assertTrue(history.contains(lift + " in: " + head.get(lift) + " cfm, change 2"), lift);
    }
  }

  private static int decimals(String number) {
    return number.length() - 1 - number.indexOf('.');
  }

  /** The flow of a row by its lift; the first of each lift. */
  private static Map<String, String> column(Path sheet, Pattern row) throws IOException {
    Map<String, String> flows = new LinkedHashMap<>();
    Matcher found = row.matcher(Files.readString(sheet));
    while (found.find()) {
      flows.putIfAbsent(found.group(1), found.group(2));
    }
    return flows;
  }

  private static Map<String, JsonNode> truth(Path shop) throws IOException {
    Map<String, JsonNode> steps = new HashMap<>();
    Recorder.json(Files.readString(shop.resolve("truth.json")))
        .get("steps")
        .forEach(step -> steps.put(step.get("test").asText(), step));
    return steps;
  }

  /** What is said of the step to each test. */
  private static Map<String, JsonNode> told(JsonNode history) {
    Map<String, JsonNode> steps = new HashMap<>();
    for (JsonNode port : history.get("ports")) {
      for (JsonNode state : port.get("states")) {
        if (!state.get("step").isNull()) {
          assertFalse(state.get("changes").isEmpty());
          steps.put(state.get("tests").get(0).asText(), state.get("step"));
        }
      }
    }
    return steps;
  }
}
