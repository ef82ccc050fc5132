package meniscus.recorder.collection;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertNotEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.TreeSet;
import java.util.regex.Pattern;
import java.util.stream.Stream;
import meniscus.core.lift.InventedBench;
import meniscus.recorder.cli.Called;
import meniscus.recorder.disk.FolderLock;
import meniscus.recorder.export.ParquetJar;
import meniscus.recorder.file.Schema;
import meniscus.recorder.folder.Seal;
import meniscus.recorder.journal.Journal;
import meniscus.recorder.report.InventedFolders;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Tag;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/**
 * {@code collect}: what it wrote is read back by SQL and held against the folders' own tables,
 * which another part of the program wrote.
 */
@Tag("long")
class CollectCommandTest {

  private static final Instant DAY = Instant.parse("2031-05-06T07:08:09.123456789Z");
  private static final Instant NEXT_YEAR = Instant.parse("2032-01-01T00:00:01Z");
  private static final Path OLD = Path.of("src/test/resources/meniscus/recorder/formats/test-1");

  /** [m³/s] */
  private static final double CFM = 0.3048 * 0.3048 * 0.3048 / 60;

  private static final String ID = "5d0f7c1e-96a4-4b0e-8d43-0f2f0a6b1c77";

  private static final String HEALTH =
      """
      , "upkeep": {"health": [
        {"at": "2031-01-15T08:00:00Z", "kind": "plate_check", "subject": "30 mm",
         "direction": "suction", "range": "main", "value": 1.002, "expected": 1, "limit": 0.02},
        {"at": "2031-02-15T08:00:00Z", "kind": "plate_check", "subject": "30 mm",
         "direction": "suction", "range": "main", "value": 1.004, "expected": 1, "limit": 0.02}]}}
      """;

  @TempDir private Path temp;

  private final InventedBench bench = new InventedBench(3, InventedBench.Errors.USUAL);
  private Path tests;
  private Path into;
  private Path library;

  @BeforeEach
  void places() throws Exception {
    tests = temp.resolve("tests");
    into = temp.resolve("it's all");
    library = ParquetJar.path();
  }

  private Path test(String name, Instant began) throws IOException {
    String file =
        new String(
            InventedFolders.bench("Invented", "3f0e9a52-7c1d-4b66-9d0a-5e2b7c81f4a6", false),
            StandardCharsets.UTF_8);
    byte[] kept =
        (file.substring(0, file.lastIndexOf('}')) + HEALTH).getBytes(StandardCharsets.UTF_8);
    return InventedFolders.write(
        tests.resolve(name),
        bench.run(name, Optional.empty(), lift -> 1),
        true,
        began,
        Map.of("bench.json", kept));
  }

  private Called collect(Object... more) {
    List<Object> words = new ArrayList<>(List.of("collect", "--into", into));
    words.addAll(List.of("--parquet-library", library));
    words.addAll(List.of(more));
    return Called.with(words.toArray());
  }

  private JsonNode json(int code, Object... more) throws IOException {
    List<Object> words = new ArrayList<>(List.of(more));
    words.add("--json");
    Called called = collect(words.toArray());
    assertEquals(code, called.code(), called.err());
    assertEquals(List.of(), Schema.of("collect-1").complaints(called.out()), called.out());
    return new ObjectMapper().readTree(called.out());
  }

  /** Only files that the manifest names, as the docs tell readers to. */
  private List<Map<String, Object>> ask(String sql) throws Exception {
    List<String> all = new ArrayList<>(opened());
    Path samples = into.resolve("samples");
    if (Files.exists(samples)) {
      all.add(
          "CREATE VIEW samples AS SELECT * FROM read_parquet("
              + ParquetJar.quoted(samples.resolve("*/*.parquet"))
              + ")");
    }
    all.add(sql);
    return ParquetJar.read(all.toArray(String[]::new));
  }

  /** The statements of the docs that open a collection, for the one here. */
  private List<String> opened() throws IOException {
    return statements(blocks("sql").get(0));
  }

  private List<String> statements(String block) {
    return Stream.of(here(block).split(";\\s*\n")).filter(one -> !one.isBlank()).toList();
  }

