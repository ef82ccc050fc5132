package meniscus.recorder.zip;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.attribute.FileTime;
import java.time.Instant;
import java.util.Arrays;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.SortedMap;
import java.util.TreeMap;
import java.util.stream.Stream;
import java.util.zip.ZipEntry;
import java.util.zip.ZipFile;
import meniscus.core.lift.InventedBench;
import meniscus.core.lift.Plan;
import meniscus.core.lift.PortKind;
import meniscus.recorder.cli.Called;
import meniscus.recorder.report.InventedFolders;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** {@code pack}, and the zip that it makes in the place of folders. */
class PackedTestsTest {

  private static final Instant DAY = Instant.parse("2031-05-06T07:08:09Z");

  @TempDir private Path temp;

  private Path tests;
  private Path zip;

  @BeforeEach
  void twoTests() throws IOException {
    tests = temp.resolve("tests");
    zip = temp.resolve("job-7.zip");
    InventedBench bench = new InventedBench(3, InventedBench.Errors.USUAL);
    InventedFolders.write(
        tests.resolve("before"),
        bench.run("before", Optional.empty(), lift -> 1),
        true,
        DAY,
        Map.of("calm/calm.json", "{}".getBytes(), "sheets/dial.json", "{}".getBytes()));
    InventedFolders.write(
        tests.resolve("after"),
        InventedBench.of(
            new Plan.Part("Heron", "", "intake 1", "", "job 7"),
            PortKind.INTAKE,
            List.of(
                new Plan.ChangeNote(
                    "opened", "bowl", OptionalDouble.empty(), OptionalDouble.empty())),
            bench.run("after", Optional.empty(), lift -> 1.02)),
        true,
        DAY.plusSeconds(86_400));
  }

  private Path packed() {
    Called called = Called.with("pack", tests, "--into", zip);
    assertEquals(0, called.code(), called.err());
    return zip;
  }

  /** What a command says of the folders it says of the zip. */
  private void sameOf(Object... words) {
    Called folders = Called.with(words);
    assertEquals(0, folders.code(), folders.err());
    Object[] inZip =
        Arrays.stream(words)
            .map(
                word ->
                    word instanceof Path path && path.startsWith(tests)
                        ? zip.resolve(tests.relativize(path))
                        : word)
            .toArray();
    Called zipped = Called.with(inZip);
    assertEquals(0, zipped.code(), zipped.err());
    assertEquals(
        folders.out(), zipped.out().replace(zip.toString(), tests.toString()), words[0].toString());
  }

  @Test
  void everyCommandThatReadsTestsReadsThePack() throws IOException {
    packed();
    Path before = tests.resolve("before");
    Path after = tests.resolve("after");
    sameOf("compare", before, "--after", after, "--json");
    sameOf("compare", before, after, "--ports");
    sameOf("export", tests);
    sameOf("export", tests, "--list", "--part", "heron");
    sameOf("report", "--history", tests);
    sameOf("note", after, "--json");
    for (Path place : List.of(tests, zip)) {
      Path page = temp.resolve(place.getFileName() + ".html");
      Called report =
          Called.with(
              "report",
              "--before",
              place.resolve("before"),
              "--after",
              place.resolve("after"),
              "--out",
              page);
      assertEquals(0, report.code(), report.err());
    }
    assertEquals(
        Files.readString(temp.resolve("tests.html")),
        Files.readString(temp.resolve("job-7.zip.html")));
    try (Stream<Path> beside = Files.list(temp)) {
      assertEquals(0, beside.filter(file -> file.toString().endsWith(".part")).count());
    }
  }

  @Test
  void thePackHoldsEveryFileByteByByteForAnyOtherProgram() throws IOException {
    packed();
    SortedMap<String, byte[]> files = Zips.files(tests, "");
    files.keySet().removeIf(name -> name.endsWith("test.lock") || name.startsWith("."));
    assertTrue(files.containsKey("before/calm/calm.json"), files.keySet().toString());
    try (ZipFile other = new ZipFile(zip.toFile())) {
      assertEquals(
          List.copyOf(files.keySet()), other.stream().map(ZipEntry::getName).sorted().toList());
      for (Map.Entry<String, byte[]> file : files.entrySet()) {
        ZipEntry entry = other.getEntry(file.getKey());
        assertArrayEquals(file.getValue(), other.getInputStream(entry).readAllBytes());
      }
    }
  }

