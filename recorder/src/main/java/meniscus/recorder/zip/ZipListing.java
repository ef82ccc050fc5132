package meniscus.recorder.zip;

import java.io.EOFException;
import java.io.IOException;
import java.nio.ByteBuffer;
import java.nio.ByteOrder;
import java.nio.channels.FileChannel;
import java.nio.charset.StandardCharsets;
import java.nio.file.Path;
import java.nio.file.StandardOpenOption;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.Collection;
import java.util.Comparator;
import java.util.HashSet;
import java.util.List;
import java.util.Optional;
import java.util.Set;
import java.util.SortedMap;
import java.util.TreeMap;
import meniscus.recorder.disk.InsideName;
import meniscus.recorder.disk.PortableName;
import meniscus.recorder.file.FileNotAccepted;

/**
 * The files of a zip (PKWARE, "APPNOTE.TXT", 6.3.10; without its 64-bit sizes), read strictly:
 * whatever another program could understand otherwise is refused. Every byte of the file belongs to
 * exactly one thing, each name leads to one real file inside, and nothing gets much larger.
 */
final class ZipListing {

  /** Below what needs 64-bit sizes, 65 535. */
  static final int MOST_FILES = 60_000;

  /** Of all files together, unpacked; our own choice: a season of tests, read in a minute. */
  static final long LARGEST = 8L << 30;

  /**
   * A file that gets larger than this many times its packed size is refused, once it is above
   * {@link #SMALL}. Our own choice: tables of a test shrink to a fifth or a tenth.
   */
  static final int MOST_TIMES = 100;

  static final long SMALL = 1 << 20;

  static final int STORED = 0;
  static final int DEFLATED = 8;

  private static final int END = 0x06054b50;
  private static final int END_BYTES = 22;
  private static final int CENTRAL = 0x02014b50;
  private static final int CENTRAL_BYTES = 46;
  private static final int LOCAL = 0x04034b50;
  private static final int LOCAL_BYTES = 30;

  /** How the deflater was told to work, sizes behind the data, name in UTF-8. */
  private static final int KNOWN_FLAGS = 0b1000_0000_1110;

  private static final int SIZES_BEHIND = 0b1000;

  /** What stands behind the data then: checksum and two sizes, with a signature or without. */
  private static final int MOST_BEHIND = 16;

  private static final int UNIX = 3;
  private static final int TYPE_BITS = 0170000;
  private static final int REGULAR = 0100000;
  private static final int FOLDER = 0040000;

  private static final int LONGEST_LIST = 16 << 20;
  private static final int DEEPEST = 8;
  private static final long MASK = 0xffffffffL;

  private final Path zip;
  private final SortedMap<String, Entry> files = new TreeMap<>();
  private final Set<String> folders = new HashSet<>();

  /**
   * A file.
   *
   * @param method {@link #STORED} or {@link #DEFLATED}
   * @param crc CRC-32 of its content
   * @param packed size in the zip
   * @param size of its content
   * @param at where its data begins in the zip
   */
  record Entry(String name, int method, long crc, long packed, long size, long at) {}

  /** One record of the list, and where its file begins and ends in the zip. */
  private record Listed(Entry entry, int flags, long begins) {}

  private ZipListing(Path zip) {
    this.zip = zip;
  }

  /**
   * @throws FileNotAccepted saying why the file is no zip that is read here
   */
  static ZipListing read(Path zip) throws IOException {
    ZipListing listing = new ZipListing(zip);
    try (FileChannel channel = FileChannel.open(zip, StandardOpenOption.READ)) {
      listing.readFrom(channel);
    } catch (EOFException e) {
      throw listing.refused("it ends before its list of files says so");
    }
    return listing;
  }

  Optional<Entry> file(String name) {
    return Optional.ofNullable(files.get(name));
  }

  boolean isFolder(String name) {
    return name.isEmpty() || folders.contains(name);
  }

  Collection<String> names() {
    return files.keySet();
  }

