package meniscus.recorder.file;

import java.io.IOException;
import java.nio.file.InvalidPathException;
import java.nio.file.Path;

/**
 * Files that a bench file names. They lie in its folder or deeper: a bench folder, and every test
 * folder that holds a copy of it, is to be complete by itself wherever it is taken, and a bench
 * file from elsewhere is not to make the program read what it pleases. So neither a path that
 * climbs out nor an absolute one is followed.
 */
final class BesideBench {

  private BesideBench() {}

  /** True for a relative path that does not climb out of its folder. */
  static boolean staysWithin(String path) {
    try {
      Path relative = Path.of(path);
      return !path.isBlank()
          && !relative.isAbsolute()
          && relative.getRoot() == null
          && !relative.normalize().startsWith("..");
    } catch (InvalidPathException notAPath) {
      return false;
    }
  }

  /**
   * The file meant by a path in a bench file.
   *
   * @throws FileNotAccepted when it lies elsewhere, by its name or through a link
   */
  static Path resolve(Path benchFolder, String path) {
    Path file = staysWithin(path) ? benchFolder.resolve(path) : null;
    if (file == null || leadsOut(benchFolder, file)) {
      throw new FileNotAccepted(
          "\""
              + path
              + "\" does not lie beside the bench file in "
              + benchFolder
              + "; copy it there and name the copy");
    }
    return file;
  }

  private static boolean leadsOut(Path folder, Path file) {
    try {
      return !file.toRealPath().startsWith(folder.toRealPath());
    } catch (IOException missing) {
      return false; // reading it will say so
    }
  }
}
