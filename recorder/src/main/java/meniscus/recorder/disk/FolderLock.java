package meniscus.recorder.disk;

import java.io.IOException;
import java.nio.ByteBuffer;
import java.nio.channels.FileChannel;
import java.nio.channels.FileLock;
import java.nio.channels.OverlappingFileLockException;
import java.nio.charset.StandardCharsets;
import java.nio.file.FileSystemException;
import java.nio.file.Files;
import java.nio.file.LinkOption;
import java.nio.file.NoSuchFileException;
import java.nio.file.Path;
import java.nio.file.StandardOpenOption;
import java.util.concurrent.ThreadLocalRandom;

/**
 * One recorder a folder. The operating system holds the lock on {@code test.lock} and lets it go
 * when the process ends, however it ends; a file left behind by a crash therefore locks nothing.
 *
 * <p>The file is opened by nothing else: on POSIX systems closing any handle of a locked file gives
 * the lock away, which is why the journal itself is not what is locked.
 */
public final class FolderLock implements AutoCloseable {

  public static final String NAME = "test.lock";

  /**
   * A recorder that ends takes the file away once; so many that end between opening and locking are
   * no recorders, but a disk that tells sizes late (our own choice).
   */
  private static final int TRIES = 100;

  private final Path folder;
  private final FileChannel channel;

  private FolderLock(Path folder, FileChannel channel) {
    this.folder = folder;
    this.channel = channel;
  }

  /**
   * @throws IOException when another recorder writes into the folder, or it cannot be written
   */
  public static FolderLock take(Path folder) throws IOException {
    try {
      return take(folder, folder.resolve(NAME));
    } catch (FileSystemException e) {
      throw new IOException(Trouble.inWords(e, folder.resolve(NAME)), e);
    }
  }

  private static FolderLock take(Path folder, Path file) throws IOException {
    return take(folder, file, FolderLock::isStill);
  }

  /** Whether a locked file is still the one that its name stands for. */
  interface Still {
    boolean is(Path file, FileChannel channel) throws IOException;
  }

  static FolderLock take(Path folder, Path file, Still still) throws IOException {
    for (int tried = 0; tried < TRIES; tried++) {
      FileChannel channel =
          FileChannel.open(
              file, StandardOpenOption.WRITE, StandardOpenOption.CREATE, LinkOption.NOFOLLOW_LINKS);
      try {
        if (!tryLock(channel)) {
          throw new IOException(
              "another recorder is writing into "
                  + folder
                  + ": stop it first, or choose another folder with --out");
        }
        if (still.is(file, channel)) {
          return new FolderLock(folder, channel);
        }
        channel.close(); // The last owner deleted it between our opening and our locking.
      } catch (IOException | RuntimeException e) {
        channel.close();
        throw e;
      }
    }
    throw new IOException(
        file
            + " is another file each time it is locked: is the folder on a network disk? Use a disk"
            + " of this computer");
  }

  private static boolean tryLock(FileChannel channel) throws IOException {
    try {
      FileLock lock = channel.tryLock();
      return lock != null;
    } catch (OverlappingFileLockException e) {
      return false;
    }
  }

  /**
   * Whether the locked file is still the one that the name stands for. Java cannot ask a channel
   * for its inode, and reading the file through a second handle would lose the lock; a size drawn
   * at random shows in both or it is another file.
   */
  private static boolean isStill(Path file, FileChannel channel) throws IOException {
    int size = 100 + ThreadLocalRandom.current().nextInt(1 << 16);
    channel.truncate(0);
    write(channel, " ".repeat(size));
    try {
      return Files.size(file) == size;
    } catch (NoSuchFileException e) {
      return false;
    } finally {
      channel.truncate(0);
      write(channel, "A Meniscus recorder is writing into this folder.\n");
    }
  }

  private static void write(FileChannel channel, String text) throws IOException {
    ByteBuffer bytes = ByteBuffer.wrap(text.getBytes(StandardCharsets.US_ASCII));
    while (bytes.hasRemaining()) {
      channel.write(bytes, bytes.position());
    }
  }

  public Path folder() {
    return folder;
  }

  /** Gives the folder free and takes the lock file away. */
  @Override
  public void close() throws IOException {
    if (channel.isOpen()) {
      try {
        Files.deleteIfExists(folder.resolve(NAME));
      } catch (IOException stays) {
        // On a disk that turned read only; what is no longer locked keeps nobody out.
      }
      channel.close();
    }
  }
}
