package meniscus.recorder.journal;

import java.io.IOException;
import java.nio.ByteBuffer;
import java.nio.file.Path;
import meniscus.recorder.disk.Disk;

/**
 * A file that a journal is to be written into.
 *
 * @param file where
 * @param open for writing
 * @param right bytes from its start that need not be written again
 */
record JournalFile(Path file, Disk.OpenFile open, long right) {

  static JournalFile fresh(Disk disk, Path folder) throws IOException {
    Path file = folder.resolve(Journal.NAME);
    if (disk.exists(file)) {
      throw new IOException(
          folder + " holds an unfinished test: finish it with --resume, or choose another folder");
    }
    return new JournalFile(file, disk.write(file), 0);
  }

  static JournalFile existing(Disk disk, Path folder, Disk.OpenFile source, Recovered from)
      throws IOException {
    Path file = folder.resolve(Journal.NAME);
    Disk.OpenFile open = disk.write(file);
    if (!Block.startsWith(open, from.journal())) {
      open.close();
      throw new IOException(
          file
              + " is the journal of another test: finish that one first, or choose another folder");
    }
    long right = file.equals(from.source()) ? from.end() : sameBytes(open, source, from.end());
    if (open.size() > right) {
      open.truncate(right);
    }
    return new JournalFile(file, open, right);
  }

  /** How many bytes from the start are the same in both. */
  private static long sameBytes(Disk.OpenFile one, Disk.OpenFile other, long most)
      throws IOException {
    ByteBuffer a = ByteBuffer.allocate(1 << 16);
    ByteBuffer b = ByteBuffer.allocate(1 << 16);
    long same = 0;
    while (same < most) {
      a.clear();
      b.clear();
      one.read(same, a);
      other.read(same, b);
      int differs = a.flip().mismatch(b.flip());
      if (differs >= 0) {
        return Math.min(most, same + differs);
      }
      if (a.limit() == 0) {
        return same;
      }
      same += a.limit();
    }
    return most;
  }
}