  private String here(String text) {
    return text.replace("'collection/", "'" + into.toString().replace("'", "''") + "/");
  }

  private static List<String> blocks(String language) throws IOException {
    return Pattern.compile("```" + language + "\n(.*?)```", Pattern.DOTALL)
        .matcher(Files.readString(Path.of("..", "docs", "many-benches.md")))
        .results()
        .map(found -> found.group(1))
        .toList();
  }

  private long count(String table) throws Exception {
    return (long) ask("SELECT count(*) AS n FROM " + table).get(0).get("n");
  }

  private List<Path> filesUnder(Path folder) throws IOException {
    try (Stream<Path> files = Files.walk(folder)) {
      return files.filter(Files::isRegularFile).sorted().toList();
    }
  }

  private static void copy(Path from, Path to) throws IOException {
    try (Stream<Path> files = Files.walk(from)) {
      for (Path file : (Iterable<Path>) files::iterator) {
        Path there = to.resolve(from.relativize(file).toString());
        Files.createDirectories(there.getParent());
        Files.copy(file, there);
      }
    }
  }

  @Test
  void whatStandsInAFolderStandsInTheCollectionInSi() throws Exception {
    Path first = test("one", DAY);
    test("two", NEXT_YEAR);
    JsonNode told = json(0, tests);
    assertEquals(2, told.get("added").asInt());
    assertEquals(2, told.get("tests").asInt());
    // points.csv is in the plan's mm and cfm; a foot is 0.3048 m by definition (NIST SP 811, B.8).
    List<Map<String, Object>> pairs =
        ask(
            "SELECT p.lift_m, p.flow_m3_per_s, c.lift, c.flow FROM points p JOIN tests t USING"
                + " (test_id) JOIN read_csv("
                + ParquetJar.quoted(first.resolve("points.csv"))
                + ") c ON c.rung = p.rung WHERE t.test = 'one'");
    JsonNode columns =
        new ObjectMapper().readTree(first.resolve("datapackage.json").toFile()).get("resources");
    assertTrue(
        columns.toString().contains("\"[cft_i]/min\""), "the units that the numbers below are of");
    assertEquals(12, pairs.size());
    for (Map<String, Object> pair : pairs) {
      double lift = (double) pair.get("lift");
      double flow = (double) pair.get("flow");
      assertEquals(lift * 0.001, (double) pair.get("lift_m"), 1e-15);
      assertEquals(flow * CFM, (double) pair.get("flow_m3_per_s"), 1e-15);
    }
    assertEquals(24, count("points WHERE on_curve AND trusted AND NOT read_by_eye"));
    assertEquals(48, count("budget"));
    assertEquals(
        Stream.of(2031, 2032).toList(),
        ask("SELECT DISTINCT year FROM tests ORDER BY year").stream()
            .map(row -> ((Number) row.get("year")).intValue())
            .toList());
    assertEquals(2, count("checks"), "each of the bench's checks once, in however many tests");
    assertEquals("2031-05-06T07:08:09.123456Z", began("one"));
  }

  private String began(String test) throws Exception {
    return ask("SELECT strftime(began AT TIME ZONE 'UTC', '%Y-%m-%dT%H:%M:%S.%fZ') AS b FROM tests WHERE test = '"
            + test
            + "'")
        .get(0)
        .get("b")
        .toString();
  }

  @Test
  void anErrorHasOneIdInTheTestsThatShareItAndInNoOther() throws Exception {
    test("one", DAY);
    test("two", DAY.plusSeconds(86_400));
    InventedFolders.write(
        tests.resolve("elsewhere"),
        bench.run("elsewhere", Optional.empty(), lift -> 1),
        true,
        DAY,
        Map.of(
            "bench.json",
            InventedFolders.bench("Invented", "0c9d1f8e-2222-4b66-9d0a-5e2b7c81f4a6", false)));
    assertEquals(0, collect(tests).code());
    List<Map<String, Object>> shared =
        ask(
            "SELECT shared_id, count(DISTINCT test_id) AS n FROM budget WHERE kind = 'systematic'"
                + " GROUP BY ALL ORDER BY n");
    assertEquals(2, shared.size(), "one calibration error a bench: " + shared);
    assertEquals(1L, shared.get(0).get("n"));
    assertEquals(2L, shared.get(1).get("n"));
    assertTrue(shared.get(1).get("shared_id").toString().contains("calibration A"));
  }

