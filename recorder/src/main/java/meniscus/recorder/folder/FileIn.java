package meniscus.recorder.folder;

import java.io.IOException;
import java.io.InputStream;
import java.nio.ByteBuffer;
import meniscus.recorder.disk.Disk;

/** Reads a file from its start. */
final class FileIn extends InputStream {

  private final Disk.OpenFile file;
  private long position;

  FileIn(Disk.OpenFile file) {
    this.file = file;
  }

  @Override
  public int read() throws IOException {
    byte[] one = new byte[1];
    return read(one, 0, 1) < 0 ? -1 : one[0] & 0xff;
  }

  @Override
  public int read(byte[] bytes, int from, int length) throws IOException {
    if (length == 0) {
      return 0;
    }
    int count = file.read(position, ByteBuffer.wrap(bytes, from, length));
    position += Math.max(0, count);
    return count;
  }

  @Override
  public void close() throws IOException {
    file.close();
  }
}
