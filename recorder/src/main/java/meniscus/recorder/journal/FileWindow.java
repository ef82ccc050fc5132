package meniscus.recorder.journal;

import java.io.IOException;
import java.nio.ByteBuffer;
import meniscus.recorder.disk.Disk;

/** Part of a file in memory, moved along as it is read. */
final class FileWindow {

  private final Disk.OpenFile file;
  private final long size;
  private final ByteBuffer buffer;
  private long start;

  /**
   * @param from where reading begins
   */
  FileWindow(Disk.OpenFile file, long from) throws IOException {
    this.file = file;
    this.size = file.size();
    this.start = from;
    this.buffer =
        ByteBuffer.allocate((int) Math.min(size - from, 2 * (Block.HEAD + Block.LARGEST)));
    buffer.limit(0);
  }

  long size() {
    return size;
  }

  /** The wanted bytes from a place on, or fewer where the file ends; good until the next call. */
  ByteBuffer at(long position, int wanted) throws IOException {
    int length = (int) Math.max(0, Math.min(wanted, size - position));
    if (position < start || position + length > start + buffer.limit()) {
      load(position);
    }
    int from = (int) (position - start);
    return buffer.slice(from, Math.min(length, buffer.limit() - from));
  }

  /** The next place from a position on where the magic word stands, or the file's size. */
  long nextMagic(long from) throws IOException {
    long position = from;
    while (position < size) {
      ByteBuffer bytes = at(position, Block.LARGEST);
      for (int i = 0; i + 4 <= bytes.limit(); i++) {
        if (bytes.get(i) == (byte) (Block.MAGIC >> 24) && bytes.getInt(i) == Block.MAGIC) {
          return position + i;
        }
      }
      if (bytes.limit() < Block.LARGEST) {
        return size;
      }
      position += bytes.limit() - 3;
    }
    return size;
  }

  private void load(long position) throws IOException {
    start = position;
    buffer.clear();
    while (buffer.hasRemaining() && file.read(start + buffer.position(), buffer) > 0) {
      continue;
    }
    buffer.flip();
  }
}
