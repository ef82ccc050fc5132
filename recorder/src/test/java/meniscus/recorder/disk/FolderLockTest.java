package meniscus.recorder.disk;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.nio.file.Path;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

class FolderLockTest {

  @TempDir private Path folder;

  private int asked;

  @Test
  void aDiskThatNeverShowsTheLockedFileIsRefusedInWords() {
    IOException refused =
        assertThrows(
            IOException.class,
            () ->
                FolderLock.take(
                    folder,
                    folder.resolve(FolderLock.NAME),
                    (file, channel) -> {
                      asked++;
                      return false;
                    }));
    assertTrue(refused.getMessage().contains("network disk"), refused::getMessage);
    assertEquals(100, asked);
  }

  @Test
  void aRecorderThatEndsBetweenOpeningAndLockingKeepsNobodyOut() throws IOException {
    try (FolderLock lock =
        FolderLock.take(folder, folder.resolve(FolderLock.NAME), (file, channel) -> ++asked == 3)) {
      assertEquals(folder, lock.folder());
    }
    assertEquals(3, asked);
    FolderLock.take(folder).close();
  }
}
