package meniscus.recorder.record;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import com.fasterxml.jackson.databind.JsonNode;
import java.io.BufferedReader;
import java.io.ByteArrayOutputStream;
import java.io.IOException;
import java.io.InputStreamReader;
import java.io.PipedInputStream;
import java.io.PipedOutputStream;
import java.io.PrintStream;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Set;
import java.util.concurrent.CompletableFuture;
import java.util.stream.Stream;
import meniscus.recorder.cli.MeniscusCommand;
import meniscus.recorder.disk.FaultyDisk;
import meniscus.recorder.disk.SmallDisk;
import meniscus.recorder.record.Recorder.Ran;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Tag;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.Timeout;
import org.junit.jupiter.api.io.TempDir;

/** The command {@code record} on real disks that are full, read only, or gone in mid-test. */
@Tag("long")
@Timeout(value = 100, threadMode = Timeout.ThreadMode.SEPARATE_THREAD)
class DiskFaultsTest {

  @TempDir Path temp;

  private Path files;

  @BeforeEach
  void writeFiles() throws IOException {
    files = Recorder.files(temp);
  }

  /** A test under way, told what to do line by line. */
  private final class Told implements AutoCloseable {
    private final ByteArrayOutputStream err = new ByteArrayOutputStream();
    private final PipedOutputStream typed = new PipedOutputStream();
    private final BufferedReader out;
    private final CompletableFuture<Integer> code;
    private final List<String> seen = new ArrayList<>();

    Told(Path folder, Object... more) throws IOException {
      List<Object> words =
          new ArrayList<>(
              List.of(
                  "record",
                  "--bench",
                  files.resolve("bench.json"),
                  "--plan",
                  files.resolve("plan.json"),
                  "--out",
                  folder,
                  "--quick",
                  "--json"));
      words.addAll(List.of(more));
      PipedInputStream in = new PipedInputStream(typed);
      PipedOutputStream said = new PipedOutputStream();
      out =
          new BufferedReader(
              new InputStreamReader(new PipedInputStream(said, 1 << 20), StandardCharsets.UTF_8));
      String[] command = Stream.of(words.toArray()).map(Object::toString).toArray(String[]::new);
      code =
          CompletableFuture.supplyAsync(
              () -> {
                PrintStream print = new PrintStream(said, true, StandardCharsets.UTF_8);
                int exit =
                    MeniscusCommand.run(
                        print, new PrintStream(err, true, StandardCharsets.UTF_8), in, command);
                print.close();
                return exit;
              });
    }

    void type(String line) throws IOException {
      typed.write((line + "\n").getBytes(StandardCharsets.UTF_8));
      typed.flush();
    }

    /** The next event of one of these kinds. */
    JsonNode next(String... kinds) throws IOException {
      for (String line = out.readLine(); line != null; line = out.readLine()) {
        seen.add(line);
        JsonNode event = Recorder.json(line);
        if (Set.of(kinds).contains(event.path("event").asText())) {
          return event;
        }
      }
      throw new AssertionError(
          "none of " + Set.of(kinds) + " came: " + seen + err.toString(StandardCharsets.UTF_8));
    }

    /** What was told of the disk, before or after whatever was waited for. */
    String sentence(String kind) throws IOException {
      for (String line : seen) {
        JsonNode event = Recorder.json(line);
        if (event.path("event").asText().equals(kind)) {
          return event.get("text").asText();
        }
      }
      return next(kind).get("text").asText();
    }

    void keptSafely(int rung) throws IOException {
      JsonNode kept = next("kept");
      assertEquals(rung, kept.get("rung").asInt());
    }

    int end() throws Exception {
      for (String line = out.readLine(); line != null; line = out.readLine()) {
        seen.add(line);
      }
      return code.get();
    }

    @Override
    public void close() throws IOException {
      typed.close();
    }
  }

  private static String lastOf(List<String> events, String kind) {
    return events.stream()
        .filter(line -> line.contains("\"event\":\"" + kind + "\""))
        .reduce((first, second) -> second)
        .orElse("{}");
  }

  private static void assertWhole(Path folder, int rungs) throws IOException {
    assertEquals(rungs, Recorder.flows(folder).size());
    assertEquals(0, Recorder.run("", "recompute", folder).exitCode());
  }