  // ------------------------------------------------------------------ reading

  private void readFrom(FileChannel channel) throws IOException {
    long size = channel.size();
    if (size < END_BYTES || size > MASK) {
      throw refused(size < END_BYTES ? "it is too short" : "it is above 4 GiB");
    }
    ByteBuffer end = bytes(channel, size - END_BYTES, END_BYTES);
    if (end.getInt(0) != END || end.getShort(20) != 0) {
      throw refused(
          "its list of files does not stand at its end: it was cut short, or something was added");
    }
    int count = end.getShort(10) & 0xffff;
    long length = end.getInt(12) & MASK;
    long start = end.getInt(16) & MASK;
    if (end.getInt(4) != 0 || (end.getShort(8) & 0xffff) != count) {
      throw refused("it is one of several parts");
    }
    if (count > MOST_FILES) {
      throw refused("it holds more than " + MOST_FILES + " files");
    }
    if (start + length != size - END_BYTES || length > LONGEST_LIST) {
      throw refused("its list of files has not the size that its end says");
    }
    List<Listed> listed = new ArrayList<>();
    ByteBuffer list = bytes(channel, start, (int) length);
    for (int i = 0; i < count; i++) {
      listed.add(next(list));
    }
    if (list.hasRemaining()) {
      throw refused("its list of files is longer than its end says");
    }
    place(channel, listed, start);
    checkNames();
  }

  private Listed next(ByteBuffer list) {
    if (list.remaining() < CENTRAL_BYTES || list.getInt(list.position()) != CENTRAL) {
      throw refused("its list of files is damaged");
    }
    int at = list.position();
    int nameLength = list.getShort(at + 28) & 0xffff;
    int more = (list.getShort(at + 30) & 0xffff) + (list.getShort(at + 32) & 0xffff);
    if (list.remaining() < CENTRAL_BYTES + nameLength + more) {
      throw refused("its list of files is damaged");
    }
    byte[] letters = new byte[nameLength];
    list.get(at + CENTRAL_BYTES, letters);
    list.position(at + CENTRAL_BYTES + nameLength + more);
    Entry entry =
        new Entry(
            new String(letters, StandardCharsets.ISO_8859_1),
            list.getShort(at + 10) & 0xffff,
            list.getInt(at + 16) & MASK,
            list.getInt(at + 20) & MASK,
            list.getInt(at + 24) & MASK,
            -1);
    int flags = list.getShort(at + 8) & 0xffff;
    boolean unix = (list.getShort(at + 4) >> 8 & 0xff) == UNIX;
    check(entry, flags, unix ? list.getInt(at + 38) >>> 16 & TYPE_BITS : 0);
    return new Listed(entry, flags, list.getInt(at + 42) & MASK);
  }

  private void check(Entry entry, int flags, int type) {
    String name = entry.name();
    String plain = name.endsWith("/") ? name.substring(0, name.length() - 1) : name;
    String[] steps = plain.split("/", -1);
    if (steps.length > DEEPEST || !Arrays.stream(steps).allMatch(InsideName::ok)) {
      throw refused("it holds " + shown(name) + ", which no test folder may hold");
    }
    boolean folder = name.endsWith("/");
    if (type != 0 && type != (folder ? FOLDER : REGULAR)) {
      throw refused(shown(name) + " in it is a link, or no plain file");
    }
    if ((flags & ~KNOWN_FLAGS) != 0 || entry.method() != STORED && entry.method() != DEFLATED) {
      throw refused(shown(name) + " in it is encrypted, or packed in an unusual way");
    }
    boolean sizes = entry.method() != STORED || entry.packed() == entry.size();
    if (!sizes || folder && entry.size() != 0) {
      throw refused(shown(name) + " in it has sizes that contradict each other");
    }
    if (entry.size() > SMALL && entry.size() / MOST_TIMES > entry.packed()) {
      throw refused(
          shown(name) + " in it would get more than " + MOST_TIMES + " times as large unpacked");
    }
  }