  @Test
  void theSameTestsGiveTheSameZip() throws IOException {
    byte[] first = Files.readAllBytes(packed());
    Files.setLastModifiedTime(
        tests.resolve("after/points.csv"), FileTime.from(DAY.minusSeconds(1_000)));
    Path again = temp.resolve("again.zip");
    Called called =
        Called.with("pack", tests.resolve("before"), tests.resolve("after"), "--into", again);
    assertEquals(0, called.code(), called.err());
    assertArrayEquals(first, Files.readAllBytes(again));
    Path packedAgain = temp.resolve("packed-again.zip");
    assertEquals(0, Called.with("pack", zip, "--into", packedAgain).code());
    assertArrayEquals(first, Files.readAllBytes(packedAgain), "out of the pack itself");
  }

  @Test
  void aZipOfOneTestStandsForItAndOneOfSeveralAsksWhich() {
    Path one = temp.resolve("one.zip");
    assertEquals(0, Called.with("pack", tests.resolve("after"), "--into", one).code());
    Called compared = Called.with("compare", tests.resolve("before"), "--after", one);
    assertEquals(0, compared.code(), compared.err());
    assertEquals(
        Called.with("compare", tests.resolve("before"), "--after", tests.resolve("after")).out(),
        compared.out());
    Called which = Called.with("recompute", packed());
    assertEquals(4, which.code());
    assertTrue(which.err().contains(zip.resolve("after").toString()), which.err());
  }

  @Test
  void aZipThatAnotherProgramMadeIsReadTheSame() throws IOException {
    SortedMap<String, byte[]> files = Zips.files(tests.resolve("after"), "");
    files.remove("test.lock");
    for (String under : List.of("", "jobs/heron/after/")) {
      SortedMap<String, byte[]> named = new TreeMap<>();
      files.forEach((name, bytes) -> named.put(under + name, bytes));
      if (!under.isEmpty()) {
        named.put("jobs/", new byte[0]);
      }
      Files.write(zip, Zips.zip(named));
      Called list = Called.with("export", zip, "--json");
      assertEquals(0, list.code(), list.err());
      assertTrue(list.out().contains("opened (bowl)"), list.out());
    }
  }

  @Test
  void packedTestsAreNotWrittenTo() throws IOException {
    byte[] whole = Files.readAllBytes(packed());
    Called note = Called.with("note", zip.resolve("after"), "cutter chattered");
    assertEquals(4, note.code());
    assertTrue(note.err().contains("unpack it"), note.err());
    assertArrayEquals(whole, Files.readAllBytes(zip));
    assertFalse(Files.exists(temp.resolve("job-7.zip.part")));
  }

  @Test
  void whatCannotBePackedWholeIsNotPackedAtAll() throws IOException {
    byte[] whole = Files.readAllBytes(packed());
    assertEquals(2, Called.with("pack", tests, "--into", zip).code(), "it is there already");
    assertEquals(2, Called.with("pack", tests, "--into", temp.resolve("job")).code());
    assertEquals(
        2, Called.with("pack", tests, "--into", tests.resolve("after").resolve("x.zip")).code());
    Path moved = Files.createDirectories(temp.resolve("elsewhere")).resolve("after");
    InventedFolders.write(moved, InventedFolders.plain("after"), true, DAY);
    Called twice = Called.with("pack", tests.resolve("after"), moved, "--into", zip, "--replace");
    assertEquals(4, twice.code());
    assertTrue(twice.err().contains("would both be \"after\""), twice.err());
    Path points = tests.resolve("after/points.csv");
    Files.writeString(points, Files.readString(points) + "\n");
    Called damaged = Called.with("pack", tests, "--into", zip, "--replace");
    assertEquals(4, damaged.code());
    assertTrue(damaged.err().contains("after/points.csv"), damaged.err());
    assertArrayEquals(whole, Files.readAllBytes(zip));
  }
}
