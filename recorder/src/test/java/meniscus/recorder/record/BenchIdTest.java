package meniscus.recorder.record;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertNotEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import com.fasterxml.jackson.databind.JsonNode;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Collections;
import java.util.HashSet;
import java.util.List;
import java.util.Optional;
import java.util.Set;
import java.util.UUID;
import java.util.concurrent.Callable;
import java.util.concurrent.ExecutorService;
import java.util.concurrent.Executors;
import java.util.concurrent.Future;
import java.util.stream.Stream;
import java.util.stream.StreamSupport;
import meniscus.recorder.file.BenchFile;
import meniscus.recorder.record.Recorder.Ran;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Tag;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** Two benches of one name that were never calibrated: only an id tells them apart. */
@Tag("long")
class BenchIdTest {

  @TempDir private Path temp;

  private Path north;
  private Path south;

  @BeforeEach
  void writeFiles() throws IOException {
    north = Recorder.files(temp);
    south = Recorder.files(temp);
    for (Path files : List.of(north, south)) {
      Recorder.change(files.resolve("plan.json"), "[0.1, 0.2, 0.3]", "[0.1, 0.2]");
    }
  }

  private static Path recorded(Path files, String name) {
    Path out = files.resolve(name);
    Ran ran = Recorder.record(files, out, "", "--hands-free");
    assertTrue(Files.exists(out.resolve("points.csv")), ran.out() + ran.err());
    return out;
  }

  private static String id(Path file) throws IOException {
    return Recorder.json(Files.readString(file)).path("id").asText();
  }

  private static JsonNode compared(Path before, Path after) {
    Ran ran = Recorder.run("", "compare", before, "--after", after, "--json");
    JsonNode json = Recorder.json(ran.out());
    assertTrue(json.path("lifts").size() > 0, ran.out() + ran.err());
    return json;
  }

  private static boolean findsAnotherBench(JsonNode comparison) {
    return StreamSupport.stream(comparison.path("findings").spliterator(), false)
        .anyMatch(one -> one.path("kind").asText().equals("other bench or calibration"));
  }

  @Test
  void itIsDrawnOnceAndKeptInWhatPeopleTyped() throws IOException {
    Recorder.change(north.resolve("bench.json"), "\"130 m\"", "\"427 ft\"");
    Path first = recorded(north, "first");
    String drawn = id(north.resolve("bench.json"));
    assertFalse(drawn.isEmpty());
    assertTrue(Files.readString(north.resolve("bench.json")).contains("\"427 ft\""));
    Path second = recorded(north, "second");
    assertEquals(drawn, id(north.resolve("bench.json")));
    assertEquals(
        List.of(drawn, drawn),
        List.of(id(first.resolve("bench.json")), id(second.resolve("bench.json"))));
    assertFalse(findsAnotherBench(compared(first, second)));
  }

  @Test
  void testsThatBeginTogetherDrawOneId() throws Exception {
    Path file = north.resolve("bench.json");
    List<Callable<Optional<UUID>>> starts =
        Collections.nCopies(8, () -> BenchFile.identified(file).identity().id());
    ExecutorService beside = Executors.newFixedThreadPool(starts.size());
    Set<Optional<UUID>> drawn = new HashSet<>();
    try {
      for (Future<Optional<UUID>> start : beside.invokeAll(starts)) {
        drawn.add(start.get());
      }
    } finally {
      beside.shutdownNow();
    }
    assertEquals(Set.of(Optional.of(UUID.fromString(id(file)))), drawn);
  }

  @Test
  void errorsOfTwoBenchesOfOneNameAreNeverTakenForOne() throws IOException {
    Path one = recorded(north, "one");
    Path other = recorded(south, "other");
    assertTrue(findsAnotherBench(compared(one, other)));
    // A copy of the whole folder, on a bench whose gauges are others.
    Path copy = temp.resolve("copy");
    Files.createDirectory(copy);
    for (String name : List.of("bench.json", "plan.json")) {
      Files.copy(north.resolve(name), copy.resolve(name));
    }
    for (Path files : List.of(north, copy)) {
      Recorder.change(
          files.resolve("bench.json"),
          "\"id\": \"manometer\"",
          "\"id\": \"manometer\", \"serial\": \"" + files.getFileName() + "\"");
    }
    said(copy, "--same-bench"); // which is not true
    assertEquals(id(north.resolve("bench.json")), id(copy.resolve("bench.json")));
    assertTrue(findsAnotherBench(compared(recorded(north, "numbered"), recorded(copy, "copied"))));
  }

