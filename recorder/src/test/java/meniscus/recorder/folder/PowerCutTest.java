package meniscus.recorder.folder;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.Optional;
import java.util.Random;
import meniscus.recorder.disk.FolderLock;
import meniscus.recorder.disk.MemoryDisk;
import meniscus.recorder.journal.Journal;
import meniscus.recorder.journal.JournalReader;
import meniscus.recorder.journal.JournalVisitor;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.Tag;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

@Tag("long")
class PowerCutTest {

  private static final Path FOLDER = Path.of("/test");
  private static final Path JOURNAL = FOLDER.resolve(Journal.NAME);
  private static final long SEED = 20310509;

  @TempDir static Path temp;
  private static byte[] journal;

  @BeforeAll
  static void record() throws IOException {
    try (FolderLock lock = FolderLock.take(temp)) {
      MadeUpTest.record(lock, Optional.empty());
    }
    journal = Files.readAllBytes(temp.resolve(Journal.NAME));
  }

  private static TestFolder finalise(MemoryDisk disk) throws IOException {
    return MadeUpTest.finish(disk, FOLDER, Optional.empty(), "t");
  }

  @Test
  void atEveryStepOfFinishingEitherTheJournalOrTheFolderIsWhole() throws IOException {
    MemoryDisk calm = new MemoryDisk();
    calm.put(JOURNAL, journal);
    finalise(calm);
    int steps = calm.operations();
    assertTrue(steps > 30, "steps: " + steps);

    int finished = 0;
    for (int step = 0; step <= steps; step++) {
      Random random = new Random(SEED + step);
      MemoryDisk disk = new MemoryDisk();
      disk.put(JOURNAL, journal);
      disk.cutPowerAfter(step);
      boolean told = endsWell(disk);
      disk.losePower(random);
      String where = "power cut at step " + step + ", seed " + SEED;
      if (told || disk.exists(FOLDER.resolve(PackageFile.FILE))) {
        finished++;
        assertWhole(TestFolder.open(disk, FOLDER), where);
      } else {
        assertEquals(
            MadeUpTest.points(),
            JournalReader.read(disk, JOURNAL, JournalVisitor.NONE).standing(),
            where);
      }
      assertWhole(finalise(disk), where);
      assertFalse(disk.exists(JOURNAL), where);
      assertFalse(disk.names(FOLDER).stream().anyMatch(name -> name.endsWith(".part")), where);
    }
    assertTrue(finished > 1 && finished < steps / 2, "finished: " + finished);
  }

  private static boolean endsWell(MemoryDisk disk) {
    try {
      finalise(disk);
      return true;
    } catch (IOException e) {
      assertTrue(e.getMessage().contains("power is off"), e.getMessage());
      return false;
    }
  }

  private static void assertWhole(TestFolder test, String where) throws IOException {
    assertEquals(List.of(), DifferingRungs.of(test, MadeUpTest.points()), where);
    assertEquals(List.of(), test.damage(), where);
    test.replay(JournalVisitor.NONE);
  }

  @Test
  void anOlderTestInTheFolderIsNotTakenForThisOne() throws IOException {
    MemoryDisk disk = new MemoryDisk();
    disk.put(JOURNAL, journal);
    finalise(disk);
    byte[] older = disk.bytes(FOLDER.resolve("datapackage.json"));
    String changed =
        new String(older, java.nio.charset.StandardCharsets.UTF_8)
            .replace("\"created\" : \"2031", "\"created\" : \"2030");
    disk.put(
        FOLDER.resolve("datapackage.json"),
        changed.getBytes(java.nio.charset.StandardCharsets.UTF_8));
    disk.put(JOURNAL, journal);
    assertEquals(2031, finalise(disk).created().atZone(java.time.ZoneOffset.UTC).getYear());
  }
}
