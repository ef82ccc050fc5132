package meniscus.recorder.session;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.LinkOption;
import java.nio.file.Path;
import java.util.List;
import java.util.stream.Stream;
import meniscus.recorder.disk.FolderLock;

/** A test has a folder to itself: among other things neither would be safe from the other. */
final class OwnFolder {

  /** Folders beside the bench file that are the bench's, whether they are there yet or not. */
  private static final List<String> OF_THE_BENCH =
      List.of("calibrations", "calm", PlateRecording.FOLDER);

  private static final int NAMED = 3;

  private OwnFolder() {}

  /**
   * @param out holds no test
   * @throws IOException when it holds anything else, or is a folder of the bench
   */
  static void refuseOther(Path out, Path benchFile) throws IOException {
    Path wanted = out.toAbsolutePath().normalize();
    for (String name : OF_THE_BENCH) {
      if (wanted.startsWith(benchFile.toAbsolutePath().normalize().resolveSibling(name))) {
        throw new IOException(
            out + " belongs to the bench, whose " + name + " go there: choose another folder");
      }
    }
    if (!Files.isDirectory(out, LinkOption.NOFOLLOW_LINKS)) {
      return;
    }
    List<String> other;
    try (Stream<Path> entries = Files.list(out)) {
      other =
          entries
              .map(entry -> entry.getFileName().toString())
              // Hidden ones are put everywhere by file managers.
              .filter(name -> !name.startsWith(".") && !name.equals(FolderLock.NAME))
              .sorted()
              .limit(NAMED)
              .toList();
    }
    if (!other.isEmpty()) {
      throw new IOException(
          out
              + " holds other things ("
              + String.join(", ", other)
              + "): a test needs a folder of its own, so name a new one, such as "
              + out.resolve("test-1"));
    }
  }
}
