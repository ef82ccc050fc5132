package meniscus.recorder.collection;

import java.io.IOException;
import java.nio.file.DirectoryStream;
import java.nio.file.Files;
import java.nio.file.LinkOption;
import java.nio.file.Path;
import java.util.List;
import meniscus.recorder.disk.Disk;
import meniscus.recorder.file.FileNotAccepted;
import meniscus.recorder.folder.TestFolder;
import meniscus.recorder.folder.TypedFolder;
import meniscus.recorder.zip.ZipDisk;

/**
 * Finds test folders one after the other, however deep they lie and however many there are. Links
 * and hidden folders are not followed.
 */
final class TestPlaces {

  /** What is done with each. */
  interface Visit {
    void finished(Path folder) throws IOException;

    void unfinished(Path folder);

    /** A curve from elsewhere: no test. */
    void typed(Path folder);
  }

  private final Visit visit;
  private boolean any;

  private TestPlaces(Visit visit) {
    this.visit = visit;
  }

  /**
   * @param places test folders, folders that hold some, or zips of them
   * @throws FileNotAccepted when a place holds none at all
   */
  static void each(List<Path> places, Visit visit) throws IOException {
    for (Path place : places) {
      TestPlaces found = new TestPlaces(visit);
      boolean there =
          TestFolder.state(place) == TestFolder.State.NONE
              ? found.below(ZipDisk.of(place), place)
              : found.shown(TestFolder.home(place));
      if (!there || !found.any) {
        throw new FileNotAccepted(
            place
                + (Files.exists(place) ? " holds no test folder" : " is not there")
                + ": name a test folder, or a folder of test folders");
      }
    }
  }

  private boolean shown(Path folder) throws IOException {
    switch (TestFolder.state(folder)) {
      case FINISHED -> visit.finished(folder);
      case UNFINISHED -> visit.unfinished(folder);
      case NONE -> {
        if (!TypedFolder.is(folder)) {
          return false;
        }
        visit.typed(folder);
      }
    }
    any = true;
    return true;
  }

  private boolean below(Disk disk, Path folder) throws IOException {
    if (shown(folder)) {
      return true;
    }
    if (disk != Disk.REAL) {
      for (String name : disk.names(folder)) {
        Path one = folder.resolve(name);
        if (disk.exists(one)) {
          below(disk, one);
        }
      }
      return true;
    }
    if (!Files.isDirectory(folder)) {
      return false;
    }
    try (DirectoryStream<Path> inside = Files.newDirectoryStream(folder)) {
      for (Path one : inside) {
        if (Files.isDirectory(one, LinkOption.NOFOLLOW_LINKS)
            && !one.getFileName().toString().startsWith(".")) {
          below(disk, one);
        }
      }
    }
    return true;
  }
}
