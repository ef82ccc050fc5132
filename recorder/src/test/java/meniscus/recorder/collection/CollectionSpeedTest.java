package meniscus.recorder.collection;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.nio.file.Files;
import java.nio.file.Path;
import java.sql.Connection;
import java.sql.DriverManager;
import java.sql.Statement;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Set;
import java.util.UUID;
import java.util.regex.Pattern;
import java.util.stream.Stream;
import meniscus.recorder.export.ParquetJar;
import meniscus.recorder.folder.Seal;
import meniscus.recorder.report.InventedFolders;
import org.junit.jupiter.api.Tag;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** Prints how long collecting and asking take; checks only that all is there. */
@Tag("bench")
class CollectionSpeedTest {

  private static final Instant DAY = Instant.parse("2031-05-06T07:08:09Z");
  private static final int TESTS = 10_000;
  private static final int DIFFERENT = 20;
  private static final int POINTS = 12;
  private static final int WEEKS = 52;
  private static final int YEAR = 2031;

  @TempDir private Path temp;

  private Path into;

  /** The program as its package starts it, with little memory. */
  private void collect(String what, Path tests) throws Exception {
    long start = System.nanoTime();
    Process process =
        new ProcessBuilder(
                Path.of(System.getProperty("java.home"), "bin", "java").toString(),
                "-Xmx512m",
                "-XX:+UseSerialGC",
                "-cp",
                System.getProperty("java.class.path"),
                "meniscus.recorder.Main",
                "collect",
                tests.toString(),
                "--into",
                into.toString(),
                "--parquet-library",
                ParquetJar.path().toString())
            .inheritIO()
            .start();
    assertEquals(0, process.waitFor());
    say(what, start);
  }

  private static void say(String what, long start) {
    System.out.printf(Locale.ROOT, "%s: %.2f s%n", what, (System.nanoTime() - start) * 1e-9);
  }

  /** Hard links to a few invented tests, each with an id of its own. */
  private Path tests(int count) throws Exception {
    Path few = temp.resolve("few");
    for (int i = 0; i < DIFFERENT; i++) {
      InventedFolders.write(
          few.resolve("t-" + i), InventedFolders.plain("t"), true, DAY.plusSeconds(i));
    }
    Path tests = temp.resolve("tests");
    for (int i = 0; i < count; i++) {
      Path from = few.resolve("t-" + i % DIFFERENT);
      Path to = Files.createDirectories(tests.resolve("job-" + i / 100).resolve("test-" + i));
      try (Stream<Path> files = Files.list(from)) {
        for (Path file : (Iterable<Path>) files::iterator) {
          Path there = to.resolve(file.getFileName());
          if (file.endsWith("datapackage.json")) {
            Files.writeString(
                there,
                Seal.of(
                    Files.readString(file)
                        .replaceFirst("\\{", "{\"id\": \"" + new UUID(20310506, i) + "\",")));
          } else {
            Files.createLink(there, file);
          }
        }
      }
    }
    return tests;
  }

