package meniscus.drivers.line.serial;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;
import static org.junit.jupiter.api.Assumptions.assumeTrue;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.attribute.PosixFileAttributeView;
import java.nio.file.attribute.PosixFilePermissions;
import java.util.List;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** Every error number that was measured gives a sentence that says what to do. */
class OpeningTroubleTest {

  @Test
  void everyKnownNumberHasItsSentence() {
    assertSays(2, "held by another program");
    assertSays(11, "held by another program");
    assertSays(16, "held by another program");
    assertSays(13, "may not be opened by this user");
    assertSays(21, "is not a serial port");
    assertSays(25, "is not a serial port");
    assertSays(5, "unplugged");
    assertSays(99, "system error 99");
  }

  /** A file stands for the port: whom it belongs to is asked of the system in the same way. */
  @Test
  void nobodyIsToldToJoinAGroupThatWouldNotHelp(@TempDir Path folder) throws IOException {
    Path port = Files.createFile(folder.resolve("port"));
    PosixFileAttributeView view = Files.getFileAttributeView(port, PosixFileAttributeView.class);
    assumeTrue(view != null, "files have no groups here");
    Files.setPosixFilePermissions(port, PosixFilePermissions.fromString("rw-------"));
    String closed = OpeningTrouble.explain("Linux", port.toString(), 13, List.of());
    assertTrue(closed.contains("no group of users may read and write it"), closed);
    assertFalse(closed.contains("usermod"), closed);

    Files.setPosixFilePermissions(port, PosixFilePermissions.fromString("rw-rw----"));
    String group = view.readAttributes().group().getName();
    String open = OpeningTrouble.explain("Linux", port.toString(), 13, List.of());
    assertEquals(!group.equals("root"), open.contains("usermod -aG " + group), open);
  }

  /** By Windows' own numbers; which of the two is asked is the system's name, not a part of it. */
  @Test
  void theNumbersOfWindowsMeanOtherThings() {
    assertTrue(onWindows(2).startsWith("no serial port COM3"), onWindows(2));
    assertTrue(onWindows(5).contains("held by another program"), onWindows(5));
    assertTrue(onWindows(32).contains("held by another program"), onWindows(32));
    assertTrue(onWindows(31).contains("system error 31"), onWindows(31));
    String darwin = OpeningTrouble.explain("Darwin", "/dev/cu.usb", 13, List.of());
    assertTrue(darwin.contains("may not be opened"), darwin);
  }

  private static String onWindows(int code) {
    return OpeningTrouble.explain("Windows 11", "COM3", code, List.of());
  }

  private static void assertSays(int code, String words) {
    String sentence = OpeningTrouble.explain("Linux", "/dev/ttyUSB0", code, List.of());
    assertTrue(sentence.startsWith("/dev/ttyUSB0 ") && sentence.contains(words), sentence);
  }
}
