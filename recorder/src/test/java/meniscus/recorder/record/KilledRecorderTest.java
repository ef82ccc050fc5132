package meniscus.recorder.record;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import com.fasterxml.jackson.databind.JsonNode;
import java.io.BufferedReader;
import java.io.IOException;
import java.io.InputStreamReader;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.HashSet;
import java.util.List;
import java.util.Map;
import java.util.Random;
import java.util.Set;
import java.util.TreeMap;
import java.util.UUID;
import java.util.concurrent.TimeUnit;
import meniscus.core.Needed;
import meniscus.recorder.folder.TestFolder;
import meniscus.recorder.journal.JournalReader;
import meniscus.recorder.record.Recorder.Ran;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Tag;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** The recorder as a process that is killed: whatever was told as kept is there afterwards. */
@Tag("long")
class KilledRecorderTest {

  private static final long SEED = 20310506;

  @TempDir Path temp;

  private Path files;
  private Path out;
  private Path mirror;

  @BeforeEach
  void writeFiles() throws IOException {
    files = Recorder.files(temp);
    out = temp.resolve("out");
    mirror = temp.resolve("mirror");
    Recorder.change(files.resolve("plan.json"), "[0.1, 0.2, 0.3]", "[0.1, 0.15, 0.2, 0.25]");
  }

  private Process start(Object... more) throws IOException {
    List<Object> arguments =
        new ArrayList<>(
            List.of(
                "record",
                "--bench",
                files.resolve("bench.json"),
                "--plan",
                files.resolve("plan.json"),
                "--out",
                out,
                "--hands-free",
                "--quick",
                "--json"));
    arguments.addAll(List.of(more));
    return Recorder.start(files, arguments.toArray());
  }

  /** Reads lines until so many points are told as kept; gives their flows by rung. */
  private static Map<Integer, Double> readKept(BufferedReader lines, int wanted)
      throws IOException {
    Map<Integer, Double> kept = new TreeMap<>();
    String line;
    while (kept.size() < wanted && (line = lines.readLine()) != null) {
      JsonNode event = Recorder.json(line);
      if (event.path("event").asText().equals("kept")) {
        kept.put(event.get("rung").asInt(), event.get("flow").asDouble());
      }
    }
    return kept;
  }

  private static BufferedReader lines(Process process) {
    return new BufferedReader(
        new InputStreamReader(process.getInputStream(), StandardCharsets.UTF_8));
  }

  private static void kill(Process process) throws InterruptedException {
    process.toHandle().destroyForcibly();
    process.waitFor();
  }

  @Test
  void killedRightAfterAPointWasToldThePointIsThereAndOnTheMirrorAlone() throws Exception {
    Process process = start("--mirror", mirror);
    Map<Integer, Double> kept = readKept(lines(process), 2);
    kill(process);
    assertEquals(2, kept.size(), Files.readString(files.resolve("stderr.txt")));
    Path stick = Files.createDirectory(temp.resolve("stick"));
    Files.copy(mirror.resolve("test.journal"), stick.resolve("test.journal"));

    Ran resumed = Recorder.record(files, out, "", "--hands-free", "--resume", "--mirror", mirror);
    assertEquals(1, resumed.events("zero").size(), resumed.out());
    assertEquals(2, resumed.keptRungs().get(0), "the last kept rung is taken again");
    assertEquals(1, resumed.events("step").size());
    Map<Integer, Double> flows = Recorder.flows(out);
    assertEquals(4, flows.size());
    assertEquals(kept.get(1), flows.get(1));
    assertEquals(0, Recorder.run("", "recompute", out).exitCode());

    Path elsewhere = temp.resolve("elsewhere");
    Recorder.record(files, elsewhere, "skip\nstop\n", "--resume", "--mirror", stick);
    assertEquals(kept, Recorder.flows(elsewhere));
    assertEquals(0, Recorder.run("", "recompute", elsewhere).exitCode());
  }

  /** Between the list of the folder's files and the end of the journal. */
  @Test
  void killedBeforeItsJournalIsClearedAwayATestIsFinishedAndNothingIsTakenAgain() throws Exception {
    Process process = start("--mirror", mirror);
    Path described = out.resolve("datapackage.json");
    while (process.isAlive() && !Files.exists(described)) {
      Thread.onSpinWait();
    }
    kill(process);
    Path journal = out.resolve("test.journal");
    if (!Files.exists(journal)) { // the kill came too late by a breath
      Files.copy(mirror.resolve(finishedJournal()), journal);
    }
    byte[] points = Files.readAllBytes(out.resolve("points.csv"));
    assertEquals(TestFolder.State.FINISHED, TestFolder.state(out));

    Ran again = Recorder.run("", "record", "--out", out, "--mirror", mirror, "--resume", "--json");
    assertEquals(0, again.exitCode(), again.err());
    assertEquals(List.of(), again.keptRungs());
    assertTrue(again.err().contains("was finished already"), again.err());
    assertEquals(4, again.events("finished").get(0).get("points").asInt());
    assertFalse(Files.exists(journal));
    assertFalse(Files.exists(mirror.resolve("test.journal")), "or the next test finds it");
    assertArrayEquals(points, Files.readAllBytes(out.resolve("points.csv")));
    assertEquals(0, Recorder.run("", "recompute", out).exitCode());
  }

