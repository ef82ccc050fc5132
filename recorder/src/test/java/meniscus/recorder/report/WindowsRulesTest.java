package meniscus.recorder.report;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import com.google.common.jimfs.Configuration;
import com.google.common.jimfs.Jimfs;
import java.nio.file.FileSystem;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Instant;
import java.util.Optional;
import meniscus.core.lift.InventedBench;
import meniscus.recorder.archive.TestArchive;
import meniscus.recorder.folder.TestFolder;
import meniscus.recorder.journal.Journal;
import org.junit.jupiter.api.Test;

/**
 * A test folder on a file system with the rules of Windows for paths: drive letters, backslashes,
 * forbidden characters, no difference between capitals and small letters. It has no locks and no
 * scanners; {@code RenamingTest} is for those.
 */
class WindowsRulesTest {

  @Test
  void aTestIsWrittenFinishedAndReadAgain() throws Exception {
    try (FileSystem windows = Jimfs.newFileSystem(Configuration.windows())) {
      Path folder = windows.getPath("C:\\bench files\\tests\\Before");
      InventedFolders.write(
          folder,
          new InventedBench(3, InventedBench.Errors.USUAL).run("b", Optional.empty(), lift -> 1),
          true,
          Instant.parse("2031-05-06T07:08:09Z"));
      TestFolder test = TestFolder.open(folder);
      assertFalse(test.points().isEmpty());
      assertFalse(Files.exists(folder.resolve(Journal.NAME)));
      assertEquals(TestFolder.State.FINISHED, TestFolder.state(folder));
      Path samples = windows.getPath("c:/BENCH FILES/tests/before/SAMPLES.csv.gz");
      assertTrue(Files.exists(samples), "the same file, however it is written");
      assertEquals(1, TestArchive.of(folder.getParent()).tests().size());
    }
  }
}
