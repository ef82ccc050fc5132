package meniscus.recorder.record;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.StandardWatchEventKinds;
import java.nio.file.WatchService;
import java.time.Instant;
import java.util.Random;
import java.util.concurrent.TimeUnit;
import java.util.stream.Stream;
import meniscus.recorder.export.ParquetJar;
import meniscus.recorder.report.InventedFolders;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Tag;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** A collection whose run is killed holds all of its tests or none, and the next run has them. */
@Tag("long")
class KilledCollectTest {

  private static final Instant DAY = Instant.parse("2031-05-06T07:08:09Z");
  private static final int TESTS = 20;
  private static final int KILLS = 50;

  @TempDir private Path temp;

  private Path tests;
  private Path library;

  @BeforeEach
  void someTests() throws Exception {
    library = ParquetJar.path();
    tests = temp.resolve("tests");
    for (int i = 0; i < TESTS; i++) {
      InventedFolders.write(
          tests.resolve("test-" + i), InventedFolders.plain("t"), true, DAY.plusSeconds(i));
    }
  }

  private Object[] collect(Path into) {
    return new Object[] {"collect", tests, "--into", into, "--parquet-library", library};
  }

  /** Files come into sight only while they are put into their places: the worst moment. */
  @Test
  void killedAsItsFilesComeIntoSight() throws Exception {
    Path into = Files.createDirectories(temp.resolve("collection"));
    try (WatchService made = temp.getFileSystem().newWatchService()) {
      Files.createDirectories(into.resolve("points"));
      into.resolve("points").register(made, StandardWatchEventKinds.ENTRY_CREATE);
      Process process = Recorder.start(temp, collect(into));
      assertTrue(
          made.poll(5, TimeUnit.MINUTES) != null, Files.readString(temp.resolve("stderr.txt")));
      process.destroyForcibly().waitFor();
    }
    holdsAllOrNone(into);
    endsWhole(into);
  }

  @Test
  @Tag("bench")
  void killedAtAnyMoment() throws Exception {
    long start = System.nanoTime();
    assertEquals(0, started(temp.resolve("unharmed")).waitFor());
    long usualMs = TimeUnit.NANOSECONDS.toMillis(System.nanoTime() - start);
    long seed = 20311;
    System.out.println("seed " + seed + ", a run takes " + usualMs + " ms");
    Random random = new Random(seed);
    int whole = 0;
    for (int kill = 0; kill < KILLS; kill++) {
      Path into = temp.resolve("collection-" + kill);
      Process process = started(into);
      process.waitFor((long) (random.nextDouble() * usualMs), TimeUnit.MILLISECONDS);
      process.destroyForcibly().waitFor();
      whole += holdsAllOrNone(into) ? 1 : 0;
      if (kill % 5 == 0) {
        endsWhole(into);
      }
    }
    System.out.println(KILLS + " kills: " + whole + " collections whole, the others empty");
  }

  private Process started(Path into) throws Exception {
    return Recorder.start(temp, collect(into));
  }

  /** Whether it holds all, by the manifest; by the files in sight no test is half either. */
  private boolean holdsAllOrNone(Path into) throws Exception {
    if (anySeen(into.resolve("tests"))) {
      assertEquals(
          0L,
          number(
              "SELECT count(*) FROM "
                  + seen(into, "tests")
                  + " WHERE test_id NOT IN (SELECT test_id FROM "
                  + seen(into, "points")
                  + ")"));
    }
    Path manifest = into.resolve("manifest.jsonl");
    if (!Files.exists(manifest)) {
      return false;
    }
    assertEquals((long) TESTS, number("SELECT count(*) FROM " + named(into, "tests")));
    assertEquals(12L * TESTS, number("SELECT count(*) FROM " + named(into, "points")));
    return true;
  }

  private static boolean anySeen(Path table) throws IOException {
    if (!Files.exists(table)) {
      return false;
    }
    try (Stream<Path> files = Files.walk(table)) {
      return files.anyMatch(file -> file.toString().endsWith(".parquet"));
    }
  }

  private void endsWhole(Path into) throws Exception {
    assertEquals(0, Recorder.run("", collect(into)).exitCode());
    assertTrue(holdsAllOrNone(into));
    assertEquals(12L * TESTS, number("SELECT count(*) FROM " + seen(into, "points")));
  }

  private static String seen(Path into, String table) {
    return "read_parquet(" + ParquetJar.quoted(into.resolve(table).resolve("*/*.parquet")) + ")";
  }

  private static String named(Path into, String table) throws Exception {
    return ParquetJar.read(
            "SELECT 'read_parquet([' || string_agg('''"
                + into
                + "/' || path || '''', ', ') || '])' AS files FROM read_json("
                + ParquetJar.quoted(into.resolve("manifest.jsonl"))
                + ") WHERE \"table\" = '"
                + table
                + "'")
        .get(0)
        .get("files")
        .toString();
  }

  private static long number(String sql) throws Exception {
    return ((Number) ParquetJar.read(sql).get(0).values().iterator().next()).longValue();
  }
}
