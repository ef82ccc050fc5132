package meniscus.recorder.folder;

import java.nio.file.Path;
import java.util.List;
import java.util.stream.Collectors;
import java.util.stream.Stream;
import meniscus.recorder.disk.Disk;
import meniscus.recorder.file.FileNotAccepted;
import meniscus.recorder.zip.ZipDisk;

/**
 * Where a test folder is: the one door through which everything finds folders and packed ones.
 *
 * @param disk that it lies on
 * @param folder on that disk
 */
record Place(Disk disk, Path folder) {

  /** The curve of a folder that is no test, see {@code TypedFolder}. */
  static final String CURVE = "curve.json";

  private static final int MOST_NAMED = 5;

  /**
   * @param named by the user: a folder, a folder in a zip, or a zip, which stands for its test when
   *     it holds no other
   * @throws FileNotAccepted when the zip is damaged, or not one that is read here
   */
  static Place of(Path named) {
    Disk disk = ZipDisk.of(named);
    if (disk instanceof ZipDisk zip && named.equals(zip.zip())) {
      List<Path> inIt =
          Stream.of(PackageFile.FILE, CURVE).flatMap(file -> zip.holding(file).stream()).toList();
      return new Place(disk, inIt.size() == 1 ? inIt.get(0) : named);
    }
    return new Place(disk, named);
  }

  /** What to say where there is no test. */
  String noTest() {
    if (disk instanceof ZipDisk zip && folder.equals(zip.zip()) && !named(zip).isEmpty()) {
      return folder + " holds more than one test: name the one you mean, as " + named(zip);
    }
    if (disk.exists(folder.resolve(CURVE))) {
      return folder
          + " was typed from elsewhere and is no test: it is listed, and drawn beside tests (report"
          + " TEST --typed-curve "
          + folder
          + "), but never judged";
    }
    return folder + " is not a test folder: it has no " + PackageFile.FILE;
  }

  private static String named(ZipDisk zip) {
    List<Path> tests = zip.holding(PackageFile.FILE);
    return tests.stream().limit(MOST_NAMED).map(Path::toString).collect(Collectors.joining(", "))
        + (tests.size() > MOST_NAMED ? " …" : "");
  }
}
