package meniscus.recorder.record;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import com.fasterxml.jackson.databind.JsonNode;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Instant;
import java.time.temporal.ChronoUnit;
import java.util.List;
import java.util.Random;
import java.util.Set;
import java.util.TreeSet;
import java.util.stream.Stream;
import meniscus.core.Deadline;
import meniscus.core.bench.Repeatability;
import meniscus.recorder.file.BenchFile;
import meniscus.recorder.file.PlanFile;
import meniscus.recorder.folder.TestFolder;
import meniscus.recorder.record.Recorder.Ran;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Tag;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** Repeatability is learned by whoever has a bench: led through fittings, or from tests. */
@Tag("long")
class RepeatTest {

  @TempDir Path temp;
  private Path folder;
  private Path bench;

  @BeforeEach
  void files() throws IOException {
    folder = Recorder.files(temp);
    bench = folder.resolve("bench.json");
  }

  private Object[] words(Object... more) {
    return Stream.concat(
            Stream.of("repeat", "--bench", bench, "--quick", "--fittings", "3"), Stream.of(more))
        .toArray();
  }

  private Repeatability known() {
    return BenchFile.read(bench).upkeep().repeatability().orElseThrow();
  }

  /** Degrees of freedom that the bench's own repeats give. */
  private double shown() {
    return known().from().stream().mapToDouble(Repeatability.Series::degreesOfFreedom).sum();
  }

  private List<Path> fittings() throws IOException {
    try (Stream<Path> all = Files.walk(folder.resolve("repeats"), 2)) {
      return all.filter(each -> each.getFileName().toString().startsWith("fitting-"))
          .sorted()
          .toList();
    }
  }

  @Test
  void whatItCostsAndBuysIsSaidFirstAndEveryLaterSeriesCounts() throws IOException {
    Path plan = folder.resolve("plan.json");
    String task = "learn the repeatability";
    assertTrue(Recorder.run("", "health", "--bench", bench).out().contains(task));
    Instant began = Instant.now();
    Ran first = Recorder.run("", words("--plan", plan, "--json"));
    assertEquals(0, first.exitCode(), first.err());
    assertTrue(first.err().lines().findFirst().orElse("").contains("3 fittings of"), first.err());
    assertTrue(first.err().contains("minutes"), first.err());
    assertTrue(first.err().contains("it tells a change of about"), first.err());
    JsonNode json = Recorder.json(first.out().strip());
    assertEquals(1, json.get("series").asInt());
    double degrees = shown();
    Repeatability.Series series = known().from().get(0);
    assertEquals(PlanFile.read(plan).part().head(), series.head());
    assertEquals(BenchFile.read(bench).upkeep().epoch().number(), series.epoch());
    assertFalse(series.at().isBefore(began.truncatedTo(ChronoUnit.SECONDS)), "dated: " + series);
    Ran second = Recorder.run("", words("--plan", plan, "--seed", "2"));
    assertEquals(0, second.exitCode(), second.err());
    assertTrue(second.out().contains("from 6 fittings of 2 series"), second.out());
    assertTrue(second.out().contains("known to within"), second.out());
    assertTrue(
        second.out().contains("what benches usually give (0.3 %)")
            != second.out().contains("believed by itself"),
        "what it leans on is said: " + second.out());
    assertEquals(2 * degrees, shown(), 1e-9);
    assertEquals(6, fittings().size(), "every fitting stays on record");
    Ran health = Recorder.run("", "health", "--bench", bench);
    assertFalse(health.out().contains(task), health.out());
  }

  @Test
  void testsThatWereTakenAnywayFeedItAndCountOnce() throws IOException {
    assertEquals(0, Recorder.run("", words("--plan", folder.resolve("plan.json"))).exitCode());
    Repeatability led = known();
    Object[] from =
        fittings().stream().flatMap(test -> Stream.of("--from", (Object) test)).toArray();
    Ran ran = Recorder.run("", words(from));
    assertEquals(0, ran.exitCode(), ran.err());
    assertEquals(1, known().from().size(), "the same tests");
    assertEquals(led.nodes(), known().nodes());
    Ran alone = Recorder.run("", words("--from", fittings().get(0)));
    assertEquals(2, alone.exitCode());
    assertTrue(alone.err().contains("names two tests or more"), alone.err());
  }

