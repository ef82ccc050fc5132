package meniscus.recorder.file;

import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.nio.ByteBuffer;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.Random;
import java.util.SortedMap;
import java.util.TreeMap;
import java.util.stream.Collectors;
import meniscus.core.bench.ChannelMatch;
import meniscus.core.budget.SmallBench;
import meniscus.core.compare.ExternalCurve;
import meniscus.core.flow.Direction;
import meniscus.core.instrument.Decoder;
import meniscus.core.instrument.Rejected;
import meniscus.core.instrument.Settings;
import meniscus.core.instrument.Sink;
import meniscus.core.lift.Plan;
import meniscus.core.quantity.Unit;
import meniscus.core.time.Moment;
import meniscus.drivers.hash.Sha256;
import meniscus.drivers.line.LineKind;
import meniscus.drivers.line.Lines;
import meniscus.drivers.sheet.SheetFile;
import meniscus.drivers.sheet.ShippedSheets;
import meniscus.recorder.feed.BoundInstrument;
import meniscus.recorder.feed.Drivers;
import meniscus.recorder.hostile.Onslaught;
import meniscus.recorder.hostile.Spoilt;
import meniscus.recorder.journal.Header;
import meniscus.recorder.session.Assembly;
import org.junit.jupiter.api.Tag;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** Files of the owner and of strangers, spoilt: taken as they are, or refused in words. */
@Tag("long")
class HostileFilesTest {

  private static final long SEED = 20311128;
  private static final long FULL_SEED = 20320101;
  private static final int SMALL = 5_000;
  private static final int FULL = Onslaught.FULL;

  /** What a bench file adds to a sheet's line. */
  private static final Settings PORT =
      new Settings("line", Map.of("kind", "serial", "port", "/dev/ttyNONE7"));

  private static final Drivers DRIVERS = Drivers.shipped();
  private static final List<LineKind> LINES = Lines.kinds();

  @TempDir Path folder;

  @Test
  void benchFiles() throws Exception {
    benches(SMALL, SEED);
  }

  @Test
  @Tag("bench")
  void aMillionBenchFiles() throws Exception {
    benches(FULL, FULL_SEED);
  }

  @Test
  void planFiles() throws Exception {
    plans(SMALL, SEED + 10);
  }

  @Test
  @Tag("bench")
  void aMillionPlanFiles() throws Exception {
    plans(FULL, FULL_SEED + 10);
  }

  @Test
  void instrumentSheets() throws Exception {
    sheets(SMALL, SEED + 20);
  }

  @Test
  @Tag("bench")
  void aMillionInstrumentSheets() throws Exception {
    sheets(FULL, FULL_SEED + 20);
  }

  @Test
  void calibrationFiles() throws Exception {
    calibrations(SMALL, SEED + 30);
  }

  @Test
  @Tag("bench")
  void aMillionCalibrationFiles() throws Exception {
    calibrations(FULL, FULL_SEED + 30);
  }

  @Test
  void platesNotesCamsAndCurves() throws Exception {
    others(SMALL, SEED + 40);
  }

  @Test
  @Tag("bench")
  void aMillionPlatesNotesCamsAndCurves() throws Exception {
    others(FULL, FULL_SEED + 40);
  }

  private interface Reading {
    void of(String text) throws Exception;
  }

  private static void run(String what, int cases, long seed, List<String> valid, Reading reading)
      throws InterruptedException {
    int refused =
        Onslaught.run(
            what,
            cases,
            seed,
            random -> Spoilt.json(one(valid, random), random),
            text -> refusal(reading, text));
    assertTrue(refused > cases / 10, "only " + refused + " were refused");
    assertTrue(refused < cases - cases / 200, "only " + (cases - refused) + " were accepted");
  }

  private static String refusal(Reading reading, String text) throws Exception {
    try {
      reading.of(text);
      return "";
    } catch (FileNotAccepted e) {
      return e.getMessage();
    }
  }

  // ------------------------------------------------------------------ bench and plan

  private static void benches(int cases, long seed) throws Exception {
    List<String> valid = new ArrayList<>(Docs.wholeExamples("bench-file.md"));
    for (int i = 0; i < 10; i++) {
      valid.add(BenchFile.text(new RandomBench(i).bench()));
      valid.add(demo("bench.json"));
      valid.add(wired(demo("bench.json")));
    }
    String plan = demo("plan.json");
    run("bench files", cases, seed, valid, bench -> preparedForATest(bench, plan));
  }

