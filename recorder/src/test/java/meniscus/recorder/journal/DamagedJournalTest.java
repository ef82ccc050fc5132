package meniscus.recorder.journal;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.nio.ByteBuffer;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.HashSet;
import java.util.List;
import java.util.Optional;
import java.util.Random;
import java.util.Set;
import java.util.function.Supplier;
import meniscus.core.lift.EventText;
import meniscus.core.lift.LiftPoint;
import meniscus.core.lift.TestEvent.Kind;
import meniscus.recorder.disk.MemoryDisk;
import meniscus.recorder.hostile.Onslaught;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.Tag;
import org.junit.jupiter.api.Test;

@Tag("long")
class DamagedJournalTest {

  private static final Path FOLDER = Path.of("/test");
  private static final Path FILE = FOLDER.resolve(Journal.NAME);
  private static final long SEED = 20310506;

  private static byte[] whole;
  private static List<Integer> starts;

  /** Header and files twice (10 blocks), then five times rows, a note and a kept point. */
  @BeforeAll
  static void write() throws IOException {
    MemoryDisk disk = new MemoryDisk();
    Random random = new Random(SEED);
    try (Journal journal =
        Journal.create(disk, FOLDER, Optional.empty(), Samples.header(), JournalLimits.USUAL)) {
      for (int rung = 1; rung <= 5; rung++) {
        for (int i = 0; i < 20; i++) {
          journal.row(rung * 1000 + i, 0, random.nextGaussian(), random.nextGaussian());
        }
        journal.event(Samples.event(Kind.NOTE, rung, journal.rows(), "note " + rung));
        LiftPoint point = Samples.point(rung, 1, random);
        journal.kept(point, Samples.kept(point, journal.rows()));
      }
    }
    whole = disk.bytes(FILE);
    starts = new ArrayList<>();
    for (int at = 0; at < whole.length; at += 29 + ByteBuffer.wrap(whole).getInt(at + 17)) {
      starts.add(at);
    }
    assertEquals(25, starts.size());
  }

  private record Row(long momentNanos, int instrument, long present, List<Double> values) {}

  private record Entry(String detail, Optional<LiftPoint> point) {}

  private record Read(Recovered recovered, Set<Row> rows) {
    /** Everything the journal holds. */
    Set<Object> all() {
      Set<Object> all = new HashSet<>(rows);
      recovered
          .entries()
          .forEach(at -> all.add(new Entry(EventText.detail(at.event()), at.point())));
      recovered.header().ifPresent(header -> all.add("header"));
      return all;
    }
  }

  private static Read read(byte[] bytes) throws IOException {
    MemoryDisk disk = new MemoryDisk();
    disk.put(FILE, bytes);
    Set<Row> rows = new HashSet<>();
    JournalVisitor rowByRow =
        new JournalVisitor() {
          @Override
          public void row(long momentNanos, int instrument, long present, double[] values) {
            List<Double> there = new ArrayList<>();
            for (int c = 0; c < Long.SIZE; c++) {
              if ((present >> c & 1) != 0) {
                there.add(values[c]);
              }
            }
            rows.add(new Row(momentNanos, instrument, present, there));
          }
        };
    return new Read(JournalReader.read(disk, FILE, rowByRow), rows);
  }

  @Test
  void cutAtEveryByteOnlyTheCutBlockIsLost() throws IOException {
    Set<Object> all = read(whole).all();
    for (int length = 0; length <= whole.length; length++) {
      Read cut = read(Arrays.copyOf(whole, length));
      int end = length;
      long wholeBlocks = starts.stream().skip(1).filter(start -> start <= end).count();
      wholeBlocks += length == whole.length ? 1 : 0;
      assertEquals(wholeBlocks, cut.recovered.blocks(), "cut at " + length);
      assertTrue(all.containsAll(cut.all()), "cut at " + length + " invents something");
      boolean betweenBlocks = starts.contains(length) || length == whole.length || length == 0;
      assertEquals(betweenBlocks, cut.recovered.damage().isEmpty(), "cut at " + length);
    }
  }

  @Test
  void aJournalCutAtAnyByteGoesOn() throws IOException {
    int from = starts.get(starts.size() - 3);
    for (int length = from; length <= whole.length; length += 7) {
      MemoryDisk disk = new MemoryDisk();
      disk.put(FILE, Arrays.copyOf(whole, length));
      Recovered cut = JournalReader.read(disk, FILE, JournalVisitor.NONE);
      LiftPoint point = Samples.point(6, 1, new Random(1));
      try (Journal journal =
          Journal.resume(disk, FOLDER, Optional.empty(), cut, JournalLimits.USUAL)) {
        journal.row(7000, 1, 1.5);
        journal.kept(point, Samples.kept(point, journal.rows()));
      }
      Recovered after = JournalReader.read(disk, FILE, JournalVisitor.NONE);
      assertEquals(List.of(), after.damage(), "cut at " + length);
      assertEquals(cut.rows() + 1, after.rows());
      assertEquals(cut.standing().size() + 1, after.standing().size());
    }
  }

  @Test
  void aFlippedBitAnywhereCostsOneBlockAndIsSaid() throws Exception {
    flip(800, SEED);
  }

  @Test
  @Tag("bench")
  void aMillionFlippedBits() throws Exception {
    flip(Onslaught.FULL, SEED + 1);
  }

