package meniscus.recorder.folder;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Locale;
import java.util.Optional;
import java.util.Random;
import meniscus.recorder.disk.FolderLock;
import meniscus.recorder.journal.Journal;
import meniscus.recorder.journal.JournalReader;
import meniscus.recorder.journal.JournalVisitor;
import meniscus.recorder.journal.Samples;
import org.junit.jupiter.api.Tag;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** Prints how fast and how large; checks only that all rows are there. */
@Tag("bench")
class StorageSpeedTest {

  private static final int ROWS = 2_000_000;

  @TempDir Path folder;

  @Test
  void twoMillionRowsOfTwoChannels() throws IOException {
    for (int pass = 1; pass <= 3; pass++) {
      Random random = new Random(pass);
      Path run = Files.createDirectory(folder.resolve("run" + pass));
      try (FolderLock lock = FolderLock.take(run)) {
        long start = System.nanoTime();
        try (Journal journal = Journal.create(lock, Optional.empty(), Samples.header())) {
          for (int i = 0; i < ROWS; i++) {
            double p = Math.round(7000 + 20 * random.nextGaussian()) * 0.1;
            assertTrue(journal.row(i * 1_000_000L, 0, p, p + 1));
          }
        }
        Path file = run.resolve(Journal.NAME);
        say(pass, "journal written", start, Files.size(file));
        start = System.nanoTime();
        assertEquals(ROWS, JournalReader.read(file).rows());
        say(pass, "journal read", start, Files.size(file));
        start = System.nanoTime();
        TestFolder test = MadeUpTest.finish(lock, "t");
        say(pass, "folder written and checked", start, Files.size(run.resolve("samples.csv.gz")));
        start = System.nanoTime();
        test.replay(JournalVisitor.NONE);
        say(pass, "folder replayed", start, Files.size(run.resolve("samples.csv.gz")));
      }
    }
  }

  private static void say(int pass, String what, long start, long bytes) {
    double seconds = (System.nanoTime() - start) * 1e-9;
    System.out.printf(
        Locale.ROOT,
        "pass %d, %s: %.2f s, %.2f M values/s, %.2f bytes a value%n",
        pass,
        what,
        seconds,
        2 * ROWS / seconds / 1e6,
        bytes / (2.0 * ROWS));
  }
}
