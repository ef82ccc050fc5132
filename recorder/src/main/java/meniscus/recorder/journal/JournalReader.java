package meniscus.recorder.journal;

import java.io.IOException;
import java.nio.ByteBuffer;
import java.nio.file.NoSuchFileException;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.SortedMap;
import java.util.TreeMap;
import meniscus.core.lift.LiftPoint;
import meniscus.core.lift.TestEvent;
import meniscus.core.time.Moment;
import meniscus.recorder.disk.Disk;
import meniscus.recorder.file.PlainText;

/**
 * Reads a journal, whatever happened to it. A block whose payload is damaged is stepped over; after
 * a damaged head the next whole head is looked for. Either way one block is lost, and said.
 */
public final class JournalReader {

  private static final int MOST_DAMAGE = 1000;

  private final Path source;
  private final JournalVisitor visitor;
  private final List<Damage> damage = new ArrayList<>();
  private final List<Recovered.Entry> entries = new ArrayList<>();
  private final SortedMap<String, TreeMap<Integer, byte[]>> pieces = new TreeMap<>();
  private PayloadReader.Outline outline;
  private long[] allChannels = {};
  private Optional<Header> header = Optional.empty();
  private int journal;
  private boolean known;
  private long nextSequence;
  private long nextRow;
  private long rows;
  private long blocks;
  private long lostRows;
  private long last;
  private long end;
  private long size;

  JournalReader(Path source, JournalVisitor visitor) {
    this.source = source;
    this.visitor = visitor;
  }

  /**
   * Reads all but the rows.
   *
   * @throws IOException when the file cannot be read at all, or is of a newer format
   */
  public static Recovered read(Path file) throws IOException {
    return read(Disk.REAL, file, JournalVisitor.NONE);
  }

  /** As {@link #read(Path)}, showing rows, events and points to a visitor on the way. */
  public static Recovered read(Disk disk, Path file, JournalVisitor visitor) throws IOException {
    try (Disk.OpenFile open = disk.read(file)) {
      return new JournalReader(file, visitor).readOn(open);
    } catch (NoSuchFileException e) {
      throw new IOException(file + " is not there: no test was left unfinished here", e);
    }
  }

  /**
   * Reads the journal of a folder and its mirror, whichever can be read, and gives the one that
   * tells more.
   *
   * @throws IOException when neither can be read
   */
  public static Recovered better(Path file, Path mirror) throws IOException {
    if (!Disk.REAL.exists(file)) {
      return read(mirror);
    }
    if (!Disk.REAL.exists(mirror)) {
      return read(file);
    }
    Recovered first = read(file);
    Recovered second = read(mirror);
    boolean same = first.journal() == second.journal() || first.header().isEmpty();
    return same && second.blocks() > first.blocks() ? second : first;
  }

  /** Whether what was read so far is the beginning of a file. */
  boolean fits(Disk.OpenFile open) throws IOException {
    return open.size() >= end && Block.startsWith(open, journal);
  }

  /** Whether all was whole up to where the file ended when it was read. */
  boolean endsWhole() {
    return end == size && (damage.isEmpty() || lastDamageEnd() != size);
  }

  /** Reads from behind the last whole block on; from the start, the first time. */
  Recovered readOn(Disk.OpenFile open) throws IOException {
    FileWindow window = new FileWindow(open, end);
    size = window.size();
    long at = end;
    while (at < window.size()) {
      Block block = Block.headAt(window.at(at, Block.HEAD));
      if (block == null || !ours(block) || at + block.total() > window.size()) {
        long next = nextHead(window, at + 1);
        damaged(at, next - at, next == window.size() ? "not whole to the end" : "no whole block");
        at = next;
        continue;
      }
      take(block, at, window.at(at, block.total()).slice(Block.HEAD, block.length()));
      at += block.total();
      end = at;
    }
    return result();
  }

  private boolean ours(Block block) {
    return !known || block.journal() == journal && block.sequence() >= nextSequence;
  }

  private long nextHead(FileWindow window, long from) throws IOException {
    long at = window.nextMagic(from);
    while (at < window.size()) {
      Block block = Block.headAt(window.at(at, Block.HEAD));
      if (block != null && ours(block) && at + block.total() <= window.size()) {
        return at;
      }
      at = window.nextMagic(at + 1);
    }
    return at;
  }

  private void take(Block block, long at, ByteBuffer payload) throws IOException {
    if (block.sequence() > nextSequence && (damage.isEmpty() || lastDamageEnd() != at)) {
      damaged(at, 0, block.sequence() - nextSequence + " blocks before it are missing");
    }
    journal = block.journal();
    known = true;
    nextSequence = block.sequence() + 1;
    if (Block.crc(payload.duplicate()) != block.payloadCrc()) {
      damaged(at, block.total(), "a " + name(block.type()) + " block does not match its checksum");
      return;
    }
    Shown shown;
    try {
      shown = understood(block.type(), payload);
    } catch (RuntimeException e) {
      damaged(at, block.total(), "a " + name(block.type()) + " block makes no sense");
      return;
    }
    blocks++;
    shown.to(visitor);
  }

