package meniscus.recorder.disk;

import java.io.IOException;
import java.io.OutputStream;
import java.nio.file.Files;
import java.nio.file.Path;
import meniscus.core.Needed;

/**
 * A real file system of one megabyte (tmpfs), which can be filled and set to be read only. Needs
 * root; a test that asks for one is skipped without.
 */
public final class SmallDisk implements AutoCloseable {

  private final Path at;

  /**
   * @param at an empty folder
   */
  public SmallDisk(Path at) throws IOException {
    this.at = at;
    Needed.that(
        Files.isExecutable(Path.of("/usr/bin/mount"))
            && succeeds("mount", "-t", "tmpfs", "-o", "size=1m", "tmpfs", at.toString()),
        "no file system can be mounted here");
  }

  /** Takes all room that is left. */
  public void fill() throws IOException {
    for (int size = 4096; size >= 1; size /= 8) {
      try (OutputStream out = Files.newOutputStream(at.resolve("filler-" + size))) {
        byte[] block = new byte[size];
        while (true) {
          out.write(block);
        }
      } catch (IOException full) {
        // As wanted.
      }
    }
  }

  /** Takes all room that is left but a little. */
  public void fillBut(int kibibytes) throws IOException {
    Path filler = at.resolve("filler-4096");
    fill();
    try (java.nio.channels.FileChannel file =
        java.nio.channels.FileChannel.open(filler, java.nio.file.StandardOpenOption.WRITE)) {
      file.truncate(file.size() - 1024L * kibibytes);
    }
  }

  public void makeRoom() throws IOException {
    for (int size = 4096; size >= 1; size /= 8) {
      Files.deleteIfExists(at.resolve("filler-" + size));
    }
  }

  public void readOnly() throws IOException {
    Needed.that(succeeds("mount", "-o", "remount,ro", at.toString()), "cannot be mounted again");
  }

  @Override
  public void close() throws IOException {
    succeeds("umount", "-l", at.toString());
  }

  static boolean succeeds(String... command) throws IOException {
    Process process =
        new ProcessBuilder(command)
            .redirectErrorStream(true)
            .redirectOutput(ProcessBuilder.Redirect.DISCARD)
            .start();
    try {
      return process.waitFor() == 0;
    } catch (InterruptedException e) {
      Thread.currentThread().interrupt();
      return false;
    }
  }
}
