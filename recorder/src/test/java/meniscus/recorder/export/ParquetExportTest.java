package meniscus.recorder.export;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Instant;
import java.time.OffsetDateTime;
import java.time.temporal.ChronoUnit;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.TreeMap;
import java.util.jar.JarOutputStream;
import java.util.stream.Stream;
import java.util.zip.ZipEntry;
import meniscus.core.lift.InventedBench;
import meniscus.core.lift.Plan;
import meniscus.core.lift.PortKind;
import meniscus.recorder.cli.Called;
import meniscus.recorder.report.InventedFolders;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Tag;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/**
 * {@code export} to Parquet: what the library wrote is read back by SQL and held against the JSON
 * export of the same tests. That the file is Parquet to others was seen with a reader of another
 * house, see docs/records.md.
 */
@Tag("long")
class ParquetExportTest {

  private static final Instant DAY = Instant.parse("2031-05-06T07:08:09.123456789Z");
  private static final String FORMULA = "=1+1, \"h\u00E9ron\"\nsecond line";

  @TempDir private Path temp;

  private Path tests;
  private Path out;
  private Path library;

  @BeforeEach
  void twoTests() throws Exception {
    tests = temp.resolve("tests");
    out = temp.resolve("it's all.parquet");
    library = ParquetJar.path();
    InventedBench bench = new InventedBench(3, InventedBench.Errors.USUAL);
    InventedFolders.write(
        tests.resolve("before"), bench.run("before", Optional.empty(), lift -> 1), true, DAY);
    List<Plan.ChangeNote> changes =
        List.of(
            new Plan.ChangeNote(
                "opened", "bowl", OptionalDouble.of(0.024), OptionalDouble.empty()));
    InventedFolders.write(
        tests.resolve("after"),
        InventedBench.of(
            new Plan.Part(FORMULA, "", "-1", "45 degrees", "@job"),
            PortKind.INTAKE,
            changes,
            bench.run("after", Optional.empty(), lift -> 1.02)),
        true,
        DAY.plusSeconds(86_400));
  }

  private Called export(Object... more) {
    List<Object> words = new ArrayList<>(List.of("export", tests));
    words.addAll(List.of(more));
    return Called.with(words.toArray());
  }

  private static void assertSameCell(String column, JsonNode json, Object cell) {
    if (json.isNull()) {
      assertEquals(null, cell, column);
    } else if (cell instanceof OffsetDateTime time) {
      Instant told = Instant.parse(json.asText());
      assertEquals(told.truncatedTo(ChronoUnit.MICROS), time.toInstant(), column);
    } else if (json.isNumber()) {
      assertEquals(json.asDouble(), ((Number) cell).doubleValue(), column);
    } else if (json.isBoolean()) {
      assertEquals(json.asBoolean(), cell, column);
    } else {
      assertEquals(json.asText(), cell, column);
    }
  }

  @Test
  void everyCellIsThatOfTheJsonExport() throws Exception {
    for (List<String> which : List.of(List.<String>of(), List.of("--list"))) {
      List<Object> more = new ArrayList<>(which);
      more.addAll(List.of("--units", "inch", "--out", out, "--parquet-library", library));
      more.add("--replace");
      Called called = export(more.toArray());
      assertEquals(0, called.code(), called.err());
      List<Object> asJson = new ArrayList<>(which);
      asJson.addAll(List.of("--units", "inch", "--json"));
      JsonNode json = new ObjectMapper().readTree(export(asJson.toArray()).out());
      List<Map<String, Object>> rows = ParquetJar.read("SELECT * FROM " + ParquetJar.quoted(out));
      assertEquals(json.get("rows").size(), rows.size());
      for (int i = 0; i < rows.size(); i++) {
        assertEquals(json.get("columns").size(), rows.get(i).size());
        for (Map.Entry<String, Object> cell : rows.get(i).entrySet()) {
          assertSameCell(
              cell.getKey(), json.get("rows").get(i).get(cell.getKey()), cell.getValue());
        }
      }
    }
  }

  @Test
  void columnsAreTypedAndTextStaysAsItIs() throws Exception {
    assertEquals(0, export("--out", out, "--parquet-library", library).code());
    Map<String, String> types = new TreeMap<>();
    for (Map<String, Object> row :
        ParquetJar.read("DESCRIBE SELECT * FROM " + ParquetJar.quoted(out))) {
      types.put(row.get("column_name").toString(), row.get("column_type").toString());
    }
    assertEquals("TIMESTAMP WITH TIME ZONE", types.get("kept_at"));
    assertEquals("DOUBLE", types.get("flow"));
    assertEquals("DOUBLE", types.get("cd_curtain"), "a number, though none is known here");
    assertEquals("INTEGER", types.get("rung"));
    assertEquals("BOOLEAN", types.get("pressure_as_asked"));
    assertEquals("VARCHAR", types.get("head"));
    Map<String, Object> row = ParquetJar.read("SELECT * FROM " + ParquetJar.quoted(out)).get(0);
    assertEquals(FORMULA, row.get("head"));
    assertEquals("-1", row.get("port"));
  }

  @Test
  void unitsStandInTheFile() throws Exception {
    assertEquals(
        0, export("--flow-unit", "m3/h", "--out", out, "--parquet-library", library).code());
    Map<String, Object> units =
        ParquetJar.read(
                "SELECT decode(value) AS units FROM parquet_kv_metadata("
                    + ParquetJar.quoted(out)
                    + ")")
            .get(0);
    JsonNode json = new ObjectMapper().readTree(units.get("units").toString());
    assertEquals("m3/h", json.get("flow").asText());
    assertEquals("mm", json.get("lift").asText());
    assertFalse(json.has("head"));
  }

