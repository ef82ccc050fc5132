package meniscus.recorder.cli.terminal;

import java.nio.file.Files;
import java.nio.file.LinkOption;
import java.nio.file.Path;

/** Where a file that a command writes may go. */
public final class OutPlace {

  private OutPlace() {}

  /**
   * @param replace whether a file that is there may be written over
   * @throws CommandFailed when one is there, or the file would lie in a test folder
   */
  public static void check(Path file, boolean replace) {
    if (Files.exists(file, LinkOption.NOFOLLOW_LINKS) && !replace) {
      throw CommandFailed.usage(
          file + " is there already: choose another name, or write over it with --replace");
    }
    Path folder = file.toAbsolutePath().getParent();
    if (Files.exists(folder.resolve("datapackage.json"))) {
      throw CommandFailed.usage(
          file + " would lie in a test folder, which is only read: choose another place");
    }
  }
}
