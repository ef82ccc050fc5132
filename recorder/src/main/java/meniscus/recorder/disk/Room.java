package meniscus.recorder.disk;

import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.FileStore;
import java.nio.file.Files;
import java.nio.file.InvalidPathException;
import java.nio.file.Path;
import java.util.List;

/**
 * What a disk says of itself when it is asked. Why a write failed is told by the system in a
 * sentence of its own language, and Java hands on no number; so the disk is asked instead.
 *
 * @param freeBytes that this user may still write; {@link Long#MAX_VALUE} where it does not say
 * @param readOnly whether nothing can be written at all
 */
public record Room(long freeBytes, boolean readOnly) {

  /** Of a disk that does not answer. */
  public static final Room UNKNOWN = new Room(Long.MAX_VALUE, false);

  /**
   * With less than this a write may have failed for want of room: file systems give room out in
   * blocks of up to 64 KiB (the largest usual on FAT and NTFS).
   */
  private static final long ONE_BLOCK = 64 << 10;

  private static final Path MOUNTS = Path.of("/proc/self/mounts");

  /** Of the disk that a folder lies on, or would lie on. */
  static Room of(Path folder) {
    try {
      Path there = folder.toAbsolutePath();
      while (there.getParent() != null && !Files.exists(there)) {
        there = there.getParent();
      }
      FileStore disk = Files.getFileStore(there);
      return new Room(disk.getUsableSpace(), disk.isReadOnly() || hasGivenUp(there));
    } catch (IOException | UnsupportedOperationException gone) {
      return UNKNOWN;
    }
  }

  /**
   * After a fault Linux writes no more to a file system, and since 6.14 still calls it writable in
   * the answer that Java asks for; the table of mounts has the word.
   */
  private static boolean hasGivenUp(Path there) {
    String options = "";
    int longest = 0;
    try {
      Path real = there.toRealPath();
      for (String line : Files.readAllLines(MOUNTS, StandardCharsets.UTF_8)) {
        String[] fields = line.split(" ");
        Path mounted = fields.length > 3 ? Path.of(unescaped(fields[1])) : real.resolve("none");
        if (real.startsWith(mounted) && mounted.getNameCount() >= longest) {
          longest = mounted.getNameCount();
          options = fields[3];
        }
      }
    } catch (IOException | InvalidPathException none) {
      return false; // another system
    }
    return List.of(options.split(",")).contains("emergency_ro");
  }

  /** Blanks in a mount point's name are written as octal 040 after a backslash. */
  private static String unescaped(String field) {
    return field.replace("\\040", " ").replace("\\011", "\t").replace("\\134", "\\");
  }

  boolean isUsedUp() {
    return freeBytes < ONE_BLOCK;
  }
}
