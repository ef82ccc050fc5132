package meniscus.recorder.record;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.StandardWatchEventKinds;
import java.nio.file.WatchService;
import java.time.Instant;
import java.util.concurrent.TimeUnit;
import meniscus.recorder.report.InventedFolders;
import org.junit.jupiter.api.Tag;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** A pack that is killed leaves the zip that was there, or none; never half a one. */
@Tag("long")
class KilledPackTest {

  private static final Instant DAY = Instant.parse("2031-05-06T07:08:09Z");
  private static final int TESTS = 40;

  @TempDir private Path temp;

  @Test
  void killedAsItWritesItLeavesNoHalfZip() throws Exception {
    Path tests = temp.resolve("tests");
    for (int i = 0; i < TESTS; i++) {
      InventedFolders.write(tests.resolve("test-" + i), InventedFolders.plain("t"), true, DAY);
    }
    Path packs = Files.createDirectories(temp.resolve("packs"));
    Path zip = packs.resolve("all.zip");
    try (WatchService made = temp.getFileSystem().newWatchService()) {
      packs.register(made, StandardWatchEventKinds.ENTRY_CREATE);
      Process process = Recorder.start(temp, "pack", tests, "--into", zip);
      // The part beside it appears first; it is written for a while.
      assertTrue(
          made.poll(5, TimeUnit.MINUTES) != null, Files.readString(temp.resolve("stderr.txt")));
      process.destroyForcibly().waitFor();
    }
    if (Files.exists(zip)) {
      assertEquals(0, Recorder.run("", "export", zip).exitCode(), "it was quicker, and is whole");
    }
    assertEquals(0, Recorder.run("", "pack", tests, "--into", zip, "--replace").exitCode());
    assertEquals(TESTS, Recorder.run("", "export", zip, "--list").out().lines().count());
  }
}
