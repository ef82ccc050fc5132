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
import meniscus.recorder.hostile.Onslaught;
import meniscus.recorder.hostile.Spoilt;
import meniscus.recorder.journal.Samples;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.Tag;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** Spoilt tables and package files end in a message, never in a crash. */
@Tag("long")
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
      MadeUpTest.finish(lock, "t");
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
  void spoiltTablesEndInAMessage() throws InterruptedException {
    spoil(20_000, SEED);
  }

  @Test
  @Tag("bench")
  void aMillionSpoiltTables() throws InterruptedException {
    spoil(Onslaught.FULL, SEED + 1);
  }

  private interface Reading {
    void read() throws IOException;
  }

  private static void spoil(int cases, long seed) throws InterruptedException {
    PointsTable table = new PointsTable(MadeUpTest.UNITS);
    Anchors anchors = new Anchors(Samples.header().created());
    int refused =
        Onslaught.run(
            "tables and package files",
            cases,
            seed,
            random -> spoiltOne(random, table, anchors),
            reading -> {
              try {
                reading.read();
                return "";
              } catch (BadTestFolder e) {
                return e.getMessage();
              }
            });
    assertTrue(refused > cases / 10, "only " + refused + " of " + cases + " were refused");
  }

  private static Reading spoiltOne(Random random, PointsTable table, Anchors anchors) {
    int kind = random.nextInt(5);
    String valid = List.of(points, events, budget, samples, described).get(kind);
    String spoilt = kind == 4 ? Spoilt.json(valid, random) : Spoilt.text(valid, random);
    return switch (kind) {
      case 0 ->
          () ->
              Csv.read(
                  in(spoilt),
                  "points.csv",
                  Field.names(table.fields()),
                  row -> table.point(row, anchors, List.of()));
      case 1 -> () -> EventsTable.read(in(spoilt), anchors::take);
      case 2 -> () -> BudgetTable.read(in(spoilt));
      case 3 ->
          () ->
              SamplesTable.of(sampleFields)
                  .read(in(spoilt), (moment, instrument, present, values) -> {});
      default -> () -> openPackage(spoilt);
    };
  }

  private static void openPackage(String text) throws IOException {
    PackageFile read = PackageFile.read(Seal.of(text).getBytes(StandardCharsets.UTF_8));
    for (Resource resource : read.resources()) {
      if (resource.path().equals("samples.csv.gz")) {
        SamplesTable.of(resource.fields());
      }
    }
    // As after a note was added to it.
    PackageFile.read(read.write());
  }

  private static InputStream in(String text) {
    return new ByteArrayInputStream(text.getBytes(StandardCharsets.UTF_8));
  }
}
