package meniscus.recorder.folder;

import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.ByteArrayInputStream;
import java.io.IOException;
import java.io.InputStream;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.Optional;
import java.util.Random;
import java.util.zip.GZIPInputStream;
import meniscus.recorder.disk.FolderLock;
import meniscus.recorder.journal.Samples;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.Tag;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** Spoilt tables and package files end in a message, never in a crash. */
class HostileTablesTest {

  private static final long SEED = 20310508;

  @TempDir static Path folder;

  private static String points;
  private static String events;
  private static String budget;
  private static String samples;
  private static String described;
  private static List<Field> sampleFields;

  @BeforeAll
  static void record() throws IOException {
    try (FolderLock lock = FolderLock.take(folder)) {
      MadeUpTest.record(lock, Optional.empty());
      TestFolder.finalise(lock, Optional.empty(), MadeUpTest.UNITS, "t");
    }
    points = Files.readString(folder.resolve("points.csv"));
    events = Files.readString(folder.resolve("events.csv"));
    budget = Files.readString(folder.resolve("budget.csv"));
    described = Files.readString(folder.resolve("datapackage.json"));
    try (InputStream in =
        new GZIPInputStream(Files.newInputStream(folder.resolve("samples.csv.gz")))) {
      samples = new String(in.readNBytes(2000), StandardCharsets.UTF_8);
      samples = samples.substring(0, samples.lastIndexOf('\n') + 1);
    }
    sampleFields = new SamplesTable(Samples.INSTRUMENTS).fields();
  }

  @Test
  void spoiltTablesEndInAMessage() {
    spoil(1500, SEED);
  }

  @Test
  @Tag("bench")
  void aMillionSpoiltTables() {
    spoil(1_000_000, SEED + 1);
  }

  private interface Reading {
    void read() throws IOException;
  }

  private static void spoil(int cases, long seed) {
    Random random = new Random(seed);
    PointsTable table = new PointsTable(MadeUpTest.UNITS);
    Anchors anchors = new Anchors(Samples.header().created());
    int refused = 0;
    for (int i = 0; i < cases; i++) {
      Reading reading =
          switch (i % 5) {
            case 0 ->
                () ->
                    Csv.read(
                        in(spoilt(points, random)),
                        "points.csv",
                        Field.names(table.fields()),
                        row -> table.point(row, anchors, List.of()));
            case 1 -> () -> EventsTable.read(in(spoilt(events, random)), anchors::take);
            case 2 -> () -> BudgetTable.read(in(spoilt(budget, random)));
            case 3 ->
                () ->
                    SamplesTable.of(sampleFields)
                        .read(in(spoilt(samples, random)), (moment, instrument, present, v) -> {});
            default -> () -> openPackage(spoilt(described, random));
          };
      refused += ends(reading, "case " + i + ", seed " + seed);
    }
    assertTrue(refused > cases / 10, "only " + refused + " of " + cases + " were refused");
  }

  private static void openPackage(String text) throws IOException {
    PackageFile read = PackageFile.read(text.getBytes(StandardCharsets.UTF_8));
    for (Resource resource : read.resources()) {
      if (resource.isTable()) {
        resource.name();
      }
      if (resource.path().equals("samples.csv.gz")) {
        SamplesTable.of(resource.fields());
      }
    }
  }

  private static int ends(Reading reading, String where) {
    try {
      reading.read();
      return 0;
    } catch (BadTestFolder e) {
      assertTrue(e.getMessage().length() > 10, where);
      return 1;
    } catch (IOException | RuntimeException e) {
      throw new AssertionError(where, e);
    }
  }

  private static InputStream in(String text) {
    return new ByteArrayInputStream(text.getBytes(StandardCharsets.UTF_8));
  }

  private static String spoilt(String text, Random random) {
    StringBuilder spoilt = new StringBuilder(text);
    String alphabet = ",\"\n'-+=Ee.09xNaINF{}[]:\u0000\u00fc\ud83d";
    for (int changes = 1 + random.nextInt(4); changes > 0 && spoilt.length() > 0; changes--) {
      int at = random.nextInt(spoilt.length());
      char c = alphabet.charAt(random.nextInt(alphabet.length()));
      switch (random.nextInt(3)) {
        case 0 -> spoilt.setCharAt(at, c);
        case 1 -> spoilt.insert(at, String.valueOf(c).repeat(1 + random.nextInt(30)));
        default -> spoilt.delete(at, Math.min(spoilt.length(), at + random.nextInt(20)));
      }
    }
    return spoilt.toString();
  }
}
