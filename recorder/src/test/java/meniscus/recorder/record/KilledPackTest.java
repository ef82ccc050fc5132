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
import meniscus.recorder.report.InventedFolders;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Tag;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** A pack that is killed leaves the zip that was there, or none; never half a one. */
@Tag("long")
class KilledPackTest {

  private static final Instant DAY = Instant.parse("2031-05-06T07:08:09Z");
  private static final int TESTS = 40;
  private static final long SEED = 20321208;
  private static final int FULL = 50;

  /** About as long as it writes. */
  private static final int MOST_MILLIS = 400;

  /** How a process ends that was killed: 128 and the signal's number. */
  private static final int KILLED = 137;

  @TempDir private Path temp;

  private final Random random = new Random(SEED);
  private Path tests;
  private Path packs;
  private Path zip;

  @BeforeEach
  void writeTests() throws IOException {
    tests = temp.resolve("tests");
    for (int i = 0; i < TESTS; i++) {
      InventedFolders.write(tests.resolve("test-" + i), InventedFolders.plain("t"), true, DAY);
    }
    packs = Files.createDirectories(temp.resolve("packs"));
    zip = packs.resolve("all.zip");
  }

  @Test
  void killedAsItWritesItLeavesNoHalfZip() throws Exception {
    kill(0);
    packsAgain();
  }

  @Test
  @Tag("bench")
  void killedFiftyTimesTheEarlierZipOrTheNewOneIsThere() throws Exception {
    packsAgain();
    int killed = 0;
    for (int i = 0; i < FULL; i++) {
      killed += kill(random.nextInt(MOST_MILLIS)) ? 1 : 0;
      assertWhole();
    }
    packsAgain();
    System.out.println(
        "pack: " + killed + " of " + FULL + " were at work when killed, seed " + SEED);
    assertTrue(killed >= FULL / 2, "half of them at least");
  }

  /**
   * @return whether it was still at work
   */
  private boolean kill(int millis) throws Exception {
    try (WatchService made = temp.getFileSystem().newWatchService()) {
      // What a killed one has left is written over: nothing is created then.
      packs.register(
          made, StandardWatchEventKinds.ENTRY_CREATE, StandardWatchEventKinds.ENTRY_MODIFY);
      Process process = Recorder.start(temp, "pack", tests, "--into", zip, "--replace");
      // The part beside it appears first; it is written for a while.
      assertTrue(
          made.poll(5, TimeUnit.MINUTES) != null, Files.readString(temp.resolve("stderr.txt")));
      Thread.sleep(millis);
      process.destroyForcibly().waitFor();
      if (Files.exists(zip)) {
        assertWhole();
      }
      return process.exitValue() == KILLED;
    }
  }

  private void assertWhole() {
    Recorder.Ran listed = Recorder.run("", "export", zip, "--list");
    assertEquals(0, listed.exitCode(), listed.err());
    assertEquals(TESTS, listed.out().lines().count());
  }

  private void packsAgain() {
    assertEquals(0, Recorder.run("", "pack", tests, "--into", zip, "--replace").exitCode());
    assertWhole();
  }
}
