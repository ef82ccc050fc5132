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

  @TempDir private Path temp;

  private Path into;

  /** The program as a user starts it, with little memory. */
  private void collect(String what, Path tests) throws Exception {
    long start = System.nanoTime();
    Process process =
        new ProcessBuilder(
                Path.of(System.getProperty("java.home"), "bin", "java").toString(),
                "-Xmx512m",
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

  /** Each test of a collection so many times, with ids and flows of their own. */
  private void multiply(int times) throws Exception {
    Manifest manifest = Manifest.read(into);
    List<Manifest.Part> more = new ArrayList<>();
    try (Connection database = DriverManager.getConnection("jdbc:duckdb:");
        Statement statement = database.createStatement()) {
      for (Manifest.Part part : manifest.files()) {
        String path = part.path().replace("000001-", "000002-");
        boolean checks = part.table().equals("checks");
        String columns =
            part.table().equals("tests")
                ? ", md5(concat(sha256, k)) AS sha256, CASE WHEN k % 4 = 0 THEN concat('opened ', k)"
                    + " ELSE '' END AS changes, concat('bench ', k % 500) AS bench_id, same_port + k // 8 AS"
                    + " same_port, curve_mean_flow_m3_per_s * (1 + 0.01 * random()) AS"
                    + " curve_mean_flow_m3_per_s"
                : part.table().equals("points")
                    ? ", flow_m3_per_s * (1 + 0.01 * random()) AS flow_m3_per_s, concat('bench ', k"
                        + " % 500) AS bench_id"
                    : "";
        statement.execute(
            "COPY (SELECT "
                + (checks
                    ? "*"
                    : "* REPLACE (concat(right(test_id, 12), '-', k) AS test_id" + columns + ")")
                + " FROM read_parquet("
                + ParquetJar.quoted(into.resolve(part.path()))
                + ")"
                + (checks ? "" : ", range(1, " + times + ") t(k)")
                + (checks ? " LIMIT 0" : "")
                + ") TO "
                + ParquetJar.quoted(into.resolve(path))
                + " (FORMAT parquet, COMPRESSION zstd)");
        more.add(
            new Manifest.Part(part.table(), part.year(), path, Files.size(into.resolve(path))));
      }
    }
    manifest.with(more).write(into);
  }

  @Test
  void tenThousandTestsAndOneMoreIntoAHundredThousand() throws Exception {
    into = temp.resolve("collection");
    collect(TESTS + " tests", tests(TESTS));
    collect("the same again", temp.resolve("tests"));
    multiply(10);
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
    multiply(100);
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
        }
      }
    }
  }
}
