package meniscus.recorder.export;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import de.siegmar.fastcsv.reader.CsvReader;
import de.siegmar.fastcsv.reader.NamedCsvRecord;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.security.MessageDigest;
import java.time.Instant;
import java.util.HexFormat;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.TreeMap;
import java.util.stream.Stream;
import meniscus.core.lift.InventedBench;
import meniscus.core.lift.LiftPoint;
import meniscus.core.lift.Plan;
import meniscus.core.lift.PortKind;
import meniscus.core.lift.TestCurve;
import meniscus.recorder.cli.Called;
import meniscus.recorder.report.InventedFolders;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

/** {@code export} from outside. */
class ExportCommandTest {

  private static final Instant DAY = Instant.parse("2031-05-06T07:08:09Z");
  private static final String FORMULA = "=HYPERLINK(\"http://x\",\"y\")";

  @TempDir private Path temp;

  private Path tests;
  private TestCurve before;

  @BeforeEach
  void twoTests() throws IOException {
    tests = temp.resolve("tests");
    InventedBench bench = new InventedBench(3, InventedBench.Errors.USUAL);
    before = bench.run("before", Optional.empty(), lift -> 1);
    InventedFolders.write(tests.resolve("before"), before, true, DAY);
    List<Plan.ChangeNote> changes =
        List.of(
            new Plan.ChangeNote(
                "\t+opened", "bowl", OptionalDouble.empty(), OptionalDouble.empty()));
    InventedFolders.write(
        tests.resolve("after"),
        InventedBench.of(
            new Plan.Part(FORMULA, "", "-1", "\uFF1D1", "@job"),
            PortKind.INTAKE,
            changes,
            bench.run("after", Optional.empty(), lift -> 1.02)),
        true,
        DAY.plusSeconds(86_400));
  }

  private static List<NamedCsvRecord> rows(String csv) {
    return CsvReader.builder().ofNamedCsvRecord(csv.replace("\uFEFF", "")).stream().toList();
  }

  @Test
  void pointsOfManyTestsInOneTable() {
    Called called = Called.with("export", tests);
    assertEquals(0, called.code(), called.err());
    List<NamedCsvRecord> rows = rows(called.out());
    assertEquals(24, rows.size());
    assertEquals("after", rows.get(0).getField("test"));
    NamedCsvRecord third = rows.get(14);
    LiftPoint kept = before.points().get(2);
    assertEquals("before", third.getField("test"));
    assertEquals("3", third.getField("rung"));
    assertEquals("3", third.getField("lift (mm)"));
    assertEquals(
        kept.flowM3PerS() / 0.3048 / 0.3048 / 0.3048 * 60,
        Double.parseDouble(third.getField("flow (cfm)")),
        1e-9);
    assertEquals("steady", third.getField("verdict"));
    assertEquals("2031-05-06T07:09:39Z", third.getField("kept_at"));
  }

  @Test
  void anyUnits() {
    NamedCsvRecord inch =
        rows(Called.with(
                    "export",
                    tests.resolve("before"),
                    "--units",
                    "inch",
                    "--flow-unit",
                    "m3/h",
                    "--pressure-unit",
                    "kPa")
                .out())
            .get(4);
    assertEquals(5 / 25.4, Double.parseDouble(inch.getField("lift (in)")), 1e-11);
    assertEquals(
        before.points().get(4).flowM3PerS() * 3600,
        Double.parseDouble(inch.getField("flow (m3/h)")),
        1e-8);
    assertEquals(6.974, Double.parseDouble(inch.getField("test_pressure (kPa)")), 1e-9);
    Called wrong = Called.with("export", tests, "--flow-unit", "Pa");
    assertEquals(2, wrong.code());
    assertTrue(wrong.err().contains("cfm"), wrong.err());
  }

