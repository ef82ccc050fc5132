package meniscus.recorder.folder;

import java.io.IOException;
import java.io.InputStream;
import java.nio.file.NoSuchFileException;
import java.nio.file.Path;
import meniscus.drivers.hash.Sha256;
import meniscus.recorder.disk.Disk;
import meniscus.recorder.disk.InsideName;

/** Reads files of a test folder, and holds them against what datapackage.json says of them. */
final class FileCheck {

  private static final long LARGEST_TEXT = 64L << 20;

  private FileCheck() {}

  /**
   * @return false for notes that were changed by hand
   */
  static boolean content(Disk disk, Path folder, Resource resource) throws IOException {
    Sha256 hash = new Sha256();
    long size = 0;
    try (InputStream in = stream(disk, folder, resource.path())) {
      byte[] buffer = new byte[1 << 16];
      for (int count = in.read(buffer); count >= 0; count = in.read(buffer)) {
        hash.add(buffer, 0, count);
        size += count;
      }
    }
    boolean same = size == resource.bytes() && hash.hex().equals(resource.sha256());
    if (!same && !resource.path().equals(TestFolder.NOTES)) {
      throw changed(folder, resource, size);
    }
    return same;
  }

  /** Measures a file without reading it. */
  static void size(Disk disk, Path folder, Resource resource) throws IOException {
    try (Disk.OpenFile file = file(disk, folder, resource.path())) {
      if (file.size() != resource.bytes()) {
        throw changed(folder, resource, file.size());
      }
    }
  }

  private static BadTestFolder changed(Path folder, Resource resource, long size) {
    return new BadTestFolder(
        folder.resolve(resource.path())
            + " is not what was written ("
            + size
            + " bytes, "
            + resource.bytes()
            + " expected, or other content): take it from a copy of the folder");
  }

  static InputStream stream(Disk disk, Path folder, String name) throws IOException {
    return new FileIn(file(disk, folder, name));
  }

  private static Disk.OpenFile file(Disk disk, Path folder, String name) throws IOException {
    Path path = InsideName.resolve(disk, folder, name);
    if (!disk.exists(path)) {
      throw new BadTestFolder(path + " is missing, or is a link to elsewhere");
    }
    try {
      return disk.read(path);
    } catch (NoSuchFileException e) {
      throw new BadTestFolder(path + " is missing", e);
    }
  }

  static byte[] bytes(Disk disk, Path folder, String name) throws IOException {
    try (InputStream in = stream(disk, folder, name)) {
      byte[] bytes = in.readNBytes((int) LARGEST_TEXT + 1);
      if (bytes.length > LARGEST_TEXT) {
        throw new BadTestFolder(folder.resolve(name) + " is above 64 MiB: not ours");
      }
      return bytes;
    }
  }
}
