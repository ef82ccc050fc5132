package meniscus.recorder.upkeep;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import java.io.IOException;
import java.io.InputStream;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import org.junit.jupiter.api.Tag;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** The units that someone reads and writes change what is shown, never a result. */
@Tag("long")
class InchAndMetricTest {

  private static final double CFM_PER_LITRE_A_SECOND = 60e-3 / (0.3048 * 0.3048 * 0.3048);

  @TempDir private Path temp;

  private static JsonNode json(Called called) throws IOException {
    assertTrue(called.code() == 0 || called.code() == 5, called.err());
    return new ObjectMapper().readTree(called.out());
  }

  /** A folder with bench, plan and plates in one system of units. */
  private Path files(String units, String... changes) throws IOException {
    Path folder = Files.createDirectory(temp.resolve(units));
    for (String name : List.of("bench.json", "plan.json")) {
      try (InputStream in = getClass().getResourceAsStream("/meniscus/recorder/record/" + name)) {
        String text = new String(in.readAllBytes(), StandardCharsets.UTF_8);
        text = text.replace("\"units\": \"inch\"", "\"units\": \"" + units + "\"");
        for (int i = 0; i < changes.length; i += 2) {
          text = text.replace(changes[i], changes[i + 1]);
        }
        Files.writeString(folder.resolve(name), text);
      }
    }
    return folder;
  }

  @Test
  void oneTestInInchesAndInMetricIsOneTest() throws IOException {
    Path inch = files("inch");
    Path metric =
        files(
            "metric",
            "[0.1, 0.2, 0.3]",
            "[2.54, 5.08, 7.62]",
            "28 inH2O",
            "6974.48948 Pa",
            "1.94 in",
            "49.276 mm",
            "0.25 m3",
            "250 L");
    List<JsonNode> read = new ArrayList<>();
    for (Path folder : List.of(inch, metric)) {
      Called.run("", "zero", "--bench", folder.resolve("bench.json"), "--quick");
      Path out = folder.resolve("test");
      Called.run(
          "keep\nkeep\nkeep\n",
          "record",
          "--bench",
          folder.resolve("bench.json"),
          "--plan",
          folder.resolve("plan.json"),
          "--out",
          out,
          "--quick",
          "--json");
      read.add(json(Called.run("", "recompute", out, "--json", "--budget")));
    }
    assertEquals(List.of("cfm", "L/s"), read.stream().map(r -> text(r, "flow_unit")).toList());
    assertEquals(3, read.get(0).get("points").size());
    for (int i = 0; i < 3; i++) {
      JsonNode one = read.get(0).get("points").get(i);
      JsonNode other = read.get(1).get("points").get(i);
      for (String what : List.of("flow", "flow_u95")) {
        double cfm = one.get(what).asDouble();
        assertEquals(cfm, other.get(what).asDouble() * CFM_PER_LITRE_A_SECOND, 1e-6 * cfm, what);
      }
      assertEquals(
          one.get("budget").findValuesAsText("from"), other.get("budget").findValuesAsText("from"));
      assertLargestFirst(one.get("budget"));
    }
  }

  private static String text(JsonNode node, String name) {
    return node.get(name).asText();
  }

  private static void assertLargestFirst(JsonNode budget) {
    assertTrue(budget.size() > 10, budget.toString());
    for (int i = 1; i < budget.size(); i++) {
      assertTrue(
          budget.get(i).get("flow").asDouble() <= budget.get(i - 1).get("flow").asDouble(),
          budget.toString());
    }
  }

  @Test
  void theTableOfABudgetIsInWordsAndLargestFirst() throws IOException {
    Path inch = files("inch");
    Path out = inch.resolve("test");
    Called.run(
        "keep\nstop\n",
        "record",
        "--bench",
        inch.resolve("bench.json"),
        "--plan",
        inch.resolve("plan.json"),
        "--out",
        out,
        "--quick",
        "--json");
    Called table = Called.run("", "recompute", out, "--budget");
    assertEquals(0, table.code(), table.err());
    List<String> rows = table.out().lines().filter(line -> line.matches(".*\\d %  .*")).toList();
    assertTrue(rows.size() > 10, table.out());
    double before = Double.POSITIVE_INFINITY;
    double shares = 0;
    for (String row : rows) {
      String[] cells = row.strip().split(" +", 4);
      double size = Double.parseDouble(cells[0]);
      assertTrue(size <= before, table.out());
      before = size;
      shares += Double.parseDouble(cells[1]);
      assertTrue(cells[3].matches(".+\\((systematic|set-up|repeat)\\)"), row);
    }
    assertEquals(100, shares, rows.size() / 2.0);
  }

  @Test
  void shopSumsAreTheSameInBoth() throws IOException {
    String[][] pairs = {
      {
        "air|--temperature|73.4 degF|--pressure|29.92 inHg|--humidity|50 %",
        "air|--temperature|23 degC|--pressure|1013.2075888 hPa|--humidity|0.5"
      },
      {
        "plate|--bore|2 in|--pipe|4 in|--taps|flange|--drop|10 inH2O|--upstream|14.7 psi"
            + "|--temperature|68 degF|--humidity|40 %",
        "plate|--bore|50.8 mm|--pipe|101.6 mm|--taps|flange|--drop|2490.8891 Pa|--upstream"
            + "|101352.932 Pa|--temperature|20 degC|--humidity|40 %"
      },
      {
        "valve|--head|2.02 in|--seat-width|0.07 in|--seat-angle|45 deg|--throat|1.8 in|--stem"
            + "|0.31 in|--lift|0.25 in",
        "valve|--head|51.308 mm|--seat-width|1.778 mm|--seat-angle|45 deg|--throat|45.72 mm|--stem"
            + "|7.874 mm|--lift|6.35 mm"
      },
      {
        "force|--head|2.02 in|--pressure|28 inH2O",
        "force|--head|51.308 mm|--pressure|6974.48948 Pa"
      }
    };
    for (String[] pair : pairs) {
      JsonNode inch = figure(pair[0]);
      JsonNode metric = figure(pair[1]);
      inch.properties()
          .forEach(
              field -> {
                if (field.getValue().isNumber()) {
                  double value = field.getValue().asDouble();
                  assertEquals(
                      value,
                      metric.get(field.getKey()).asDouble(),
                      1e-6 * Math.abs(value),
                      pair[0] + ": " + field.getKey());
                }
              });
    }
  }

  private static JsonNode figure(String words) throws IOException {
    List<Object> all = new ArrayList<>(List.of("figure"));
    all.addAll(List.of(words.split("\\|")));
    all.add("--json");
    return json(Called.run("", all.toArray()));
  }
}
