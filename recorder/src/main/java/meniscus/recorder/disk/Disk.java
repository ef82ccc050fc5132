package meniscus.recorder.disk;

import java.io.IOException;
import java.nio.ByteBuffer;
import java.nio.file.Path;
import java.util.List;

/**
 * A file system as the recorder needs it. Whatever was not forced may be gone after a power cut;
 * the name of a file lasts only when its folder was forced as well.
 */
public interface Disk {

  /** The machine's own. */
  Disk REAL = new RealDisk();

  /** Opens for reading. A symbolic link is refused. */
  OpenFile read(Path file) throws IOException;

  /** Opens for reading and writing, made when missing, its content left as it is. */
  OpenFile write(Path file) throws IOException;

  /** True for a regular file or a folder; a symbolic link counts as nothing. */
  boolean exists(Path path);

  /** Puts a file in the place of another (or of none) in one step. */
  void rename(Path from, Path to) throws IOException;

  /** Deletes a file; no error when there is none. */
  void delete(Path file) throws IOException;

  void createFolders(Path folder) throws IOException;

  /** Makes the names in a folder last, where the platform can. */
  void forceFolder(Path folder) throws IOException;

  /** What the disk of a folder says of itself, after something on it failed. */
  Room room(Path folder);

  /** Names of the files and folders in a folder, sorted. */
  List<String> names(Path folder) throws IOException;

  /** An open file; all access names its place in the file. */
  interface OpenFile extends AutoCloseable {

    /** Reads up to the buffer's remaining bytes; −1 at or after the end. */
    int read(long position, ByteBuffer into) throws IOException;

    /** Writes one byte or more; where it stops short, the caller goes on from there. */
    int write(long position, ByteBuffer from) throws IOException;

    long size() throws IOException;

    void truncate(long size) throws IOException;

    /** Returns when everything written so far would outlast a power cut. */
    void force() throws IOException;

    @Override
    void close() throws IOException;
  }
}