  @Test
  void aDiskThatFillsUpIsSaidAndWhatWasHeldInMemoryIsKeptWhenThereIsRoom() throws Exception {
    Path mounted = Files.createDirectory(temp.resolve("disk"));
    try (SmallDisk disk = new SmallDisk(mounted);
        Told test = new Told(mounted.resolve("out"))) {
      test.type("keep");
      test.keptSafely(1);
      disk.fill();
      test.type("keep");
      JsonNode unsafe = test.next("not_safe_yet");
      assertEquals(2, unsafe.get("rung").asInt());
      assertTrue(unsafe.get("reason").asText().contains("is full: free some space"), "" + unsafe);
      String said = test.sentence("disk");
      assertTrue(said.contains("is full") && said.contains("goes on in memory"), said);
      disk.makeRoom();
      test.type("keep");
      test.keptSafely(2);
      test.keptSafely(3);
      int code = test.end();
      assertTrue(code == 0 || code == 5, "exit code " + code);
      assertTrue(test.seen.stream().anyMatch(line -> line.contains("\"disk_again\"")));
      assertWhole(mounted.resolve("out"), 3);
    }
  }

  @Test
  void aTestThatEndsOnAFullDiskKeepsWhatWasSafeAndGoesOnLater() throws Exception {
    Path mounted = Files.createDirectory(temp.resolve("disk"));
    Path out = mounted.resolve("out");
    try (SmallDisk disk = new SmallDisk(mounted)) {
      try (Told test = new Told(out)) {
        test.type("keep");
        test.keptSafely(1);
        disk.fill();
        test.type("keep");
        test.next("not_safe_yet");
        test.type("stop");
        assertEquals(4, test.end());
        String said = test.err.toString(StandardCharsets.UTF_8);
        assertTrue(said.contains("is full: free some space"), said);
        assertFalse(said.contains("Exception"), said);
      }
      disk.makeRoom();
      Ran resumed = Recorder.record(files, out, "keep\nkeep\nkeep\n", "--resume");
      assertTrue(resumed.exitCode() == 0 || resumed.exitCode() == 5, resumed.err());
      assertWhole(out, 3);
    }
  }

  /** The journal is whole; what is made of it finds no room. */
  @Test
  void aDiskThatFillsWhileTheFolderIsFinishedIsSaidWithWhatIsSafeAndHowToGoOn() throws Exception {
    Path mounted = Files.createDirectory(temp.resolve("disk"));
    Path out = mounted.resolve("out");
    try (SmallDisk disk = new SmallDisk(mounted)) {
      try (Told test = new Told(out)) {
        test.type("keep");
        test.keptSafely(1);
        disk.fillBut(8);
        test.type("stop");
        assertEquals(4, test.end());
        String said = test.err.toString(StandardCharsets.UTF_8);
        assertTrue(said.contains("samples.csv.gz cannot be written"), said);
        assertTrue(said.contains("is full: free some space"), said);
        assertTrue(
            said.contains("All kept points are safe in " + out.resolve("test.journal")), said);
        assertTrue(said.contains("--resume --out " + out), said);
        assertEquals(1, said.strip().lines().count(), said);
      }
      disk.makeRoom();
      Ran resumed = Recorder.record(files, out, "stop\n", "--resume");
      assertEquals(5, resumed.exitCode(), "done, with lifts left open: " + resumed.err());
      assertWhole(out, 1);
    }
  }

  @Test
  void onAReadOnlyDiskNoTestBegins() throws Exception {
    Path mounted = Files.createDirectory(temp.resolve("disk"));
    try (SmallDisk disk = new SmallDisk(mounted)) {
      disk.readOnly();
      Ran ran = Recorder.record(files, mounted.resolve("out"), "keep\n");
      assertEquals(4, ran.exitCode());
      assertEquals(1, ran.err().strip().lines().count(), ran.err());
      assertFalse(ran.err().contains("Exception"), ran.err());
      assertTrue(ran.err().contains("is read only"), ran.err());
    }
  }

  /** As after a fault of the disk: what is open already cannot be written any more either. */
  @Test
  void aDiskThatTurnsReadOnlyIsSaidAndWhatWasHeldInMemoryIsKeptOnceItIsMended() throws Exception {
    Path mounted = Files.createDirectory(temp.resolve("disk"));
    try (FaultyDisk disk = new FaultyDisk(mounted, temp.resolve("image"));
        Told test = new Told(mounted.resolve("out"))) {
      test.type("keep");
      test.keptSafely(1);
      disk.turnReadOnly();
      test.type("keep");
      JsonNode unsafe = test.next("not_safe_yet");
      assertEquals(2, unsafe.get("rung").asInt());
      // Forcing what is open may fail as a fault of the disk before the disk knows more.
      String reason = unsafe.get("reason").asText();
      assertTrue(reason.contains("is read only") || reason.contains("cannot be written"), reason);
      String said = test.sentence("disk");
      assertTrue(said.contains("is read only") || said.contains("cannot be written"), said);
      assertTrue(said.contains("goes on in memory"), said);
      disk.mendAndPutBack();
      test.type("keep");
      test.keptSafely(2);
      test.keptSafely(3);
      int code = test.end();
      assertTrue(code == 0 || code == 5, "exit code " + code);
      assertTrue(test.seen.stream().anyMatch(line -> line.contains("\"disk_again\"")));
      assertWhole(mounted.resolve("out"), 3);
    }
  }