  @Test
  void aSpreadsheetFindsTheTimeOnTheClocksOfItsCountry() {
    List<NamedCsvRecord> berlin =
        rows(Called.with("export", tests, "--time-zone", "Europe/Berlin").out());
    assertEquals("2031-05-06 09:09:39", berlin.get(14).getField("kept_at_local (Europe/Berlin)"));
    assertEquals("2031-05-06T07:09:39Z", berlin.get(14).getField("kept_at"), "and the instant");
    String list =
        Called.with("export", tests, "--list", "--decimal-comma", "--time-zone", "Asia/Kolkata")
            .out();
    assertTrue(list.lines().findFirst().orElseThrow().endsWith(";at_local (Asia/Kolkata)"), list);
    assertTrue(list.contains(";2031-05-06 12:38:09"), list);
    Called wrong = Called.with("export", tests, "--time-zone", "Europe/Atlantis");
    assertEquals(2, wrong.code());
    assertTrue(wrong.err().contains("Europe/Atlantis"), wrong.err());
  }

  @Test
  void everyColumnIsInUnitsOfTheUsersSystem() {
    NamedCsvRecord inch =
        rows(Called.with("export", tests.resolve("before"), "--units", "inch").out()).get(4);
    NamedCsvRecord metric =
        rows(Called.with("export", tests.resolve("before"), "--units", "metric").out()).get(4);
    assertEquals(
        before.points().get(4).effectiveAreaM2() / 0.0254 / 0.0254,
        Double.parseDouble(inch.getField("effective_area (in2)")),
        1e-11);
    double celsius = Double.parseDouble(metric.getField("reference_temperature (degC)"));
    assertEquals(
        celsius * 1.8 + 32,
        Double.parseDouble(inch.getField("reference_temperature (degF)")),
        1e-9);
    // 1 inHg is 3386.389 Pa (conventional; NIST SP 811, appendix B.8).
    assertEquals(
        Double.parseDouble(metric.getField("reference_pressure (hPa)")) * 100 / 3386.389,
        Double.parseDouble(inch.getField("reference_pressure (inHg)")),
        1e-5);
    for (NamedCsvRecord row : List.of(inch, metric)) {
      boolean isInch = row == inch;
      List<String> foreign =
          isInch
              ? List.of("mm", "(Pa)", "(hPa)", "(degC)", "L/s", "m3")
              : List.of("(in", "cfm", "degF", "inHg", "(ft");
      for (String heading : row.getHeader()) {
        assertTrue(foreign.stream().noneMatch(heading::contains), heading);
      }
    }
  }

  @Test
  void noCellIsAFormula() {
    NamedCsvRecord row = rows(Called.with("export", tests.resolve("after")).out()).get(0);
    assertEquals("'" + FORMULA, row.getField("head"));
    assertEquals("'-1", row.getField("port"));
    assertEquals("'\uFF1D1", row.getField("valve_job"));
    assertEquals("'@job", row.getField("customer_reference"));
    assertEquals("'\t+opened (bowl)", row.getField("changes"));
    assertEquals("1", row.getField("lift (mm)"));
  }

  @ParameterizedTest
  @ValueSource(strings = {"calm/run-1.csv", "samples.csv.gz", "points.csv"})
  void nothingOfADamagedTestIsPassedOn(String name) throws Exception {
    Path damaged = tests.resolve("damaged");
    InventedFolders.write(
        damaged,
        before,
        true,
        DAY,
        java.util.Map.of("calm/run-1.csv", "time_s,value\n".getBytes()));
    assertEquals(0, Called.with("export", damaged).code());
    byte[] bytes = Files.readAllBytes(damaged.resolve(name));
    bytes[bytes.length / 2] ^= 1;
    Files.write(damaged.resolve(name), bytes);
    Called called = Called.with("export", tests);
    assertEquals(4, called.code(), called.out());
    assertTrue(called.err().contains(name) && called.err().contains("damaged"), called.err());
    assertEquals("", called.out());
  }

  @Test
  void dataFilesStayUntouched() throws Exception {
    Map<String, String> first = hashes();
    Called.with("export", tests, "--out", temp.resolve("all.csv"));
    Called.with("export", tests, "--list");
    Map<String, String> then = hashes();
    then.remove(".meniscus-index.jsonl");
    assertEquals(first, then);
  }

  private Map<String, String> hashes() throws Exception {
    Map<String, String> hashes = new TreeMap<>();
    try (Stream<Path> files = Files.walk(tests)) {
      for (Path file : files.filter(Files::isRegularFile).toList()) {
        byte[] digest = MessageDigest.getInstance("SHA-256").digest(Files.readAllBytes(file));
        hashes.put(tests.relativize(file).toString(), HexFormat.of().formatHex(digest));
      }
    }
    return hashes;
  }

