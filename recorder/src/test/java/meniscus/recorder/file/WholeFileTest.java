package meniscus.recorder.file;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.stream.Stream;
import meniscus.core.Needed;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

class WholeFileTest {

  @TempDir Path folder;

  @Test
  void whoMayReadTheUsersOtherNewFilesMayReadThisOne() throws IOException {
    Path usual = Files.writeString(folder.resolve("usual.txt"), "x");
    Needed.that(
        Files.getFileStore(usual).supportsFileAttributeView("posix"), "permissions as on Unix");
    Path whole = folder.resolve("whole.txt");
    WholeFile.write(whole, "x");
    assertEquals(Files.getPosixFilePermissions(usual), Files.getPosixFilePermissions(whole));
  }

  @Test
  void aWriteThatFailsLeavesTheOldFileAndNothingElse() throws IOException {
    Path file = folder.resolve("kept.txt");
    WholeFile.write(file, "old");
    assertThrows(
        IOException.class,
        () ->
            WholeFile.write(
                file,
                part -> {
                  Files.writeString(part, "half");
                  throw new IOException("the disk is full");
                }));
    assertEquals("old", Files.readString(file));
    try (Stream<Path> files = Files.list(folder)) {
      assertEquals(1, files.count());
    }
  }
}