  @Test
  void aTestThatEndsOnADiskThatTurnedReadOnlyKeepsWhatWasSafeAndGoesOnLater() throws Exception {
    Path mounted = Files.createDirectory(temp.resolve("disk"));
    Path out = mounted.resolve("out");
    try (FaultyDisk disk = new FaultyDisk(mounted, temp.resolve("image"))) {
      try (Told test = new Told(out)) {
        test.type("keep");
        test.keptSafely(1);
        disk.turnReadOnly();
        test.type("keep");
        test.next("not_safe_yet");
        test.type("stop");
        assertEquals(4, test.end());
        String said = test.err.toString(StandardCharsets.UTF_8);
        assertTrue(said.contains("is read only"), said);
        assertFalse(said.contains("Exception"), said);
      }
      disk.mendAndPutBack();
      Ran resumed = Recorder.record(files, out, "keep\nkeep\nkeep\n", "--resume");
      assertTrue(resumed.exitCode() == 0 || resumed.exitCode() == 5, resumed.err());
      assertWhole(out, 3);
    }
  }

  @Test
  void aFolderThatIsMovedAwayAndBackLosesNothing() throws Exception {
    Path out = temp.resolve("out");
    try (Told test = new Told(out)) {
      test.type("keep");
      test.keptSafely(1);
      Files.move(out, temp.resolve("away"));
      test.type("keep");
      JsonNode unsafe = test.next("not_safe_yet");
      assertTrue(unsafe.get("reason").asText().contains("is gone"), "" + unsafe);
      Files.move(temp.resolve("away"), out);
      test.type("keep");
      test.keptSafely(2);
      test.keptSafely(3);
      int code = test.end();
      assertTrue(code == 0 || code == 5, "exit code " + code);
      assertWhole(out, 3);
    }
  }

  @Test
  void withoutItsMirrorATestGoesOnAndSaysSo() throws Exception {
    Path out = temp.resolve("out");
    Path mirror = temp.resolve("stick");
    try (Told test = new Told(out, "--mirror", mirror)) {
      test.type("keep");
      test.keptSafely(1);
      Files.move(mirror, temp.resolve("away"));
      test.type("keep");
      test.keptSafely(2);
      String said = test.sentence("mirror");
      assertTrue(said.contains("goes on without its mirror"), said);
      test.type("keep");
      test.keptSafely(3);
      int code = test.end();
      assertTrue(code == 0 || code == 5, "exit code " + code);
      assertWhole(out, 3);
    }
  }

  @Test
  void aMirrorThatFillsUpIsSaidAndCatchesUpWhenThereIsRoom() throws Exception {
    Path out = temp.resolve("out");
    Path mounted = Files.createDirectory(temp.resolve("stick"));
    Path mirror = mounted.resolve("mirror");
    try (SmallDisk stick = new SmallDisk(mounted);
        Told test = new Told(out, "--mirror", mirror)) {
      test.type("keep");
      test.keptSafely(1);
      stick.fill();
      test.type("keep");
      test.keptSafely(2);
      String said = test.sentence("mirror");
      assertTrue(said.contains("is full") && said.contains("goes on without its mirror"), said);
      stick.makeRoom();
      test.type("keep");
      test.keptSafely(3);
      int code = test.end();
      assertTrue(code == 0 || code == 5, "exit code " + code);
      assertFalse(test.seen.stream().anyMatch(line -> line.contains("not_safe_yet")));
      assertWhole(out, 3);
    }
  }

  @Test
  void aMirrorThatTurnsReadOnlyIsSaidAndTheTestItselfIsWhole() throws Exception {
    Path out = temp.resolve("out");
    Path mounted = Files.createDirectory(temp.resolve("stick"));
    try (FaultyDisk stick = new FaultyDisk(mounted, temp.resolve("image"));
        Told test = new Told(out, "--mirror", mounted.resolve("mirror"))) {
      test.type("keep");
      test.keptSafely(1);
      stick.turnReadOnly();
      test.type("keep");
      test.keptSafely(2);
      String said = test.sentence("mirror");
      assertTrue(said.contains("goes on without its mirror"), said);
      assertTrue(said.contains("is read only") || said.contains("cannot be written"), said);
      test.type("keep");
      test.keptSafely(3);
      int code = test.end();
      assertTrue(code == 0 || code == 5, "exit code " + code + test.err);
      assertFalse(test.seen.stream().anyMatch(line -> line.contains("not_safe_yet")));
      String last = Recorder.json(lastOf(test.seen, "mirror")).get("text").asText();
      assertTrue(last.contains("the test is whole in its own folder"), last);
      assertTrue(last.contains("is read only"), last);
      assertWhole(out, 3);
    }
  }
}