  private static void plans(int cases, long seed) throws Exception {
    List<String> valid = new ArrayList<>(Docs.wholeExamples("plan-file.md"));
    for (int i = 0; i < 10; i++) {
      valid.add(PlanFile.text(new RandomPlan(i).plan()));
      valid.add(demo("plan.json"));
    }
    String bench = demo("bench.json");
    run("plan files", cases, seed, valid, plan -> preparedForATest(bench, plan));
  }

  private static String wired(String simulated) {
    return simulated.replaceAll(
        "\\{\"kind\": \"simulated\"[^}]*}",
        "{\"kind\": \"tcp\", \"host\": \"127.0.0.1\", \"port\": 5025}");
  }

  /** All that is made of them before a test begins, in the order in which a test does it. */
  private static void preparedForATest(String bench, String plan) {
    SortedMap<String, byte[]> files = new TreeMap<>();
    files.put(Header.BENCH, Spoilt.utf8(bench));
    files.put(Header.PLAN, Spoilt.utf8(plan));
    try {
      Assembly assembly = Assembly.of(files);
      // As the page writes them again.
      assertTrue(!BenchFile.text(assembly.bench()).isEmpty());
      assertTrue(!PlanFile.text(assembly.plan()).isEmpty());
      List<BoundInstrument> wired =
          BoundInstrument.all(
              assembly.bench(),
              sheet -> SheetFiles.read(sheet, Path.of("no-such-folder", "bench.json")),
              DRIVERS);
      ChannelMatch.check(
          assembly.bench(),
          wired.stream()
              .collect(Collectors.toMap(one -> one.instrument().id(), BoundInstrument::channels)));
      assembly.acquisition(wired.stream().map(BoundInstrument::channels).toList());
      assembly.pointMaker();
      wired.stream()
          .filter(one -> !one.kind().equals("simulated"))
          .forEach(BoundInstrument::opener);
    } catch (IllegalArgumentException e) {
      throw new FileNotAccepted(e.getMessage(), e);
    }
  }

  // ------------------------------------------------------------------ sheets

  private static void sheets(int cases, long seed) throws Exception {
    List<String> valid = new ArrayList<>(Docs.wholeExamples("instrument-sheets.md"));
    ShippedSheets.names().forEach(name -> valid.add(ShippedSheets.json(name)));
    run(
        "instrument sheets",
        cases,
        seed,
        valid,
        sheet -> {
          try {
            SheetFile read = SheetFiles.parse("sheet", sheet);
            var driver = DRIVERS.named(read.instrument().driver());
            driver.channels(read.instrument());
            listen(driver.newDecoder(read.instrument()), new Random(sheet.hashCode()));
            Lines.opener(PORT.orElse(read.line()), LINES);
          } catch (IllegalArgumentException e) {
            throw new FileNotAccepted(e.getMessage(), e);
          }
        });
  }

  /** A sheet that is accepted must not let anything that arrives throw. */
  private static void listen(Decoder decoder, Random random) {
    Sink sink =
        new Sink() {
          @Override
          public void reading(int channel, double value, Moment moment) {}

          @Override
          public void frame(Moment moment) {}

          @Override
          public void rejected(Rejected rejected) {}
        };
    Moment now = Moment.START;
    decoder.opened(now);
    for (int i = 0; i < 4; i++) {
      byte[] bytes =
          random.nextBoolean()
              ? Spoilt.utf8(" 12.5, -3.25e2;1013.2\r\n>+0.001 mm\n")
              : Spoilt.bytes(new byte[40], random);
      now = now.plusSeconds(0.3);
      decoder.bytes(now, ByteBuffer.wrap(bytes), sink);
      now = now.plusSeconds(2);
      decoder.tick(now, sink);
    }
    decoder.lost(now);
  }

  // ------------------------------------------------------------------ the rest

