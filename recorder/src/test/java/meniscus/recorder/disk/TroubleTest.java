package meniscus.recorder.disk;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.io.OutputStream;
import java.nio.charset.StandardCharsets;
import java.nio.file.AccessDeniedException;
import java.nio.file.FileSystemException;
import java.nio.file.Files;
import java.nio.file.NoSuchFileException;
import java.nio.file.Path;
import meniscus.core.Needed;
import org.junit.jupiter.api.Tag;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** Why a file could not be written does not depend on the language in which the system says so. */
class TroubleTest {

  private static final Path FILE = Path.of("/tests/one/points.csv");

  /** In German, in Japanese, in the words of Windows, in none. */
  private static final String[] SAID = {
    "Auf dem Ger\u00E4t ist kein Speicherplatz mehr verf\u00FCgbar",
    "\u30C7\u30D0\u30A4\u30B9\u306B\u7A7A\u304D\u9818\u57DF\u304C\u3042\u308A\u307E\u305B\u3093",
    "There is not enough space on the disk",
    "No space left on device",
    null
  };

  @Test
  void aFullDiskIsAskedNotReadOutOfASentence() {
    for (String said : SAID) {
      assertEquals(
          "the disk of /tests/one is full: free some space on it",
          told(new IOException(said), new Room(512, false)),
          said);
      String other = told(new IOException(said), new Room(1L << 40, false));
      assertTrue(other.contains("cannot be written"), other);
    }
  }

  @Test
  void aReadOnlyDiskTooAndWhateverClassTheFaultHas() {
    Room locked = new Room(1L << 40, true);
    for (IOException fault :
        new IOException[] {
          new FileSystemException("points.csv", null, "Das Dateisystem ist nur lesbar"),
          new AccessDeniedException("points.csv"),
          new IOException("The media is write protected")
        }) {
      assertTrue(told(fault, locked).contains("is read only"), told(fault, locked));
    }
  }

  @Test
  void whatTheClassSaysComesFirst() {
    assertTrue(told(new NoSuchFileException("points.csv"), new Room(0, false)).contains("is gone"));
    assertTrue(
        told(new AccessDeniedException("points.csv"), Room.UNKNOWN)
            .contains("give it write permission"));
  }

  /** The real thing: a file system of one megabyte, filled, and a Java that speaks German. */
  @Test
  @Tag("long")
  void aFullDiskUnderAnotherLanguage(@TempDir Path folder) throws Exception {
    try (SmallDisk disk = new SmallDisk(folder)) {
      disk.fill();
      String english = said(folder, "C.UTF-8", "");
      assertTrue(english.contains("is full: free some space on it"), english);
      String german = said(folder, "C.UTF-8", "de");
      Needed.that(
          !german.lines().findFirst().equals(english.lines().findFirst()),
          "the system's sentences in German (Debian: libc-l10n)");
      assertFalse(german.contains("No space"), german);
      assertTrue(german.contains("is full: free some space on it"), german);
    }
  }

  /** What a Java says that finds its language set so. */
  private static String said(Path folder, String locale, String language) throws Exception {
    ProcessBuilder java =
        new ProcessBuilder(
                Path.of(System.getProperty("java.home"), "bin", "java").toString(),
                "-Dfile.encoding=UTF-8",
                "-cp",
                System.getProperty("java.class.path"),
                Writes.class.getName(),
                folder.resolve("points.csv").toString())
            .redirectErrorStream(true);
    java.environment().put("LC_ALL", locale);
    java.environment().put("LANGUAGE", language);
    Process running = java.start();
    String said = new String(running.getInputStream().readAllBytes(), StandardCharsets.UTF_8);
    running.waitFor();
    return said;
  }

  /** Writes until the disk takes no more; says what the system said, and what we make of it. */
  static final class Writes {

    private Writes() {}

    public static void main(String[] arguments) {
      Path file = Path.of(arguments[0]);
      try (OutputStream out = Files.newOutputStream(file)) {
        out.write(new byte[1 << 20]);
      } catch (IOException full) {
        System.out.println(full.getMessage());
        System.out.println(Trouble.inWords(full, file));
      }
    }
  }

  private static String told(IOException fault, Room room) {
    MemoryDisk disk = new MemoryDisk();
    disk.says(room);
    return Trouble.inWords(fault, FILE, disk);
  }
}
