package meniscus.recorder.disk;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import com.google.common.jimfs.Configuration;
import com.google.common.jimfs.Jimfs;
import java.io.IOException;
import java.nio.file.FileSystem;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import meniscus.recorder.file.WholeFile;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

class PortableNameTest {

  @TempDir private Path folder;

  @Test
  void aDeviceOfWindowsIsNoNameOnAnySystem() {
    for (String device :
        List.of(
            "CON", "con", "nul", "NUL.csv", "aux.tar.gz", "Com1", "LPT9.txt", "prn", "com\u00B9")) {
      assertTrue(PortableName.fault(device).isPresent(), device);
    }
    for (String name : List.of("console", "nullpoint", "com", "com10", "auxiliary.csv", "a.con")) {
      assertTrue(PortableName.fault(name).isEmpty(), name);
    }
  }

  @Test
  void anEndThatWindowsTakesOffIsRefused() {
    assertTrue(PortableName.fault("bowl.").isPresent());
    assertTrue(PortableName.fault("bowl ").isPresent());
    assertTrue(PortableName.fault(".").isEmpty(), "this folder itself");
  }

  @Test
  void namesThatDifferInCaseOnlyAreOne() throws IOException {
    Files.createFile(folder.resolve("Bowl.csv"));
    assertTrue(PortableName.fault(folder.resolve("bowl.csv")).orElseThrow().contains("Bowl.csv"));
    assertTrue(PortableName.fault(folder.resolve("Bowl.csv")).isEmpty(), "it is there");
    assertTrue(PortableName.fault(List.of("calm/a.csv", "calm/A.csv")).isPresent());
    assertTrue(PortableName.fault(List.of("calm/a.csv", "plates/a.csv")).isEmpty());
    assertTrue(PortableName.fault(List.of("sheets/com1.json")).isPresent());
  }

  @Test
  void noFileOfSuchANameIsEverWritten() {
    IOException refused =
        assertThrows(IOException.class, () -> WholeFile.write(folder.resolve("nul.csv"), "points"));
    assertTrue(refused.getMessage().contains("device on Windows"), refused::getMessage);
  }

  /** On a file system with the rules of Windows, where both names are one file. */
  @Test
  void whereCaseDoesNotCountTheSameFileIsWrittenOver() throws IOException {
    try (FileSystem windows = Jimfs.newFileSystem(Configuration.windows())) {
      Path tests = Files.createDirectories(windows.getPath("C:\\bench\\tests"));
      WholeFile.write(tests.resolve("Bowl.csv"), "before");
      WholeFile.write(tests.resolve("bowl.csv"), "after");
      assertEquals("after", Files.readString(tests.resolve("BOWL.CSV")));
      assertEquals(1, Disk.REAL.names(tests).size());
    }
  }
}