  @Test
  void jsonHoldsTheSameRows() throws IOException {
    Path out = temp.resolve("all.json");
    Called called = Called.with("export", tests, "--out", out);
    assertEquals(0, called.code(), called.err());
    JsonNode json = new ObjectMapper().readTree(Files.readString(out));
    assertEquals(24, json.get("rows").size());
    JsonNode row = json.get("rows").get(0);
    assertEquals(FORMULA, row.get("head").asText());
    assertEquals(1, row.get("lift").asDouble());
    assertTrue(row.get("cd_curtain").isNull());
    assertTrue(row.get("pressure_as_asked").isBoolean());
    assertEquals("cfm", unitOf(json, "flow"));
    Called printed = Called.with("export", tests, "--json");
    assertEquals(json, new ObjectMapper().readTree(printed.out()));
    assertEquals(1, printed.out().lines().count());
  }

  private static String unitOf(JsonNode json, String column) {
    for (JsonNode one : json.get("columns")) {
      if (one.get("name").asText().equals(column)) {
        return one.get("unit").asText();
      }
    }
    return "no such column";
  }

  @Test
  void aDecimalCommaPartsColumnsBySemicolons() {
    List<NamedCsvRecord> rows =
        CsvReader.builder()
            .fieldSeparator(';')
            .ofNamedCsvRecord(
                Called.with("export", tests, "--decimal-comma", "--lift-unit", "in").out())
            .stream()
            .toList();
    assertEquals(24, rows.size());
    assertTrue(rows.get(0).getField("lift (in)").startsWith("0,03937"));
  }

  @Test
  void aFileThatIsThereIsNotWrittenOver() throws IOException {
    Path out = temp.resolve("all.csv");
    Files.writeString(out, "mine");
    Called refused = Called.with("export", tests, "--out", out);
    assertEquals(2, refused.code());
    assertTrue(refused.err().contains("--replace"), refused.err());
    assertEquals("mine", Files.readString(out));
    assertEquals(0, Called.with("export", tests, "--out", out, "--replace").code());
    assertEquals(24, rows(Files.readString(out)).size());
  }

  @Test
  void wrongWordsAreUsage() {
    assertEquals(2, Called.with("export").code());
    assertEquals(2, Called.with("export", tests, "--out", temp.resolve("all.xls")).code());
    assertEquals(2, Called.with("export", tests, "--out", temp.resolve("a.csv"), "--json").code());
    assertEquals(2, Called.with("export", tests, "--since", "yesterday").code());
    Path inside = tests.resolve("before/mine.csv");
    assertEquals(2, Called.with("export", tests, "--out", inside).code());
    assertFalse(Files.exists(inside));
  }

  @Test
  void damagedAndForeignFoldersAreRefusedByFile() throws IOException {
    Called foreign = Called.with("export", temp.resolve("nowhere"));
    assertEquals(4, foreign.code());
    assertTrue(foreign.err().contains("nowhere"), foreign.err());
    Path budget = tests.resolve("before/budget.csv");
    Files.writeString(budget, Files.readString(budget) + "1,x\n");
    Called damaged = Called.with("export", tests, "--out", temp.resolve("all.csv"));
    assertEquals(4, damaged.code());
    assertTrue(damaged.err().contains("budget.csv"), damaged.err());
    assertFalse(Files.exists(temp.resolve("all.csv")));
    Called list = Called.with("export", tests, "--list");
    assertEquals(0, list.code());
    assertTrue(list.out().contains("damaged"), list.out());
  }

  @Test
  void theListIsSearched() throws IOException {
    Called list = Called.with("export", tests, "--list", "--change", "OPENED");
    assertEquals(1, list.out().lines().count());
    assertTrue(list.out().startsWith("2031-05-07  after"), list.out());
    Called none = Called.with("export", tests, "--list", "--part", "walrus");
    assertEquals(4, none.code());
    JsonNode json =
        new ObjectMapper()
            .readTree(Called.with("export", tests, "--list", "--json", "--lift", "5 mm").out());
    assertEquals(2, json.get("rows").size());
    assertEquals(12, json.get("rows").get(0).get("points").asInt());
  }
}
