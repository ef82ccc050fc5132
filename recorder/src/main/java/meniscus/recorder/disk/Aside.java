package meniscus.recorder.disk;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.LinkOption;
import java.nio.file.Path;

/** Names for what makes room for something new: nothing is ever deleted. */
public final class Aside {

  private Aside() {}

  /**
   * The first name of its kind that is free: {@code head.earlier-1}, {@code head.earlier-2}, ….
   *
   * @param join between the name and the number
   * @param ending after the number
   */
  public static Path free(Path path, String join, String ending) {
    for (int number = 1; ; number++) {
      Path aside = path.resolveSibling(path.getFileName() + join + number + ending);
      if (!Files.exists(aside, LinkOption.NOFOLLOW_LINKS)) {
        return aside;
      }
    }
  }

  /**
   * Leaves a copy of a file that is about to be written over.
   *
   * @return the copy
   */
  public static Path copy(Path file) throws IOException {
    return Files.copy(file, free(file, ".earlier-", ""));
  }
}