  @Test
  void twiceIsOnce() throws Exception {
    Path first = test("one", DAY);
    assertEquals(1, json(0, tests).get("added").asInt());
    test("two", DAY);
    copy(first, tests.resolve("copy of one"));
    Path zip = temp.resolve("one.zip");
    assertEquals(0, Called.with("pack", first, "--into", zip).code());
    JsonNode told = json(0, tests, zip);
    assertEquals(1, told.get("added").asInt());
    assertEquals(3, told.get("already").asInt());
    assertEquals(2, count("tests"));
    assertEquals(24, count("points"));
    assertEquals(2, count("checks"));
  }

  @Test
  void aTestFromBeforeThereWereIdsHasOneOfItsContent() throws Exception {
    copy(OLD, tests.resolve("old"));
    copy(OLD, tests.resolve("copied"));
    JsonNode told = json(0, tests);
    assertEquals(1, told.get("added").asInt());
    assertEquals(1, told.get("already").asInt());
    Map<String, Object> row = ask("SELECT * FROM tests").get(0);
    assertEquals(false, row.get("test_id_drawn"));
    assertEquals(null, row.get("bench_id"), "nobody knows which bench it was");
    // RFC 9562, 4: 8-4-4-4-12 digits, version 8, variant 10.
    assertTrue(
        row.get("test_id")
            .toString()
            .matches("[0-9a-f]{8}-[0-9a-f]{4}-8[0-9a-f]{3}-[89ab][0-9a-f]{3}-[0-9a-f]{12}"));
    assertEquals(
        0,
        count(
            "budget WHERE shared_id IS NOT NULL AND shared_id NOT LIKE '%"
                + row.get("test_id")
                + "%' AND kind = 'set-up'"));
  }

  @Test
  void whatIsDamagedOrUnfinishedIsLeftOutByName() throws Exception {
    test("whole", DAY);
    Path damaged = test("damaged", DAY);
    Files.writeString(damaged.resolve("points.csv"), "rung\n1\n");
    Path newer = test("newer", DAY);
    Path described = newer.resolve("datapackage.json");
    Files.writeString(
        described, Files.readString(described).replaceFirst("test/1\\.\\d", "test/9"));
    Path open = Files.createDirectories(tests.resolve("open"));
    Files.writeString(open.resolve(Journal.NAME), "");
    JsonNode told = json(5, tests);
    assertEquals(1, told.get("added").asInt());
    assertEquals(
        new TreeSet<>(List.of(damaged.toString(), newer.toString(), open.toString())),
        new TreeSet<>(told.get("left_out").findValuesAsText("folder")));
    Called again = collect(tests);
    assertEquals(5, again.code());
    assertTrue(again.err().contains(damaged.toString()), again.err());
    assertTrue(again.err().contains("test/9") && again.err().contains("test/1."), again.err());
    assertTrue(again.err().contains("--resume"), again.err());
    assertEquals(1, count("tests"));
    assertEquals(12, count("points"));
  }

  @Test
  void anotherTestOfTheSameIdIsRefusedByName() throws Exception {
    named(test("one", DAY));
    assertEquals(0, collect(tests).code());
    assertEquals(ID, ask("SELECT test_id FROM tests").get(0).get("test_id"));
    Path other = named(test("other", NEXT_YEAR));
    JsonNode told = json(5, tests);
    assertEquals(other.toString(), told.get("left_out").get(0).get("folder").asText());
    assertEquals("other_content", told.get("left_out").get(0).get("kind").asText());
    assertEquals(1, count("tests"));
    assertEquals(12, count("points"));
  }

  /** Puts an id into a folder, as one is drawn when a test begins. */
  private static Path named(Path test) throws IOException {
    Path described = test.resolve("datapackage.json");
    String text = Files.readString(described);
    Files.writeString(described, Seal.of(text.replaceFirst("\\{", "{\"id\": \"" + ID + "\",")));
    return test;
  }