  private String finishedJournal() {
    return Arrays.stream(mirror.toFile().list())
        .filter(name -> name.startsWith("finished-"))
        .findFirst()
        .orElseThrow();
  }

  @Test
  void killedAtRandomMomentsNoPointThatWasToldIsLost() throws Exception {
    kills(5, new Random(SEED));
  }

  @Test
  @Tag("bench")
  void killedThreeHundredTimesNoPointThatWasToldIsLost() throws Exception {
    Random random = new Random(SEED);
    int killed = 0;
    for (int test = 0; killed < 300; test++) {
      out = temp.resolve("out" + test);
      killed += kills(6, random);
    }
    System.out.println(killed + " kills, 0 kept points lost, seed " + SEED);
  }

  /** What was said of a kept point. */
  private record Said(int attempt, double flow) {}

  private int kills(int times, Random random) throws Exception {
    Map<Integer, Said> said = new TreeMap<>();
    Set<UUID> ids = new HashSet<>();
    int killed = 0;
    while (killed < times && !Files.exists(out.resolve("datapackage.json"))) {
      boolean begun = Files.exists(out.resolve("test.journal"));
      Process process = begun ? start("--resume") : start();
      BufferedReader lines = lines(process);
      // So many lines, at any place of the test; then it is killed wherever it has got to.
      int count = 1 + random.nextInt(12);
      String line;
      for (int i = 0; i < count && (line = lines.readLine()) != null; i++) {
        note(line, said);
      }
      kill(process);
      killed++;
      while ((line = lines.readLine()) != null) {
        note(line, said);
      }
      if (Files.exists(out.resolve("test.journal"))) {
        JournalReader.read(out.resolve("test.journal"))
            .header()
            .ifPresent(header -> ids.add(header.id().orElseThrow()));
      }
    }
    if (Files.exists(out.resolve("test.journal"))) {
      Ran resumed = Recorder.record(files, out, "", "--hands-free", "--resume");
      resumed.out().lines().forEach(line -> note(line, said));
    }
    assertEquals(0, Recorder.run("", "recompute", out).exitCode(), "seed " + SEED);
    ids.add(TestFolder.open(out).id().orElseThrow());
    assertEquals(1, ids.size(), "one test, one id, however often it was killed, seed " + SEED);
    Map<Integer, Double> flows = Recorder.flows(out);
    Map<Integer, Integer> attempts = Recorder.attempts(out);
    for (Map.Entry<Integer, Said> one : said.entrySet()) {
      String where = "seed " + SEED + ", rung " + one.getKey();
      int attempt = attempts.get(one.getKey());
      // It may have been taken once more and killed before that could be said.
      assertTrue(attempt >= one.getValue().attempt(), where);
      if (attempt == one.getValue().attempt()) {
        assertEquals(one.getValue().flow(), flows.get(one.getKey()), where);
      }
    }
    return killed;
  }

  /** A later keep of a rung takes the place of an earlier one; a torn line was not said. */
  private static void note(String line, Map<Integer, Said> said) {
    if (line.endsWith("}")) {
      JsonNode event = Recorder.json(line);
      if (event.path("event").asText().equals("kept")) {
        said.put(
            event.get("rung").asInt(),
            new Said(event.get("attempt").asInt(), event.get("flow").asDouble()));
      }
    }
  }

  @Test
  void interruptedByCtrlCItSaysSoEndsWith130AndCanGoOn() throws Exception {
    Needed.that(Files.isExecutable(Path.of("/bin/kill")), "no kill program");
    // At the speed of the clock on the wall: it is waiting when the signal comes.
    Process process =
        Recorder.start(
            Interruptible.prefix(),
            files,
            "record",
            "--bench",
            files.resolve("bench.json"),
            "--plan",
            files.resolve("plan.json"),
            "--out",
            out,
            "--json");
    waitForSegment(process);
    new ProcessBuilder("/bin/kill", "-INT", Long.toString(process.pid())).start().waitFor();
    assertTrue(process.waitFor(30, TimeUnit.SECONDS));

    assertEquals(130, process.exitValue());
    String said = Files.readString(files.resolve("stderr.txt"));
    assertTrue(said.contains("interrupted; all that was kept is safe, --resume goes on"), said);
    assertFalse(Files.exists(out.resolve("test.lock")), "the folder is free again");
    Ran resumed = Recorder.record(files, out, "keep\n", "--resume");
    assertEquals(List.of(1), resumed.keptRungs(), resumed.err());
  }

  /** What is open of the bench's upkeep is said before. */
  private static void waitForSegment(Process process) throws Exception {
    BufferedReader told = lines(process);
    String event = "";
    while (!event.equals("segment")) {
      event = Recorder.json(told.readLine()).get("event").asText();
      assertTrue(event.equals("upkeep") || event.equals("segment"), event);
    }
  }
}
