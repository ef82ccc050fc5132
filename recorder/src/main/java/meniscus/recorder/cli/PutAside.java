package meniscus.recorder.cli;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Optional;

/** Renames a folder that is in the way; nothing is ever deleted. */
final class PutAside {

  private PutAside() {}

  /**
   * @return the folder's new name; empty when there was none
   */
  static Optional<Path> test(Path folder) throws IOException {
    if (!Files.exists(folder)) {
      return Optional.empty();
    }
    int number = 1;
    Path aside;
    do {
      aside = folder.resolveSibling(folder.getFileName() + ".earlier-" + number++);
    } while (Files.exists(aside));
    return Optional.of(Files.move(folder, aside));
  }
}