  @Test
  void notesThatChangedSinceAreSaid() throws Exception {
    Path first = test("one", DAY);
    assertEquals(0, collect(tests).code());
    assertEquals(
        0,
        Called.with("note", first, "--set-aside", "3 mm", "--because", "spring held the valve")
            .code());
    JsonNode told = json(5, tests);
    assertEquals("other_notes", told.get("left_out").get(0).get("kind").asText());
    assertEquals(12, count("points WHERE set_aside IS NULL"), "as it was when it was collected");
    into = temp.resolve("anew");
    assertEquals(0, collect(tests).code());
    assertEquals(1, count("points WHERE set_aside LIKE '%spring%' AND NOT on_curve"));
  }

  @Test
  void foldersLieAsDeepAndAreNamedAsTheyLike() throws Exception {
    test("a/b/c/d/e/f/g/one", DAY);
    test("W\u00F6rk shop/no. 7/two", DAY);
    assertEquals(2, json(0, tests).get("added").asInt());
  }

  @Test
  void smallFilesArePutTogether() throws Exception {
    for (int i = 0; i < 3; i++) {
      test("test-" + i, DAY);
      assertEquals(0, collect(tests).code());
    }
    assertEquals(11, filesUnder(into).size(), "3 times 3 tables, checks once, the manifest");
    String before = ask("SELECT * FROM points ORDER BY test_id, rung").toString();
    JsonNode told = json(0, "--compact");
    assertEquals(4, told.get("files").asInt());
    assertEquals(5, filesUnder(into).size(), filesUnder(into).toString());
    assertEquals(before, ask("SELECT * FROM points ORDER BY test_id, rung").toString());
    assertEquals(3, json(0, tests).get("already").asInt());
    test("later", NEXT_YEAR);
    assertEquals(1, json(0, tests, "--compact").get("added").asInt());
    assertEquals(4, count("tests"));
  }

  @Test
  void readingsAreCollectedWhereThatWasAskedFromTheBeginning() throws Exception {
    Path first = test("one", DAY);
    assertEquals(0, collect(tests, "--samples").code());
    // Each of the 12 rungs has a frame of two pressures and one of a temperature.
    assertEquals(36, count("samples"));
    assertEquals(
        List.of("air.temperature K 294.15"),
        ask(
                "SELECT DISTINCT concat(instrument, '.', channel, ' ', unit, ' ', value_si) AS v"
                    + " FROM samples WHERE instrument = 'air'")
            .stream()
            .map(row -> row.get("v"))
            .toList());
    test("two", DAY);
    assertEquals(1, json(0, tests).get("added").asInt(), "as it was begun");
    assertEquals(72, count("samples"));
    into = temp.resolve("without");
    assertEquals(0, collect(first).code());
    Called refused = collect(first, "--samples");
    assertEquals(4, refused.code());
    assertTrue(refused.err().contains("begun without samples"), refused.err());
  }

  @Test
  void aNewerCollectionAndAFolderOfOtherThingsAreRefused() throws Exception {
    test("one", DAY);
    assertEquals(0, collect(tests).code());
    Path manifest = into.resolve("manifest.jsonl");
    String whole = Files.readString(manifest);
    Files.writeString(manifest, whole.replace("collection/1", "collection/2"));
    Called newer = collect(tests);
    assertEquals(4, newer.code());
    assertTrue(newer.err().contains("collection/2") && newer.err().contains("collection/1"));
    Files.writeString(manifest, whole.replaceFirst("points/year", "../../points/year"));
    assertEquals(4, collect(tests).code());
    into = Files.createDirectories(temp.resolve("mine"));
    Files.writeString(into.resolve("letter.txt"), "mine");
    assertEquals(4, collect(tests).code());
    assertEquals(2, Called.with("collect", tests, "--into", temp.resolve("new")).code());
    assertFalse(Files.exists(temp.resolve("new")));
    assertEquals(2, collect().code());
  }

