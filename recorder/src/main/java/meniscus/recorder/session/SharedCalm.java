package meniscus.recorder.session;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.stream.Stream;
import meniscus.recorder.disk.Disk;
import meniscus.recorder.disk.Renaming;

/**
 * One calm record for all tests of a disk: it is half a megabyte, and the same from test to test.
 * Each folder has the record under its own name and is whole wherever it is copied to; while it
 * lies on the bench's disk, the name is another one of the file beside the bench's. None of the
 * program's writers changes a file in its place, so nobody is misled by that.
 */
final class SharedCalm {

  private static final String ASIDE = ".shared"; // hidden: nobody's, should the program be killed

  private SharedCalm() {}

  /**
   * Lets go of a finished test's copies of what its bench has.
   *
   * @param folder of the test
   * @param record folder of the bench's calm record
   */
  static void share(Path folder, Path record) {
    try {
      for (Path copy : files(folder.resolve(FolderFiles.CALM))) {
        letGo(copy, record.resolve(copy.getFileName()));
      }
    } catch (IOException | UnsupportedOperationException e) {
      // Another disk, or one that gives a file one name only: the copy is as good.
    }
  }

  private static List<Path> files(Path folder) throws IOException {
    if (!Files.isDirectory(folder)) {
      return List.of();
    }
    try (Stream<Path> there = Files.list(folder)) {
      return there.filter(Files::isRegularFile).sorted().toList();
    }
  }

  private static void letGo(Path copy, Path benchs) throws IOException {
    if (!Files.isRegularFile(benchs)
        || Files.isSameFile(copy, benchs)
        || Files.mismatch(copy, benchs) >= 0) {
      return;
    }
    // Refuses a symbolic link, a further name of which would be one: no test may hold such.
    try (Disk.OpenFile lasting = Disk.REAL.write(benchs)) {
      lasting.force();
    }
    Path name = copy.resolveSibling(ASIDE);
    Files.deleteIfExists(name);
    Files.createLink(name, benchs);
    Renaming.replace(name, copy);
  }
}
