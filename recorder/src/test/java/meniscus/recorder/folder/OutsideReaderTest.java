package meniscus.recorder.folder;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import de.siegmar.fastcsv.reader.CsvReader;
import de.siegmar.fastcsv.reader.NamedCsvRecord;
import java.io.IOException;
import java.io.InputStream;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import meniscus.core.Needed;
import meniscus.core.lift.EventText;
import meniscus.core.lift.LiftPoint;
import meniscus.core.lift.TestEvent;
import meniscus.core.uncertainty.Contribution;
import meniscus.recorder.disk.Disk;
import meniscus.recorder.disk.FolderLock;
import meniscus.recorder.journal.Journal;
import meniscus.recorder.journal.JournalReader;
import meniscus.recorder.journal.JournalVisitor;
import org.junit.jupiter.api.Tag;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** pandas reads all tables by what datapackage.json says, and finds what was kept; so does R. */
@Tag("long")
class OutsideReaderTest {

  @TempDir Path folder;

  private record Ran(int exit, String out) {}

  private static Ran run(List<String> command) throws IOException {
    try {
      Process process = new ProcessBuilder(command).redirectErrorStream(true).start();
      try (InputStream in = process.getInputStream()) {
        String out = new String(in.readAllBytes(), StandardCharsets.UTF_8);
        return new Ran(process.onExit().join().exitValue(), out);
      }
    } catch (IOException e) {
      return new Ran(127, String.valueOf(e.getMessage()));
    }
  }

  private static Optional<String> pythonWithPandas() throws IOException {
    for (String python : List.of("/usr/bin/python3", "python3")) {
      if (run(List.of(python, "-c", "import pandas")).exit == 0) {
        return Optional.of(python);
      }
    }
    return Optional.empty();
  }

  /** Hex of a double's bits: nothing is lost between two programs. */
  private static String bits(double value) {
    return Double.isNaN(value) ? "nan" : Double.toHexString(value);
  }

  @Test
  void pandasFindsWhatWasKept() throws IOException {
    Optional<String> python = pythonWithPandas();
    Needed.that(python.isPresent(), "no python3 with pandas, the outside reader was not asked");

    List<String> rows = new ArrayList<>();
    List<TestEvent> events = new ArrayList<>();
    try (FolderLock lock = FolderLock.take(folder)) {
      MadeUpTest.record(lock, Optional.empty());
      JournalReader.read(
          Disk.REAL,
          folder.resolve(Journal.NAME),
          new JournalVisitor() {
            @Override
            public void row(long moment, int instrument, long present, double[] values) {
              int first = instrument == 0 ? 0 : 2;
              StringBuilder line = new StringBuilder(Long.toString(moment));
              for (int column = 0; column < 3; column++) {
                int channel = column - first;
                boolean has = channel >= 0 && (present >> channel & 1) != 0;
                line.append(' ').append(has ? bits(values[channel]) : "nan");
              }
              rows.add(line.toString());
            }

            @Override
            public void event(TestEvent event) {
              events.add(event);
            }
          });
      MadeUpTest.finish(lock, "t");
    }
    String script =
        Path.of("src", "test", "python", "read_test_folder.py").toAbsolutePath().toString();
    Ran ran = run(List.of(python.get(), script, folder.toString()));
    assertEquals(0, ran.exit, ran.out);
    JsonNode read = new ObjectMapper().readTree(ran.out);

    List<String> readRows = new ArrayList<>();
    for (JsonNode row : read.get("samples")) {
      StringBuilder line = new StringBuilder(row.get(0).asText());
      for (int column = 1; column < row.size(); column++) {
        line.append(' ').append(fromPython(row.get(column).asText()));
      }
      readRows.add(line.toString());
    }
    assertEquals(rows, readRows);
    comparePoints(MadeUpTest.points(), read.get("points"));
    compareBudget(MadeUpTest.points(), read.get("budget"));
    assertEquals(events.size(), read.get("events").size());
    for (int i = 0; i < events.size(); i++) {
      JsonNode event = read.get("events").get(i);
      assertEquals(events.get(i).moment().nanos(), event.get("moment_ns").asLong());
      assertEquals(events.get(i).kind().word(), event.get("kind").asText());
      assertEquals(events.get(i).afterRow(), event.get("after_row").asLong());
      assertEquals(EventText.detail(events.get(i)), Cell.plain(event.get("detail").asText()));
    }
  }

