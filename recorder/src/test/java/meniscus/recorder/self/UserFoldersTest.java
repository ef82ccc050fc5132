package meniscus.recorder.self;

import static org.junit.jupiter.api.Assertions.assertEquals;

import java.nio.file.Path;
import java.util.Map;
import org.junit.jupiter.api.Test;

/** XDG base directory specification 0.8; what Windows and macOS call their own. */
class UserFoldersTest {

  private static final Path HOME = Path.of("/home/quill");

  @Test
  void withoutVariablesTheSpecificationSaysWhere() {
    assertEquals(
        new UserFolders(HOME.resolve(".config/meniscus"), HOME.resolve(".local/state/meniscus")),
        UserFolders.of("Linux", HOME, Map.of()));
  }

  @Test
  void variablesAreHeeded() {
    assertEquals(
        new UserFolders(Path.of("/srv/c/meniscus"), Path.of("/srv/s/meniscus")),
        UserFolders.of(
            "Linux", HOME, Map.of("XDG_CONFIG_HOME", "/srv/c", "XDG_STATE_HOME", "/srv/s")));
  }

  @Test
  void emptyAndRelativeOnesAreIgnoredAsTheSpecificationAsks() {
    assertEquals(
        UserFolders.of("Linux", HOME, Map.of()),
        UserFolders.of("Linux", HOME, Map.of("XDG_CONFIG_HOME", "", "XDG_STATE_HOME", "here")));
  }

  @Test
  void otherSystemsHaveTheirOwnPlaces() {
    assertEquals(
        HOME.resolve("Library/Logs/meniscus"), UserFolders.of("Mac OS X", HOME, Map.of()).state());
    assertEquals(
        Path.of("/c/local/meniscus"),
        UserFolders.of("Windows 11", HOME, Map.of("LOCALAPPDATA", "/c/local")).state());
    assertEquals(
        HOME.resolve("AppData/Roaming/meniscus"),
        UserFolders.of("Windows 11", HOME, Map.of()).config());
  }
}