  private void calibrations(int cases, long seed) throws Exception {
    List<String> valid = new ArrayList<>();
    for (Direction direction : Direction.values()) {
      String id = CalibrationFile.write(folder, SmallBench.calibration(direction)).id();
      valid.add(Files.readString(folder.resolve(CalibrationFile.name(id))));
    }
    run(
        "calibration files",
        cases,
        seed,
        valid,
        text -> {
          // Of a stranger's folder, where the name fits whatever is in the file.
          byte[] bytes = Spoilt.utf8(text);
          var read = CalibrationFile.parse("calibration", bytes, Sha256.hex(bytes));
          read.element().massFlow(400, SmallBench.room());
          read.element().relativeStandardUncertainty(400, SmallBench.room());
        });
  }

  private void others(int cases, long seed) throws Exception {
    List<String> plates = new ArrayList<>(Docs.wholeExamples("calibration.md"));
    plates.add(demo("plates.json"));
    run("plates files", cases / 4, seed, plates, text -> PlatesFile.parse("plates", text));
    String notes =
        """
        {"meniscus": "notes/1.1", "notes": ["loud", {"at": "2031-05-06T07:08:09Z", "text": "x"}],
         "photos": [{"file": "seat.jpg", "caption": "the seat"}], "follows": "earlier"}
        """;
    run("notes", cases / 4, seed + 1, List.of(notes), text -> NotesFile.parse("notes", text));
    List<String> curves =
        Docs.wholeExamples("comparing.md").stream()
            .filter(text -> text.contains("curve/1"))
            .toList();
    Path file = folder.resolve("stranger");
    run(
        "curves from elsewhere",
        cases / 4,
        seed + 2,
        curves,
        text -> CurveFile.read(Files.write(file, Spoilt.utf8(text))));
    String cam = "crank (deg),lift (mm)\n0,0\n60,4\n120,9.5\n180,4.25\n240,0\n";
    int refused =
        Onslaught.run(
            "cams",
            cases / 4,
            seed + 3,
            random -> Spoilt.utf8(Spoilt.text(cam, random)),
            bytes -> refusal(text -> CamFile.read(Files.write(file, bytes)), ""));
    assertTrue(refused > cases / 40, "only " + refused + " were refused");
    String old = "lift (mm);flow (L/s);test pressure (kPa)\n2;30,5;7\n4;61,25;7\n\n6;88;7\n8;;7\n";
    refused =
        Onslaught.run(
            "old results",
            cases / 4,
            seed + 4,
            random -> Spoilt.utf8(Spoilt.text(old, random)),
            bytes -> refusal(text -> oldResult(file, bytes), ""));
    assertTrue(refused > cases / 40, "only " + refused + " were refused");
  }

  /** What is read can be written and read again. */
  private static void oldResult(Path file, byte[] bytes) {
    CurveTable table = new CurveTable(SpreadsheetTable.parse(file, bytes));
    Optional<CurveTable.In> lift = in(table, CurveTable.Meaning.LIFT);
    Optional<CurveTable.In> flow = in(table, CurveTable.Meaning.FLOW);
    if (lift.isEmpty() || flow.isEmpty()) {
      throw new FileNotAccepted("which column? " + table.headings());
    }
    CurveTable.Read read =
        table.read(
            lift.get(), flow.get(), in(table, CurveTable.Meaning.PRESSURE), Optional.empty());
    Plan.Units units = new Plan.Units(lift.get().unit(), flow.get().unit(), Unit.PASCAL);
    TypedCurve typed =
        new TypedCurve(
            new ExternalCurve("old", read.testPressurePa(), OptionalDouble.empty(), read.points()),
            units,
            Optional.empty(),
            Optional.empty(),
            Optional.empty());
    CurveFile.parse("curve.json", CurveFile.text(typed));
  }

  private static Optional<CurveTable.In> in(CurveTable table, CurveTable.Meaning meaning) {
    return table
        .find(meaning, Optional.empty())
        .map(c -> new CurveTable.In(c, c.unit().orElseGet(() -> Unit.si(meaning.dimension()))));
  }

  private static String one(List<String> all, Random random) {
    return all.get(random.nextInt(all.size()));
  }

  private static String demo(String name) throws IOException {
    try (var in = BenchFile.class.getResourceAsStream("/meniscus/recorder/demo/" + name)) {
      return new String(
          Optional.ofNullable(in).orElseThrow().readAllBytes(), StandardCharsets.UTF_8);
    }
  }
}