  private static void flip(int cases, long seed) throws Exception {
    Set<Object> all = read(whole).all();
    Onslaught.run(
        "flipped bits in a journal",
        cases,
        seed,
        random -> random.nextInt(whole.length * 8),
        bit -> {
          byte[] bytes = whole.clone();
          bytes[bit / 8] ^= (byte) (1 << bit % 8);
          Read read = read(bytes);
          int block = blockAt(bit / 8);
          boolean rows = block >= 10 && block % 3 == 1;
          Supplier<String> where = () -> "bit " + bit;
          assertEquals(starts.size() - 1, read.recovered.blocks(), where);
          assertEquals(1, read.recovered.damage().size(), where);
          assertTrue(read.recovered.header().isPresent(), where);
          assertTrue(all.containsAll(read.all()), where);
          assertEquals(rows ? 20 : 0, read.recovered.lostRows(), where);
          assertEquals(
              starts.get(block).longValue(), read.recovered.damage().get(0).offset(), where);
          return "";
        });
  }

  private static int blockAt(int offset) {
    int block = 0;
    while (block + 1 < starts.size() && starts.get(block + 1) <= offset) {
      block++;
    }
    return block;
  }

  @Test
  void aTailOfZerosCostsOnlyWhatItCovers() throws IOException {
    for (int zeros = 1; zeros < whole.length; zeros += 13) {
      byte[] bytes = whole.clone();
      Arrays.fill(bytes, whole.length - zeros, whole.length, (byte) 0);
      int from = whole.length - zeros;
      long untouched = starts.stream().skip(1).filter(start -> start <= from).count();
      Read read = read(bytes);
      assertTrue(read.recovered.blocks() >= untouched, "zeros from " + from);
      assertTrue(read.recovered.blocks() <= untouched + 1, "zeros from " + from);
    }
  }

  @Test
  void aBlockMissingWithoutATraceIsSaid() throws IOException {
    int note = starts.get(11);
    int kept = starts.get(12);
    byte[] bytes = new byte[whole.length - (kept - note)];
    System.arraycopy(whole, 0, bytes, 0, note);
    System.arraycopy(whole, kept, bytes, note, whole.length - kept);
    Recovered read = read(bytes).recovered;
    assertEquals(1, read.damage().size());
    assertEquals(24, read.blocks());
  }

  @Test
  void eventsCountTheRowsThatAreLeft() throws IOException {
    byte[] bytes = whole.clone();
    bytes[starts.get(13) + 40] ^= 1;
    Recovered read = read(bytes).recovered;
    assertEquals(80, read.rows());
    assertEquals(20, read.lostRows());
    assertEquals(100, read.nextRow());
    List<Long> afterRows = read.events().stream().map(event -> event.afterRow()).toList();
    assertEquals(List.of(20L, 20L, 20L, 20L, 40L, 40L, 60L, 60L, 80L, 80L), afterRows);
  }

  @Test
  void remainsOfAnotherJournalAreNotTakenForThisOne() throws IOException {
    MemoryDisk disk = new MemoryDisk();
    try (Journal journal =
        Journal.create(disk, FOLDER, Optional.empty(), Samples.header(), JournalLimits.USUAL)) {
      for (int i = 0; i < 40; i++) {
        journal.event(Samples.event(Kind.NOTE, i, 0, "other " + i));
      }
    }
    byte[] other = disk.bytes(FILE);
    byte[] bytes = Arrays.copyOf(whole, whole.length + other.length);
    System.arraycopy(other, 0, bytes, whole.length, other.length);
    Recovered read = read(bytes).recovered;
    assertEquals(25, read.blocks());
    assertEquals(whole.length, read.end());
    assertTrue(
        read.events().stream().noneMatch(event -> EventText.detail(event).startsWith("other")));
  }

  @Test
  void noBytesWhateverMakeTheReaderThrow() throws Exception {
    noise(800, SEED + 2);
  }

  @Test
  @Tag("bench")
  void aMillionHostileJournals() throws Exception {
    noise(Onslaught.FULL, SEED + 3);
  }

  /** Random bytes, and blocks with right checksums around random or spoilt payloads. */
  private static void noise(int cases, long seed) throws Exception {
    int refused =
        Onslaught.run(
            "hostile journals",
            cases,
            seed,
            DamagedJournalTest::hostile,
            bytes -> {
              try {
                read(bytes);
                return "";
              } catch (IOException e) {
                assertTrue(e.getMessage().contains("this program reads journal/1"), e::getMessage);
                return e.getMessage();
              }
            });
    assertTrue(refused > 0 && refused < cases / 2, "refused: " + refused);
  }

  private static byte[] hostile(Random random) {
    ByteBuffer bytes = ByteBuffer.allocate(1 << 14);
    bytes.put(whole, 0, starts.get(random.nextInt(starts.size())));
    for (int block = 0; block < 4; block++) {
      int journal = ByteBuffer.wrap(whole).getInt(4);
      bytes.put(Block.encode(journal, 100 + block, random.nextInt(7), payload(random)));
    }
    return Arrays.copyOf(bytes.array(), bytes.position());
  }

  private static byte[] payload(Random random) {
    if (random.nextBoolean()) {
      byte[] payload = new byte[random.nextInt(300)];
      random.nextBytes(payload);
      return payload;
    }
    int block = random.nextInt(starts.size() - 1);
    byte[] payload = Arrays.copyOfRange(whole, starts.get(block) + 29, starts.get(block + 1));
    for (int flips = random.nextInt(4); flips > 0 && payload.length > 0; flips--) {
      payload[random.nextInt(payload.length)] ^= (byte) (1 << random.nextInt(8));
    }
    return payload;
  }
}
