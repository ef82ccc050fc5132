package meniscus.recorder.disk;

import java.io.IOException;
import java.nio.file.FileStore;
import java.nio.file.Files;
import java.nio.file.Path;

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

  /** Of the disk that a folder lies on, or would lie on. */
  static Room of(Path folder) {
    try {
      Path there = folder.toAbsolutePath();
      while (there.getParent() != null && !Files.exists(there)) {
        there = there.getParent();
      }
      FileStore disk = Files.getFileStore(there);
      return new Room(disk.getUsableSpace(), disk.isReadOnly());
    } catch (IOException | UnsupportedOperationException gone) {
      return UNKNOWN;
    }
  }

  boolean isUsedUp() {
    return freeBytes < ONE_BLOCK;
  }
}