  @Test
  void twoAtOnceAreOneTooMany() throws Exception {
    test("one", DAY);
    Files.createDirectories(into);
    try (FolderLock lock = FolderLock.take(into)) {
      assertTrue(Files.isSameFile(into, lock.folder()));
      Called second = collect(tests);
      assertEquals(4, second.code());
      assertTrue(second.err().contains(into.toString()), second.err());
    }
    assertEquals(0, collect(tests).code());
  }

  /** What a run leaves that was killed before its manifest: everything but that. */
  @Test
  void whatAKilledRunLeftIsNothingAndIsClearedAway() throws Exception {
    test("one", DAY);
    assertEquals(0, collect(tests).code());
    byte[] manifest = Files.readAllBytes(into.resolve("manifest.jsonl"));
    List<Path> whole = filesUnder(into);
    test("two", DAY);
    assertEquals(1, json(0, tests).get("added").asInt());
    assertNotEquals(whole, filesUnder(into));
    Files.write(into.resolve("manifest.jsonl"), manifest);
    Files.createDirectories(into.resolve(".coming/staged"));
    Files.writeString(into.resolve(".coming/staged/points.csv"), "half a li");
    Files.writeString(into.resolve(".manifest.jsonl.1.part"), "{\"meni");
    assertEquals(1, count("tests"));
    assertEquals(12, count("points"));
    assertEquals(1, json(0, tests.resolve("one")).get("already").asInt());
    assertEquals(
        whole,
        filesUnder(into).stream().filter(file -> !file.toString().endsWith(".part")).toList());
    assertEquals(1, json(0, tests).get("added").asInt());
    assertEquals(24, count("points"));
  }

  @Test
  void theQuestionsOfTheDocsAreAnswered() throws Exception {
    test("one", DAY);
    test("again", DAY.plusSeconds(86_400));
    assertEquals(0, collect(tests).code());
    List<String> questions = blocks("sql");
    assertEquals(5, questions.size(), "one to open it, and four questions");
    List<List<Map<String, Object>>> answers = new ArrayList<>();
    for (String question : questions.subList(1, 5)) {
      List<String> all = new ArrayList<>(opened());
      all.addAll(statements(question));
      answers.add(ParquetJar.read(all.toArray(String[]::new)));
    }
    List<Map<String, Object>> best = answers.get(0);
    assertEquals(12, best.size(), best.toString());
    Map<String, Object> highest =
        ParquetJar.read(
                "SELECT max(flow) AS most FROM read_csv(["
                    + ParquetJar.quoted(tests.resolve("one/points.csv"))
                    + ", "
                    + ParquetJar.quoted(tests.resolve("again/points.csv"))
                    + "])")
            .get(0);
    assertEquals(
        (double) highest.get("most") * CFM,
        best.stream().mapToDouble(row -> (double) row.get("best_m3_per_s")).max().orElseThrow(),
        1e-15);
    List<Map<String, Object>> repeatability = answers.get(1);
    assertEquals(1, repeatability.size(), repeatability.toString());
    assertEquals(repeatability(), (double) repeatability.get(0).get("repeatability"), 1e-12);
    assertEquals(
        List.of(0.002, 0.004),
        answers.get(2).stream()
            .map(row -> Math.round(1e9 * (double) row.get("drift")) / 1e9)
            .toList());
    assertEquals(0L, answers.get(3).get(0).get("switching"));
    assertEquals(4L, ((Number) answers.get(3).get(0).get("points")).longValue());
  }

  /** Of two readings: their difference over the square root of 2 (GUM, 4.2.2, for n = 2). */
  private double repeatability() throws Exception {
    List<Map<String, Object>> means =
        ParquetJar.read(
            "SELECT filename AS f, avg(flow) AS mean FROM read_csv(["
                + ParquetJar.quoted(tests.resolve("one/points.csv"))
                + ", "
                + ParquetJar.quoted(tests.resolve("again/points.csv"))
                + "], filename = true) GROUP BY f");
    double one = (double) means.get(0).get("mean");
    double other = (double) means.get(1).get("mean");
    return Math.abs(Math.log(one / other)) / Math.sqrt(2);
  }
}