  @Test
  void killedInTheMiddleItGoesOnWhereItWas() throws Exception {
    Object[] words = words("--plan", folder.resolve("plan.json"));
    Process process = Recorder.start(folder, words);
    Path said = folder.resolve("stderr.txt");
    Deadline deadline = Deadline.of("a whole fitting");
    while (process.isAlive() && fittingsFinished() < 1) {
      deadline.pause(5); // only how often it is looked for: it needs the processor itself
    }
    process.toHandle().destroyForcibly();
    process.waitFor();
    assertTrue(Files.size(said) > 0);
    long left = fittingsFinished();
    assertTrue(left >= 1);
    assertFalse(BenchFile.read(bench).upkeep().repeatability().isPresent() && left < 3);
    Ran ran = Recorder.run("", words);
    assertEquals(0, ran.exitCode(), ran.err());
    assertTrue(left == 3 || ran.err().contains("left by a repeat that was interrupted"), ran.err());
    assertEquals(3, known().from().get(0).tests().size());
  }

  /** {@code -Dmeniscus.kills=N} for another number of kills. */
  @Test
  @Tag("bench")
  void killedFiftyTimesNoFittingIsLost() throws Exception {
    long seed = 20321209;
    Random random = new Random(seed);
    int full = Integer.getInteger("meniscus.kills", 50);
    int kills = 0;
    int series = 0;
    while (kills < full) {
      files();
      series++;
      Object[] words = words("--plan", folder.resolve("plan.json"));
      while (kills < full && BenchFile.read(bench).upkeep().repeatability().isEmpty()) {
        Set<String> before = finished();
        Process process = Recorder.start(folder, words);
        // At any place of a fitting, or as one is finished.
        boolean anywhere = random.nextBoolean();
        long until = System.nanoTime() + (500 + random.nextInt(4000)) * 1_000_000L;
        while (process.isAlive()
            && (anywhere ? System.nanoTime() < until : finished().size() == before.size())) {
          Thread.sleep(5);
        }
        Thread.sleep(random.nextInt(50));
        process.destroyForcibly().waitFor();
        kills += process.exitValue() == 137 ? 1 : 0;
        // A series that was learned has made room for the next one.
        assertTrue(finished().containsAll(before), "a fitting is lost, seed " + seed);
      }
      Ran ran = Recorder.run("", words);
      assertEquals(0, ran.exitCode(), "seed " + seed + ": " + ran.err());
      assertEquals(3, known().from().get(0).tests().size(), "seed " + seed);
    }
    System.out.println(
        "repeat: " + kills + " kills in " + series + " series, seed " + seed + ": none lost");
  }

  /** Points of finished fittings: while the journal is there, a fitting is still being taken. */
  private Set<String> finished() throws IOException {
    Set<String> points = new TreeSet<>();
    if (Files.isDirectory(folder.resolve("repeats"))) {
      for (Path fitting : fittings()) {
        if (TestFolder.state(fitting) == TestFolder.State.FINISHED) {
          points.add(Files.readString(fitting.resolve("points.csv")));
        }
      }
    }
    return points;
  }

  /** Whole ones, before the series is put aside. */
  private long fittingsFinished() throws IOException {
    long finished = 0;
    Path repeats = folder.resolve("repeats");
    if (Files.isDirectory(repeats)) {
      try (Stream<Path> series = Files.list(repeats)) {
        for (Path each : series.toList()) {
          for (int i = 1; i <= 3; i++) {
            finished += Files.exists(each.resolve("fitting-" + i).resolve("points.csv")) ? 1 : 0;
          }
        }
      }
    }
    return finished;
  }
}
