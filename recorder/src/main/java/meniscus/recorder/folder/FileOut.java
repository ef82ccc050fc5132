package meniscus.recorder.folder;

import java.io.IOException;
import java.io.OutputStream;
import java.nio.ByteBuffer;
import meniscus.drivers.hash.Sha256;
import meniscus.recorder.disk.Disk;

/** Writes a file from its start, counting and hashing on the way. */
final class FileOut extends OutputStream {

  private final Disk.OpenFile file;
  private final Sha256 hash = new Sha256();
  private long position;

  FileOut(Disk.OpenFile file) throws IOException {
    this.file = file;
    file.truncate(0);
  }

  @Override
  public void write(int b) throws IOException {
    write(new byte[] {(byte) b}, 0, 1);
  }

  @Override
  public void write(byte[] bytes, int from, int length) throws IOException {
    hash.add(bytes, from, length);
    ByteBuffer left = ByteBuffer.wrap(bytes, from, length);
    while (left.hasRemaining()) {
      position += file.write(position, left);
    }
  }

  long position() {
    return position;
  }

  String sha256Hex() {
    return hash.hex();
  }
}
