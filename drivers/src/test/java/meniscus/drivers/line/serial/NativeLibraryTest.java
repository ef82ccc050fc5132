package meniscus.drivers.line.serial;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;

import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.attribute.PosixFilePermissions;
import java.util.List;
import java.util.Optional;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.condition.DisabledOnOs;
import org.junit.jupiter.api.condition.EnabledOnOs;
import org.junit.jupiter.api.condition.OS;
import org.junit.jupiter.api.io.TempDir;

@DisabledOnOs(OS.WINDOWS)
class NativeLibraryTest {

  @TempDir Path folder;

  @Test
  void aFolderOfOnesOwnIsClosedToOthers() throws Exception {
    Files.setPosixFilePermissions(folder, PosixFilePermissions.fromString("rwxr-xr-x"));
    assertEquals(Optional.of(folder), NativeLibrary.secured(folder));
    assertEquals("rwx------", PosixFilePermissions.toString(Files.getPosixFilePermissions(folder)));
  }

  @Test
  void aFolderThatOthersMayWriteIntoIsNotUsed() throws Exception {
    Files.setPosixFilePermissions(folder, PosixFilePermissions.fromString("rwxrwxrwx"));
    assertEquals(Optional.empty(), NativeLibrary.secured(folder));
  }

  @Test
  void aFolderThatIsReallyALinkIsNotUsed() throws Exception {
    Path link =
        Files.createSymbolicLink(
            folder.resolve("link"), Files.createDirectory(folder.resolve("real")));
    assertEquals(Optional.empty(), NativeLibrary.secured(link));
  }

  @Test
  @EnabledOnOs(value = OS.LINUX, disabledReason = "reads /proc")
  void theNativePartIsLoadedFromAFolderOfOnesOwn() throws Exception {
    String before = System.getProperty("java.io.tmpdir");
    SerialPorts.present();
    assertEquals(before, System.getProperty("java.io.tmpdir"));
    List<String> loaded =
        Files.readAllLines(Path.of("/proc/self/maps")).stream()
            .filter(line -> line.contains("jSerialComm"))
            .toList();
    assertFalse(loaded.isEmpty(), "the native part is not loaded");
    for (String line : loaded) {
      Path file = Path.of(line.substring(line.indexOf('/')));
      Path own = file.getParent().getParent().getParent();
      assertEquals("rwx------", PosixFilePermissions.toString(Files.getPosixFilePermissions(own)));
    }
  }
}