  /** What a block holds, ready for the visitor; a fault of the visitor's is not the block's. */
  private interface Shown {
    void to(JournalVisitor visitor) throws IOException;
  }

  private long lastDamageEnd() {
    Damage previous = damage.get(damage.size() - 1);
    return previous.offset() + previous.length();
  }

  private Shown understood(int type, ByteBuffer payload) throws IOException {
    PayloadReader reader = new PayloadReader(payload);
    switch (type) {
      case Block.Type.HEADER -> header(reader.header());
      case Block.Type.FILE -> {
        PayloadReader.Piece piece = reader.file();
        pieces
            .computeIfAbsent(piece.name(), n -> new TreeMap<>())
            .put(piece.from(), piece.content());
      }
      case Block.Type.ROWS -> {
        return rows(payload);
      }
      case Block.Type.EVENT -> {
        TestEvent event = counted(reader.event());
        if (event.kind() != TestEvent.Kind.REJECTED) {
          entries.add(new Recovered.Entry(event, Optional.empty()));
        }
        return shown -> shown.event(event);
      }
      case Block.Type.KEPT -> {
        TestEvent written = reader.event();
        LiftPoint point = reader.point();
        TestEvent event = counted(written);
        entries.add(new Recovered.Entry(event, Optional.of(point)));
        return shown -> shown.kept(point, event);
      }
      default -> throw new IllegalArgumentException("no such type");
    }
    return shown -> {};
  }

  private void header(PayloadReader.Outline read) throws IOException {
    if (!read.format().equals(Payload.FORMAT)) {
      throw new IOException(
          source
              + " is \""
              + PlainText.message(read.format())
              + "\"; this program reads "
              + Payload.FORMAT
              + ": finish the test with the version that began it");
    }
    outline = read;
    allChannels = Header.Columns.all(read.instruments());
  }

  private Shown rows(ByteBuffer payload) throws IOException {
    if (outline == null) {
      throw new IllegalArgumentException("rows before any header");
    }
    int[] count = {0};
    RowBuffer.read(
        payload.duplicate(),
        allChannels,
        (moment, instrument, present, values) -> {
          count[0]++;
          last = Math.max(last, moment);
        });
    missingUpTo(payload.getLong(0));
    nextRow += count[0];
    rows += count[0];
    return shown -> RowBuffer.read(payload, allChannels, shown::row);
  }

  private void missingUpTo(long row) {
    if (row > nextRow) {
      lostRows += row - nextRow;
      nextRow = row;
    }
  }

  /** With rows lost, an event counts the rows that are left. */
  private TestEvent counted(TestEvent event) {
    last = Math.max(last, event.moment().nanos());
    missingUpTo(event.afterRow());
    return event.after(rows);
  }

  private void damaged(long at, long length, String reason) {
    if (damage.size() < MOST_DAMAGE) {
      damage.add(new Damage(at, length, reason));
    }
  }

  private static String name(int type) {
    return switch (type) {
      case Block.Type.HEADER -> "header";
      case Block.Type.FILE -> "file";
      case Block.Type.ROWS -> "rows";
      case Block.Type.EVENT -> "event";
      case Block.Type.KEPT -> "kept point";
      default -> "type " + type;
    };
  }

  private Recovered result() {
    if (header.isEmpty()) {
      header = assemble();
    }
    return new Recovered(
        source,
        journal,
        blocks,
        header,
        entries,
        rows,
        lostRows,
        new Moment(last),
        damage,
        end,
        nextSequence,
        nextRow);
  }

  private Optional<Header> assemble() {
    if (outline == null) {
      return Optional.empty();
    }
    SortedMap<String, byte[]> files = new TreeMap<>();
    for (Map.Entry<String, Integer> wanted : outline.fileSizes().entrySet()) {
      Optional<byte[]> content =
          join(pieces.getOrDefault(wanted.getKey(), new TreeMap<>()), wanted.getValue());
      if (content.isEmpty()) {
        return Optional.empty();
      }
      files.put(wanted.getKey(), content.get());
    }
    try {
      return Optional.of(
          new Header(
              outline.program(), outline.created(), outline.instruments(), files, outline.id()));
    } catch (IllegalArgumentException e) {
      return Optional.empty(); // Names that lead out of the folder, or no bench: not ours.
    }
  }

  private static Optional<byte[]> join(TreeMap<Integer, byte[]> parts, int size) {
    long have = parts.values().stream().mapToLong(part -> part.length).sum();
    if (size < 0 || have != size) {
      return Optional.empty();
    }
    ByteBuffer whole = ByteBuffer.allocate(size);
    for (Map.Entry<Integer, byte[]> part : parts.entrySet()) {
      if (part.getKey() != whole.position()) {
        return Optional.empty();
      }
      whole.put(part.getValue());
    }
    return Optional.of(whole.array());
  }
}
