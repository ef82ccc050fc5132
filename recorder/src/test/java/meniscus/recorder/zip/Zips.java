package meniscus.recorder.zip;

import java.io.ByteArrayOutputStream;
import java.io.IOException;
import java.nio.ByteBuffer;
import java.nio.ByteOrder;
import java.nio.channels.FileChannel;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.StandardOpenOption;
import java.util.Map;
import java.util.SortedMap;
import java.util.TreeMap;
import java.util.stream.Stream;
import java.util.zip.ZipEntry;
import java.util.zip.ZipOutputStream;

/** Zips as other programs make them, and as nobody should. */
final class Zips {

  private static final int LOCAL = 0x04034b50;
  private static final int LOCAL_BYTES = 30;
  private static final int CENTRAL = 0x02014b50;
  private static final int CENTRAL_BYTES = 46;
  private static final int END = 0x06054b50;
  private static final int END_BYTES = 22;

  private Zips() {}

  /** The files of a folder by name. */
  static SortedMap<String, byte[]> files(Path folder, String under) throws IOException {
    SortedMap<String, byte[]> files = new TreeMap<>();
    try (Stream<Path> walked = Files.walk(folder)) {
      for (Path file : walked.filter(Files::isRegularFile).toList()) {
        String name = folder.relativize(file).toString().replace('\\', '/');
        files.put(under + name, Files.readAllBytes(file));
      }
    }
    return files;
  }

  /** Deflated, sizes behind the data. */
  static byte[] zip(Map<String, byte[]> files) throws IOException {
    ByteArrayOutputStream bytes = new ByteArrayOutputStream();
    try (ZipOutputStream zip = new ZipOutputStream(bytes, StandardCharsets.UTF_8)) {
      for (Map.Entry<String, byte[]> file : files.entrySet()) {
        zip.putNextEntry(new ZipEntry(file.getKey()));
        zip.write(file.getValue());
        zip.closeEntry();
      }
    }
    return bytes.toByteArray();
  }

  /**
   * A zip of files that say how large they get; between the heads there are holes that take no room
   * on most disks.
   *
   * @param packed size of each in the zip
   * @param sizes unpacked
   */
  static void hollow(Path file, long packed, long... sizes) throws IOException {
    Files.deleteIfExists(file);
    try (FileChannel zip =
        FileChannel.open(
            file,
            StandardOpenOption.WRITE,
            StandardOpenOption.CREATE_NEW,
            StandardOpenOption.SPARSE)) {
      ByteBuffer list = head(sizes.length * (CENTRAL_BYTES + 1) + END_BYTES);
      long at = 0;
      for (int i = 0; i < sizes.length; i++) {
        byte name = (byte) ('a' + i);
        ByteBuffer local = head(LOCAL_BYTES + 1);
        local.putInt(0, LOCAL).putShort(8, (short) 8).putInt(18, (int) packed);
        local.putInt(22, (int) sizes[i]).putShort(26, (short) 1).put(LOCAL_BYTES, name);
        zip.write(local, at);
        int own = list.position();
        list.putInt(own, CENTRAL).putShort(own + 10, (short) 8).putInt(own + 20, (int) packed);
        list.putInt(own + 24, (int) sizes[i]).putShort(own + 28, (short) 1);
        list.putInt(own + 42, (int) at).put(own + CENTRAL_BYTES, name);
        list.position(own + CENTRAL_BYTES + 1);
        at += LOCAL_BYTES + 1 + packed;
      }
      int end = list.position();
      list.putInt(end, END).putShort(end + 8, (short) sizes.length);
      list.putShort(end + 10, (short) sizes.length).putInt(end + 12, end);
      list.putInt(end + 16, (int) at);
      zip.write(list.rewind(), at);
    }
  }

  private static ByteBuffer head(int bytes) {
    return ByteBuffer.allocate(bytes).order(ByteOrder.LITTLE_ENDIAN);
  }

  /** The zip with a name in it replaced, wherever it stands, by one of the same length. */
  static byte[] renamed(byte[] zip, String from, String to) {
    if (from.length() != to.length()) {
      throw new IllegalArgumentException("names of one length");
    }
    String text = new String(zip, StandardCharsets.ISO_8859_1);
    return text.replace(from, to).getBytes(StandardCharsets.ISO_8859_1);
  }

  /** Where the record of a file begins in the list at the zip's end. */
  static int listed(byte[] zip, String name) {
    ByteBuffer bytes = ByteBuffer.wrap(zip).order(ByteOrder.LITTLE_ENDIAN);
    for (int at = bytes.getInt(zip.length - 6); bytes.getInt(at) == CENTRAL; ) {
      int length = bytes.getShort(at + 28);
      String own = new String(zip, at + 46, length, StandardCharsets.ISO_8859_1);
      if (own.equals(name)) {
        return at;
      }
      at += 46 + length + bytes.getShort(at + 30) + bytes.getShort(at + 32);
    }
    throw new IllegalArgumentException(name);
  }

  /** A number of 32 bits written over, counted from the record of a file in the list. */
  static byte[] with(byte[] zip, String name, int offset, int value) {
    byte[] other = zip.clone();
    ByteBuffer.wrap(other).order(ByteOrder.LITTLE_ENDIAN).putInt(listed(zip, name) + offset, value);
    return other;
  }
}