  /** The lines that docs/scripts.md gives, run by R itself on a test folder. */
  @Test
  void inRTheTimeOfDayIsKeptByTheLinesOfTheDocs() throws IOException {
    Needed.that(
        run(List.of("Rscript", "--version")).exit == 0, "no R, the docs' lines were not run");
    Path before = Files.createDirectories(folder.resolve("before"));
    try (FolderLock lock = FolderLock.take(before)) {
      MadeUpTest.record(lock, Optional.empty());
      MadeUpTest.finish(lock, "t");
    }
    String docs = Files.readString(Path.of("..", "docs", "scripts.md"));
    int from = docs.indexOf("```r\n") + 5;
    Path script = folder.resolve("docs.R");
    Files.writeString(
        script,
        "setwd('"
            + folder.toString().replace('\\', '/')
            + "')\n"
            + docs.substring(from, docs.indexOf("```", from))
            + """
            cat(format(round(as.numeric(points$kept_at) * 1000), scientific = FALSE), "\n")
            cat(points$pressure_as_asked, "\n")
            x <- "2031-05-06 09:09:39"
            cat(as.numeric(as.POSIXct(x, tz = "Europe/Berlin")), "\n")
            """);
    Ran ran = run(List.of("Rscript", "--vanilla", script.toString()));
    assertEquals(0, ran.exit, ran.out);

    List<String> moments = new ArrayList<>();
    try (CsvReader<NamedCsvRecord> rows =
        CsvReader.builder().ofNamedCsvRecord(before.resolve("points.csv"))) {
      for (NamedCsvRecord row : rows) {
        moments.add(Long.toString(Instant.parse(row.getField("kept_at")).toEpochMilli()));
      }
    }
    List<String> asked =
        MadeUpTest.points().stream()
            .map(point -> point.pressureAsAsked() ? "TRUE" : "FALSE")
            .toList();
    assertEquals(
        List.of(
            String.join(" ", moments),
            String.join(" ", asked),
            Long.toString(Instant.parse("2031-05-06T07:09:39Z").getEpochSecond())),
        ran.out.lines().map(String::strip).toList());
  }

  private static String fromPython(String hex) {
    return hex.equals("nan") ? "nan" : bits(Double.parseDouble(hex));
  }

  private static void comparePoints(List<LiftPoint> kept, JsonNode read) {
    assertEquals(kept.size(), read.size());
    for (int i = 0; i < kept.size(); i++) {
      LiftPoint point = kept.get(i);
      JsonNode row = read.get(i);
      assertEquals(point.rung(), row.get("rung").asInt());
      assertEquals(point.verdict().word(), row.get("verdict").asText());
      assertEquals(point.pressureAsAsked(), row.get("pressure_as_asked").asBoolean());
      assertEquals(
          bits(MadeUpTest.UNITS.flow().fromSi(point.flowM3PerS())),
          fromPython(row.get("flow").asText()));
      assertEquals(
          bits(MadeUpTest.UNITS.pressure().fromSi(point.testPressurePa())),
          fromPython(row.get("test_pressure").asText()));
      assertEquals(
          bits(
              point.flowRepeatU95().isPresent()
                  ? MadeUpTest.UNITS.flow().fromSi(point.flowRepeatU95().getAsDouble())
                  : Double.NaN),
          fromPython(row.get("flow_repeat_u95").asText()));
      assertTrue(row.get("kept_at").asText().startsWith("2031-05-06T07:0"), row.toString());
    }
  }

  private static void compareBudget(List<LiftPoint> kept, JsonNode read) {
    int at = 0;
    for (LiftPoint point : kept) {
      for (Contribution line : point.budget()) {
        JsonNode row = read.get(at++);
        assertEquals(point.rung(), row.get("rung").asInt());
        assertEquals(line.source(), row.get("source").asText());
        assertEquals(bits(line.standardUncertainty()), fromPython(row.get("u").asText()));
        String freedom = row.get("degrees_of_freedom").asText();
        assertEquals(
            bits(line.degreesOfFreedom()),
            freedom.equals("inf") ? "Infinity" : fromPython(freedom));
        assertEquals(bits(line.sensitivity()), fromPython(row.get("sensitivity").asText()));
      }
    }
    assertEquals(at, read.size());
  }
}
