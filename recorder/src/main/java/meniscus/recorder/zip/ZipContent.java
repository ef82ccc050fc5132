package meniscus.recorder.zip;

import java.io.EOFException;
import java.io.IOException;
import java.io.InputStream;
import java.nio.ByteBuffer;
import java.nio.channels.FileChannel;
import java.nio.file.Path;
import java.nio.file.StandardOpenOption;
import java.util.zip.CRC32;
import java.util.zip.Inflater;
import java.util.zip.InflaterInputStream;
import java.util.zip.ZipException;
import meniscus.recorder.disk.Disk;
import meniscus.recorder.file.FileNotAccepted;

/**
 * One file of a zip. It never gives more than the size that was listed; what ends elsewhere, or has
 * another checksum, is refused when its end is reached.
 */
final class ZipContent implements Disk.OpenFile {

  private static final int CHUNK = 1 << 13;

  private final Path zip;
  private final ZipListing.Entry entry;
  private final FileChannel channel;
  private final Inflater inflater = new Inflater(true);
  private final CRC32 sum = new CRC32();
  private InputStream in;
  private long at;

  ZipContent(Path zip, ZipListing.Entry entry) throws IOException {
    this.zip = zip;
    this.entry = entry;
    this.channel = FileChannel.open(zip, StandardOpenOption.READ);
    begin();
  }

  private void begin() {
    inflater.reset();
    sum.reset();
    at = 0;
    Packed packed = new Packed();
    in = entry.method() == ZipListing.STORED ? packed : new Unpacked(packed);
  }

  @Override
  public int read(long position, ByteBuffer into) throws IOException {
    if (position < at) {
      begin();
    }
    byte[] chunk = new byte[Math.max(1, Math.min(CHUNK, into.remaining()))];
    while (at < position) {
      if (some(chunk, (int) Math.min(chunk.length, position - at)) < 0) {
        return -1;
      }
    }
    int count = some(chunk, Math.min(chunk.length, into.remaining()));
    if (count > 0) {
      into.put(chunk, 0, count);
    }
    return count;
  }

  /** Reads on from where the last read ended. */
  private int some(byte[] chunk, int most) throws IOException {
    if (at == entry.size()) {
      return -1;
    }
    try {
      int count = in.read(chunk, 0, (int) Math.min(most, entry.size() - at));
      if (count < 0) {
        throw refused("ends before its size");
      }
      sum.update(chunk, 0, count);
      at += count;
      if (at == entry.size()) {
        checkEnd();
      }
      return count;
    } catch (ZipException | EOFException e) {
      throw refused("cannot be unpacked");
    }
  }

  private void checkEnd() throws IOException {
    boolean longer = in.read() >= 0;
    boolean used = entry.method() == ZipListing.STORED || inflater.getBytesRead() == entry.packed();
    if (longer || !used || sum.getValue() != entry.crc()) {
      throw refused(longer ? "is longer than its size" : "has another checksum than listed");
    }
  }

  @Override
  public long size() {
    return entry.size();
  }

  static IOException onlyRead(Path zip) {
    return new IOException(
        zip + " holds packed tests, which are only read: unpack it, and name the folder");
  }

  private FileNotAccepted refused(String why) {
    return new FileNotAccepted(
        zip
            + " is damaged: "
            + entry.name()
            + " in it "
            + why
            + ". Take it from a copy, or pack it again");
  }

  @Override
  public int write(long position, ByteBuffer from) throws IOException {
    throw onlyRead(zip);
  }

  @Override
  public void truncate(long size) throws IOException {
    throw onlyRead(zip);
  }

  @Override
  public void force() throws IOException {
    throw onlyRead(zip);
  }

  @Override
  public void close() throws IOException {
    inflater.end();
    channel.close();
  }

  /** The bytes of the file as they lie in the zip. */
  private final class Packed extends InputStream {
    private long read;

    @Override
    public int read() throws IOException {
      byte[] one = new byte[1];
      return read(one, 0, 1) < 0 ? -1 : one[0] & 0xff;
    }

    @Override
    public int read(byte[] bytes, int from, int length) throws IOException {
      long left = entry.packed() - read;
      if (left == 0) {
        return -1;
      }
      int most = (int) Math.min(length, left);
      int count = channel.read(ByteBuffer.wrap(bytes, from, most), entry.at() + read);
      if (count < 0) {
        throw new EOFException();
      }
      read += count;
      return count;
    }
  }

  private final class Unpacked extends InflaterInputStream {
    Unpacked(InputStream packed) {
      super(packed, inflater, CHUNK);
    }
  }
}