  /** Apache Parquet's file format: the four bytes PAR1 at both ends. */
  @Test
  void itBeginsAndEndsAsParquetDoes() throws IOException {
    assertEquals(0, export("--out", out, "--parquet-library", library).code());
    byte[] bytes = Files.readAllBytes(out);
    byte[] magic = "PAR1".getBytes(StandardCharsets.US_ASCII);
    assertArrayEquals(magic, Arrays.copyOf(bytes, 4));
    assertArrayEquals(magic, Arrays.copyOfRange(bytes, bytes.length - 4, bytes.length));
  }

  @Test
  void withoutTheLibraryIsSaidWhatToDo() {
    String version = ParquetLibrary.LIBRARY.substring(ParquetLibrary.LIBRARY.lastIndexOf(':') + 1);
    assertTrue(library.endsWith("duckdb_jdbc-" + version + ".jar"), "the one tested is named");
    Called called = export("--out", out);
    assertEquals(2, called.code());
    assertTrue(called.err().contains(ParquetLibrary.LIBRARY), called.err());
    assertTrue(called.err().contains("--parquet-library"), called.err());
    assertFalse(Files.exists(out));
  }

  @Test
  void anotherJarIsRefusedByName() throws IOException {
    Path none = temp.resolve("none.jar");
    Path text = Files.writeString(temp.resolve("page.jar"), "<html>not found</html>");
    Path half = temp.resolve("half.jar");
    byte[] whole = Files.readAllBytes(library);
    Files.write(half, Arrays.copyOf(whole, whole.length / 2));
    Path other = temp.resolve("other.jar");
    try (JarOutputStream jar = new JarOutputStream(Files.newOutputStream(other))) {
      jar.putNextEntry(new ZipEntry("empty.txt"));
    }
    Path hollow = temp.resolve("hollow.jar");
    try (JarOutputStream jar = new JarOutputStream(Files.newOutputStream(hollow))) {
      jar.putNextEntry(new ZipEntry("META-INF/services/java.sql.Driver"));
      jar.write("org.duckdb.DuckDBDriver\n".getBytes(StandardCharsets.UTF_8));
    }
    for (Path wrong : List.of(none, text, half, other, hollow, temp)) {
      Called called = export("--out", out, "--parquet-library", wrong);
      assertEquals(4, called.code(), called.err());
      assertTrue(called.err().contains(wrong.toString()), called.err());
      assertTrue(called.err().contains(ParquetLibrary.LIBRARY), called.err());
      assertFalse(called.err().contains("\tat "), called.err());
    }
    assertEquals(List.of(), parts());
    assertFalse(Files.exists(out));
  }

  /** Beside the jar, by checksum; a file of that name with other content is left alone. */
  @Test
  void whatItHoldsForTheMachineIsUnpackedBesideIt() throws IOException {
    assertEquals(0, export("--out", out, "--parquet-library", library).code());
    Path unpacked = onlyFile(library.getParent(), library.getFileName() + ".");
    assertTrue(Files.size(unpacked) > 1 << 20, "whole");
    Path copied = Files.copy(library, temp.resolve(library.getFileName()));
    Path half = Files.writeString(temp.resolve(unpacked.getFileName()), "half");
    assertEquals(0, export("--out", out, "--parquet-library", copied, "--replace").code());
    assertEquals("half", Files.readString(half));
  }

  private static Path onlyFile(Path folder, String begins) throws IOException {
    try (Stream<Path> files = Files.list(folder)) {
      List<Path> found =
          files.filter(file -> file.getFileName().toString().startsWith(begins)).toList();
      assertEquals(1, found.size(), found.toString());
      return found.get(0);
    }
  }

  private List<Path> parts() throws IOException {
    try (Stream<Path> files = Files.list(temp)) {
      return files.filter(file -> file.toString().endsWith(".part")).toList();
    }
  }

  @Test
  void aFileThatCannotBeReplacedStaysAndNothingIsLeftBeside() throws IOException {
    Files.createDirectory(out);
    Files.writeString(out.resolve("mine.txt"), "mine");
    Called called = export("--out", out, "--parquet-library", library, "--replace");
    assertEquals(4, called.code());
    assertTrue(called.err().contains("cannot be written"), called.err());
    assertEquals("mine", Files.readString(out.resolve("mine.txt")));
    assertEquals(List.of(), parts());
  }

  @Test
  void whatContradictsIsUsage() {
    assertEquals(2, export("--out", out, "--parquet-library", library, "--json").code());
    assertEquals(2, export("--out", out, "--parquet-library", library, "--decimal-comma").code());
    Path csv = temp.resolve("all.csv");
    assertEquals(2, export("--out", csv, "--parquet-library", library).code());
    assertEquals(2, export("--parquet-library", library).code());
    assertFalse(Files.exists(csv));
  }

  @Test
  void moreRowsThanGoAtOnce() throws Exception {
    List<List<Object>> rows = new ArrayList<>();
    for (int i = 0; i < 47; i++) {
      rows.add(Arrays.asList("row " + i, i % 3 == 0 ? null : i / 7.0));
    }
    Table table = new Table(List.of(Column.text("what"), Column.number("much", "cfm")), rows);
    ParquetFile.write(library, table, out);
    List<Map<String, Object>> read = ParquetJar.read("SELECT * FROM " + ParquetJar.quoted(out));
    assertEquals(47, read.size());
    for (int i = 0; i < 47; i++) {
      assertEquals("row " + i, read.get(i).get("what"));
      assertEquals(i % 3 == 0 ? null : (Object) (i / 7.0), read.get(i).get("much"));
    }
  }
}
