package meniscus.recorder.file;

import java.io.IOException;
import java.nio.channels.FileChannel;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.StandardOpenOption;
import java.util.Optional;
import java.util.UUID;
import meniscus.recorder.disk.PortableName;
import meniscus.recorder.disk.Renaming;

/** Writes a file whole or not at all: a reader sees the old one or the new one, never half. */
public final class WholeFile {

  private WholeFile() {}

  /** Writes text as UTF-8; see {@link #write(Path, byte[])}. */
  public static void write(Path file, String text) throws IOException {
    write(file, text.getBytes(StandardCharsets.UTF_8));
  }

  /** Writes a file that nobody reads yet. */
  public interface Filling {
    /**
     * @param part an empty file, to be written over
     */
    void into(Path part) throws IOException;
  }

  /** Writes bytes; see {@link #write(Path, Filling)}. */
  public static void write(Path file, byte[] bytes) throws IOException {
    write(file, part -> Files.write(part, bytes));
  }

  /**
   * Writes beside the file, forces that to the disk, then renames it into place.
   *
   * @throws IOException when it could not be written; the old file is then as it was
   */
  public static void write(Path file, Filling filling) throws IOException {
    Path whole = file.toAbsolutePath();
    Path folder = whole.getParent();
    Optional<String> fault = PortableName.fault(whole);
    if (fault.isPresent()) {
      throw new IOException(fault.get());
    }
    Files.createDirectories(folder);
    // Readable by whom the user's other new files are; a temporary file would be his alone.
    Path part =
        Files.createFile(
            folder.resolve("." + whole.getFileName() + "." + UUID.randomUUID() + ".part"));
    try {
      filling.into(part);
      try (FileChannel channel = FileChannel.open(part, StandardOpenOption.WRITE)) {
        channel.force(true);
      }
      Renaming.replace(part, whole);
    } catch (IOException | RuntimeException e) {
      deleteAfter(e, part);
      throw e;
    }
    force(folder);
  }

  private static void deleteAfter(Exception e, Path part) {
    try {
      Renaming.delete(part);
    } catch (IOException stays) {
      e.addSuppressed(stays);
    }
  }

  /** Forces the rename itself; systems that cannot open a folder do without. */
  private static void force(Path folder) {
    try (FileChannel channel = FileChannel.open(folder, StandardOpenOption.READ)) {
      channel.force(true);
    } catch (IOException notHere) {
      // The file itself is forced already.
    }
  }
}