  /**
   * Each test of a collection so many times, with ids and flows of their own, on as many benches;
   * and each bench's plate read each week of the year.
   *
   * @param tables that grow: none of the questions asks for budgets
   */
  private void multiply(int times, Set<String> tables) throws Exception {
    Manifest manifest = Manifest.read(into);
    List<Manifest.Part> more = new ArrayList<>();
    try (Connection database = DriverManager.getConnection("jdbc:duckdb:");
        Statement statement = database.createStatement()) {
      for (Manifest.Part part : manifest.files()) {
        if (tables.contains(part.table())) {
          String own =
              switch (part.table()) {
                case "tests" ->
                    ", md5(concat(sha256, k)) AS sha256, CASE WHEN k % 4 = 0 THEN"
                        + " concat('opened ', k) ELSE '' END AS changes, concat('bench ', k) AS"
                        + " bench_id, same_port + k // 8 AS same_port, curve_mean_flow_m3_per_s *"
                        + " (1 + 0.01 * random()) AS curve_mean_flow_m3_per_s";
                case "points" ->
                    ", flow_m3_per_s * (1 + 0.01 * random()) AS flow_m3_per_s, concat('bench ', k)"
                        + " AS bench_id";
                default -> "";
              };
          more.add(
              written(
                  statement,
                  "SELECT * REPLACE (concat(right(test_id, 12), '-', k) AS test_id"
                      + own
                      + ") FROM read_parquet("
                      + ParquetJar.quoted(into.resolve(part.path()))
                      + "), range(1, "
                      + times
                      + ") t(k)",
                  part.table(),
                  part.path().replace("000001-", "000002-")));
        }
      }
      more.add(
          written(
              statement,
              "SELECT md5(concat(b, ' ', w)) AS check_id, concat('bench ', b) AS bench_id,"
                  + " concat('Bench ', b) AS bench_name, 1 AS bench_epoch,"
                  + " to_timestamp(epoch(TIMESTAMP '2031-01-03 08:00:00') + w * 604800) AS"
                  + " checked_at, 'plate_check' AS kind, '30 mm' AS subject, 'suction' AS"
                  + " direction, 'main' AS \"range\", 1 + 1e-5 * w + 0.002 * random() AS value_si,"
                  + " 1::DOUBLE AS expected_si, 0.001::DOUBLE AS u_si, 0.02::DOUBLE AS limit_si,"
                  + " true AS within_limit, '' AS remark FROM range(1, "
                  + times
                  + ") t(b), range(0, "
                  + WEEKS
                  + ") u(w)",
              "checks",
              "checks/year=2031/000002-0-0.parquet"));
    }
    manifest.with(more).write(into);
  }

  private Manifest.Part written(Statement statement, String rows, String table, String path)
      throws Exception {
    Path file = into.resolve(path);
    Files.createDirectories(file.getParent());
    statement.execute(
        "COPY ("
            + rows
            + ") TO "
            + ParquetJar.quoted(file)
            + " (FORMAT parquet, COMPRESSION zstd)");
    return new Manifest.Part(table, YEAR, path, Files.size(file));
  }

  @Test
  void tenThousandTestsAndOneMoreIntoAHundredThousand() throws Exception {
    into = temp.resolve("collection");
    collect(TESTS + " tests", tests(TESTS));
    collect("the same again", temp.resolve("tests"));
    multiply(10, Set.of("tests", "points", "budget"));
    Path one =
        InventedFolders.write(
            temp.resolve("one"), InventedFolders.plain("one"), true, DAY.plusSeconds(1000));
    collect("one more into " + 10 * TESTS, one);
    ask(10L * TESTS + 1);
  }

  @Test
  void fourQuestionsToAMillionTests() throws Exception {
    into = temp.resolve("collection");
    collect(TESTS + " tests", tests(TESTS));
    multiply(100, Set.of("tests", "points"));
    ask(100L * TESTS);
  }

  private void ask(long tests) throws Exception {
    List<String> blocks =
        Pattern.compile("```sql\n(.*?)```", Pattern.DOTALL)
            .matcher(Files.readString(Path.of("..", "docs", "many-benches.md")))
            .results()
            .map(found -> found.group(1).replace("'collection/", "'" + into + "/"))
            .toList();
    try (Connection database = DriverManager.getConnection("jdbc:duckdb:");
        Statement statement = database.createStatement()) {
      for (String one : blocks.get(0).split(";\\s*\n")) {
        statement.execute(one);
      }
      try (var count = statement.executeQuery("SELECT count(*) FROM points")) {
        assertTrue(count.next());
        assertEquals(tests * POINTS, count.getLong(1));
      }
      for (String question : blocks.subList(1, blocks.size())) {
        for (int pass = 1; pass <= 3; pass++) {
          long start = System.nanoTime();
          int rows = 0;
          try (var answer = statement.executeQuery(question)) {
            while (answer.next()) {
              rows++;
            }
          }
          say(rows + " rows, pass " + pass, start);
          assertTrue(rows > 0, question);
        }
      }
    }
  }
}
