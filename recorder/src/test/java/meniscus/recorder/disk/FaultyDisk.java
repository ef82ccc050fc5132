package meniscus.recorder.disk;

import static meniscus.recorder.disk.SmallDisk.succeeds;

import java.io.IOException;
import java.io.RandomAccessFile;
import java.nio.file.Files;
import java.nio.file.Path;
import meniscus.core.Needed;

/**
 * A real file system (ext4 in a file) that Linux sets to be read only in the midst of writing, as
 * it does when a disk fails: a plain remount is refused while files on it are open. Needs root; a
 * test that asks for one is skipped without.
 */
public final class FaultyDisk implements AutoCloseable {

  private final Path at;
  private final Path image;

  /**
   * @param at an empty folder
   * @param image file to hold the disk
   */
  public FaultyDisk(Path at, Path image) throws IOException {
    this.at = at;
    this.image = image;
    try (RandomAccessFile file = new RandomAccessFile(image.toFile(), "rw")) {
      file.setLength(8 << 20);
    }
    Needed.that(
        Files.isExecutable(Path.of("/usr/sbin/mkfs.ext4"))
            && succeeds("/usr/sbin/mkfs.ext4", "-q", "-F", image.toString())
            && mount(image),
        "no file system can be mounted here");
  }

  private boolean mount(Path file) throws IOException {
    return succeeds("mount", "-o", "loop,errors=remount-ro", file.toString(), at.toString());
  }

  /** Has the kernel find a fault: nothing can be written from here on. */
  public void turnReadOnly() throws IOException {
    Path device = Path.of(Files.getFileStore(at).name()).getFileName();
    Path trigger = Path.of("/sys/fs/ext4").resolve(device).resolve("trigger_fs_error");
    Needed.that(Files.isWritable(trigger), "this kernel cannot be told to find a fault");
    Files.writeString(trigger, "1");
  }

  /** Puts in its place what a repair makes of it. */
  public void mendAndPutBack() throws IOException {
    succeeds("umount", "-l", at.toString());
    Path mended = Files.copy(image, image.resolveSibling(image.getFileName() + "-mended"));
    succeeds("/usr/sbin/e2fsck", "-f", "-y", mended.toString());
    Needed.that(mount(mended), "the disk cannot be mounted again");
  }

  @Override
  public void close() throws IOException {
    succeeds("umount", "-l", at.toString());
  }
}