  /** Finds where the data of each file begins, and that they fill the zip up to its list. */
  private void place(FileChannel channel, List<Listed> listed, long end) throws IOException {
    long at = 0;
    long slack = 0;
    long unpacked = 0;
    for (Listed one : listed.stream().sorted(Comparator.comparingLong(Listed::begins)).toList()) {
      checkGap(at, one.begins(), slack);
      Entry placed = placed(channel, one, end);
      at = placed.at() + placed.packed();
      slack = (one.flags() & SIZES_BEHIND) == 0 ? 0 : MOST_BEHIND;
      unpacked += placed.size();
      add(placed);
    }
    checkGap(at, end, slack);
    if (unpacked > LARGEST) {
      throw refused("it would be larger than " + (LARGEST >> 30) + " GiB unpacked");
    }
  }

  private void checkGap(long from, long to, long slack) {
    if (to < from) {
      throw refused("two of its files lie upon each other");
    }
    if (to - from > slack) {
      throw refused("it holds bytes that belong to none of its files");
    }
  }

  private Entry placed(FileChannel channel, Listed listed, long end) throws IOException {
    Entry entry = listed.entry();
    byte[] name = entry.name().getBytes(StandardCharsets.ISO_8859_1);
    ByteBuffer head = bytes(channel, listed.begins(), LOCAL_BYTES + name.length);
    byte[] own = new byte[name.length];
    head.get(LOCAL_BYTES, own);
    boolean sizesHere = (listed.flags() & SIZES_BEHIND) == 0;
    if (head.getInt(0) != LOCAL
        || (head.getShort(6) & 0xffff) != listed.flags()
        || (head.getShort(8) & 0xffff) != entry.method()
        || (head.getShort(26) & 0xffff) != name.length
        || !Arrays.equals(own, name)
        || sizesHere && (head.getInt(18) & MASK) != entry.packed()
        || sizesHere && (head.getInt(22) & MASK) != entry.size()) {
      throw refused(shown(entry.name()) + " in it is not what its list of files says");
    }
    long data = listed.begins() + LOCAL_BYTES + name.length + (head.getShort(28) & 0xffff);
    if (data + entry.packed() > end) {
      throw refused(shown(entry.name()) + " in it is longer than the zip");
    }
    return new Entry(entry.name(), entry.method(), entry.crc(), entry.packed(), entry.size(), data);
  }

  private void add(Entry entry) {
    String name = entry.name();
    if (name.endsWith("/")) {
      addFolders(name);
    } else if (files.put(name, entry) != null) {
      throw refused("it holds " + shown(name) + " twice");
    } else {
      addFolders(name);
    }
  }

  private void addFolders(String name) {
    for (int cut = name.lastIndexOf('/'); cut > 0; cut = name.lastIndexOf('/', cut - 1)) {
      folders.add(name.substring(0, cut));
    }
  }

  private void checkNames() {
    List<String> all = new ArrayList<>(files.keySet());
    all.addAll(folders);
    if (new HashSet<>(all).size() < all.size()) {
      throw refused("a name in it is that of a file and of a folder");
    }
    PortableName.fault(all)
        .ifPresent(
            fault -> {
              throw refused(fault);
            });
  }

  private static ByteBuffer bytes(FileChannel channel, long at, int count) throws IOException {
    ByteBuffer bytes = ByteBuffer.allocate(count).order(ByteOrder.LITTLE_ENDIAN);
    while (bytes.hasRemaining()) {
      if (channel.read(bytes, at + bytes.position()) < 0) {
        throw new EOFException();
      }
    }
    return bytes.flip();
  }

  private static String shown(String name) {
    return "\"" + (name.length() > 80 ? name.substring(0, 80) + "…" : name) + "\"";
  }

  private FileNotAccepted refused(String why) {
    return new FileNotAccepted(
        zip + " is not read as packed tests: " + why + ". Take it from a copy, or pack it again");
  }
}