  @Test
  void aCopyForAnotherBenchIsNotWorkedWithBeforeItIsSaidWhatItIs() throws IOException {
    Path first = recorded(north, "first");
    Path copy = temp.resolve("copy");
    Files.createDirectory(copy);
    for (String name : List.of("bench.json", "plan.json")) {
      Files.copy(north.resolve(name), copy.resolve(name));
    }
    byte[] copied = Files.readAllBytes(copy.resolve("bench.json"));
    for (Ran refused :
        List.of(
            Recorder.record(copy, copy.resolve("out"), "", "--hands-free"),
            Recorder.run("", "zero", "--bench", copy.resolve("bench.json"), "--quick"),
            Recorder.run("", "health", "--bench", copy.resolve("bench.json"), "--level"),
            Recorder.run(
                "", "health", "--bench", copy.resolve("bench.json"), "--changed", "moved"))) {
      assertEquals(4, refused.exitCode(), refused.err());
      assertTrue(refused.err().contains("--same-bench"), refused.err());
      assertTrue(refused.err().contains("--another-bench"), refused.err());
    }
    assertFalse(Files.exists(copy.resolve("out")));
    assertArrayEquals(copied, Files.readAllBytes(copy.resolve("bench.json")));

    said(copy, "--another-bench");
    assertNotEquals(id(north.resolve("bench.json")), id(copy.resolve("bench.json")));
    assertTrue(findsAnotherBench(compared(first, recorded(copy, "other"))));
    try (Stream<Path> there = Files.list(copy)) {
      Path before =
          there.filter(f -> f.getFileName().toString().startsWith("of-")).findFirst().orElseThrow();
      assertArrayEquals(copied, Files.readAllBytes(before), "as it was");
    }
  }

  @Test
  void aBenchWhoseFileWasMovedIsTheSame() throws IOException {
    Path first = recorded(north, "first");
    Path moved = temp.resolve("moved");
    Files.createDirectory(moved);
    for (String name : List.of("bench.json", "plan.json")) {
      Files.move(north.resolve(name), moved.resolve(name));
    }
    assertEquals(4, Recorder.record(moved, moved.resolve("out"), "", "--hands-free").exitCode());
    said(moved, "--same-bench");
    assertFalse(findsAnotherBench(compared(first, recorded(moved, "second"))));
  }

  @Test
  void aTestHasAnIdThatNoOtherHas() throws IOException {
    String first = id(recorded(north, "first").resolve("datapackage.json"));
    String second = id(recorded(north, "second").resolve("datapackage.json"));
    assertEquals(4, UUID.fromString(first).version());
    assertNotEquals(first, second);
  }

  private static void said(Path copy, String what) {
    Ran ran = Recorder.run("", "health", "--bench", copy.resolve("bench.json"), what);
    assertEquals(0, ran.exitCode(), ran.out() + ran.err());
  }

  @Test
  void foldersFromBeforeBenchesHadIdsShareNothing() throws Exception {
    Path old = Path.of(getClass().getResource("/meniscus/recorder/formats/test-1.1").toURI());
    assertEquals("", id(old.resolve("bench.json")), "else this shows nothing");
    List<Path> copies = List.of(temp.resolve("one"), temp.resolve("other"));
    for (Path copy : copies) {
      try (Stream<Path> files = Files.walk(old)) {
        for (Path file : files.toList()) {
          Files.copy(file, copy.resolve(old.relativize(file)));
        }
      }
    }
    assertTrue(findsAnotherBench(compared(copies.get(0), copies.get(1))));
  }
}
