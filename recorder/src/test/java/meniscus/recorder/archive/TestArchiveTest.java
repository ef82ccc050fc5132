package meniscus.recorder.archive;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.BufferedReader;
import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.attribute.FileTime;
import java.time.Instant;
import java.time.LocalDate;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.concurrent.TimeUnit;
import java.util.stream.Stream;
import meniscus.core.lift.InventedBench;
import meniscus.core.lift.Plan;
import meniscus.core.lift.PortKind;
import meniscus.recorder.cli.Called;
import meniscus.recorder.file.FileNotAccepted;
import meniscus.recorder.report.InventedFolders;
import meniscus.recorder.report.TestRead;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Tag;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** Tests are found, and the folders stay the truth. */
@Tag("long")
class TestArchiveTest {

  private static final Instant MAY = Instant.parse("2031-05-06T07:08:09Z");
  private static final Instant JUNE = Instant.parse("2031-06-07T07:08:09Z");

  @TempDir private Path root;

  private final InventedBench bench = new InventedBench(7, InventedBench.Errors.USUAL);

  @BeforeEach
  void twoHeads() throws IOException {
    write("heron/as-received", "Heron head", "port 1", List.of(), MAY);
    write("heron/bowl", "Heron head", "port 1", List.of("opened the bowl"), JUNE);
    write("plover", "Plover head", "port 2", List.of("blended the short side"), JUNE);
  }

  private Path write(String name, String head, String port, List<String> changes, Instant at)
      throws IOException {
    List<Plan.ChangeNote> notes =
        changes.stream()
            .map(
                what ->
                    new Plan.ChangeNote(
                        what, "below the seat", OptionalDouble.empty(), OptionalDouble.empty()))
            .toList();
    Path folder = root.resolve(name);
    InventedFolders.write(
        folder,
        InventedBench.of(
            new Plan.Part(head, "chamber 1", port, "45 degrees", "job 7"),
            PortKind.INTAKE,
            notes,
            bench.run(name, Optional.empty(), lift -> 1)),
        true,
        at);
    return aged(folder);
  }

  /** As if it had been lying there for a while: what has just changed is not remembered. */
  private static Path aged(Path folder) throws IOException {
    FileTime longAgo = FileTime.from(MAY.minusSeconds(1_000_000_000));
    Files.setLastModifiedTime(folder.resolve("notes.json"), longAgo);
    Files.setLastModifiedTime(folder, longAgo);
    return folder;
  }

  private static List<String> names(List<IndexEntry> entries) {
    return entries.stream().map(IndexEntry::name).toList();
  }

  private List<String> found(Search search) {
    return names(TestArchive.of(root).tests().stream().filter(search::fits).toList());
  }

  private static Search part(String words) {
    return new Search(
        Optional.of(words),
        Optional.empty(),
        Optional.empty(),
        Optional.empty(),
        OptionalDouble.empty());
  }

  @Test
  void allTestsNewestFirst() {
    assertEquals(
        List.of("heron/bowl", "plover", "heron/as-received"), names(TestArchive.of(root).tests()));
  }

  @Test
  void testsAreFoundByPartDateChangeAndLift() {
    assertEquals(List.of("heron/bowl", "heron/as-received"), found(part("HERON port")));
    assertEquals(List.of("plover"), found(part("plover 2")));
    assertEquals(List.of(), found(part("plover 1 heron")));
    Optional<LocalDate> june = Optional.of(LocalDate.of(2031, 6, 7));
    assertEquals(
        List.of("heron/bowl", "plover"),
        found(new Search(Optional.empty(), june, june, Optional.empty(), OptionalDouble.empty())));
    assertEquals(
        List.of("heron/as-received"),
        found(
            new Search(
                Optional.empty(),
                Optional.empty(),
                Optional.of(LocalDate.of(2031, 6, 6)),
                Optional.empty(),
                OptionalDouble.empty())));
    assertEquals(
        List.of("plover"),
        found(
            new Search(
                Optional.empty(),
                Optional.empty(),
                Optional.empty(),
                Optional.of("short side"),
                OptionalDouble.empty())));
    assertEquals(3, found(atLift(5e-3)).size());
    assertEquals(0, found(atLift(5.2e-3)).size());
  }

  private static Search atLift(double liftM) {
    return new Search(
        Optional.empty(),
        Optional.empty(),
        Optional.empty(),
        Optional.empty(),
        OptionalDouble.of(liftM));
  }

  @Test
  void anIndexOnDiskAnswersAsTheFoldersDo() throws IOException {
    List<IndexEntry> first = rebuilt().tests();
    assertTrue(Files.exists(root.resolve(TestArchive.INDEX)));
    assertEquals(3 + 1, Files.readAllLines(root.resolve(TestArchive.INDEX)).size());
    assertEquals(first, TestArchive.of(root).tests());
    assertEquals(first, rebuilt().tests());
  }

  @Test
  void aFolderThatHasNotChangedIsNotReadAgain() throws IOException {
    List<IndexEntry> first = TestArchive.of(root).tests();
    Files.writeString(root.resolve("plover/points.csv"), "spoiled in place");
    assertEquals(first, TestArchive.of(root).tests());
    assertEquals("damaged", entry("plover").stands());
  }

  /** An archive that remembers nothing: every folder is looked into anew. */
  private TestArchive rebuilt() throws IOException {
    Files.deleteIfExists(root.resolve(TestArchive.INDEX));
    return TestArchive.of(root);
  }

  private IndexEntry entry(String name) throws IOException {
    return rebuilt().tests().stream()
        .filter(entry -> entry.name().equals(name))
        .findFirst()
        .orElseThrow();
  }

  @Test
  void notesWrittenByHandAreSeen() throws IOException {
    TestArchive archive = TestArchive.of(root);
    archive.tests();
    Path notes = root.resolve("heron/bowl/notes.json");
    Files.writeString(notes, "{\"meniscus\":\"notes/1\",\"notes\":[],\"follows\":\"plover\"}");
    assertEquals(Optional.of("plover"), archive.tests().get(0).known().orElseThrow().follows());
    Files.writeString(notes, "{ spoiled");
    assertEquals("finished", archive.tests().get(0).stands());
  }

  @Test
  void aSpoiledIndexIsMadeAgain() throws IOException {
    List<IndexEntry> first = TestArchive.of(root).tests();
    Path index = root.resolve(TestArchive.INDEX);
    for (String spoiled :
        List.of("", "no JSON", "{\"meniscus\":\"index/1\"}\n{\"name\":\"plover\"", "[]\n[]\n")) {
      Files.writeString(index, spoiled);
      assertEquals(first, TestArchive.of(root).tests(), spoiled);
    }
  }

  @Test
  void whatHappensToAFolderIsSeen() throws IOException {
    TestArchive archive = TestArchive.of(root);
    archive.tests();
    write("wren", "Wren head", "port 1", List.of(), JUNE.plusSeconds(60));
    assertEquals("wren", archive.tests().get(0).name());
    try (Stream<Path> files = Files.walk(root.resolve("wren"))) {
      files.sorted(java.util.Comparator.reverseOrder()).forEach(file -> file.toFile().delete());
    }
    assertEquals(3, archive.tests().size());
    Files.move(root.resolve("plover"), root.resolve("plover-2"));
    assertEquals(List.of("heron/bowl", "plover-2", "heron/as-received"), names(archive.tests()));
  }

  @Test
  void aDamagedTestIsListedWithWhatIsWrong() throws IOException {
    Path points = root.resolve("plover/points.csv");
    Files.writeString(points, Files.readString(points).replace("steady", "stable"));
    IndexEntry damaged = entry("plover");
    assertEquals("damaged", damaged.stands());
    assertTrue(damaged.why().contains("points.csv"), damaged.why());
    Files.writeString(points, Files.readString(points).replace("stable", "steady"));
    assertEquals("finished", entry("plover").stands());
  }

  @Test
  void aFolderThatIsNotWritableIsReadAllTheSame() throws IOException {
    Files.createDirectory(root.resolve(TestArchive.INDEX));
    assertEquals(3, TestArchive.of(root).tests().size());
  }

  @Test
  void placesMayBeTestsOrFoldersOfTests() {
    assertEquals(
        List.of("plover", "bowl", "as-received"),
        TestArchive.find(List.of(root.resolve("plover"), root.resolve("heron")), Search.ALL)
            .stream()
            .map(found -> found.entry().name())
            .toList());
    assertFalse(Files.exists(root.resolve("plover").resolve(TestArchive.INDEX)));
    FileNotAccepted refused =
        assertThrows(
            FileNotAccepted.class,
            () -> TestArchive.find(List.of(root.resolve("nowhere")), Search.ALL));
    assertTrue(refused.getMessage().contains("nowhere"), refused.getMessage());
  }

  @Test
  void platesAmongTestsAreInNoPackAndNoHistory() throws Exception {
    List<TestArchive.Found> before = TestArchive.find(List.of(root), Search.ALL);
    Path plates = root.resolve("plate-readings");
    copy(
        Path.of(getClass().getResource("/meniscus/recorder/formats/plate-test-1").toURI()),
        plates.resolve("on-tuesday"));
    List<TestArchive.Found> found = TestArchive.find(List.of(root), Search.ALL);
    assertEquals(before, found);
    assertEquals(
        List.of("heron/as-received", "heron/bowl", "plover"),
        Pack.write(root.resolve("all.zip"), found).tests().stream()
            .map(Pack.Packed::name)
            .toList());
    Called packed = Called.with("pack", root, "--into", root.resolve("said.zip"));
    assertEquals(0, packed.code());
    assertTrue(packed.err().contains("1 left out, for readings of a plate"), packed.err());
    for (Path place : List.of(plates, plates.resolve("on-tuesday"))) {
      FileNotAccepted refused =
          assertThrows(FileNotAccepted.class, () -> TestArchive.find(List.of(place), Search.ALL));
      assertTrue(refused.getMessage().contains("holds readings of a plate"), refused.getMessage());
    }
    assertThrows(FileNotAccepted.class, () -> TestRead.open(plates.resolve("on-tuesday")));
  }

  /** Figures for docs/figures.md: hard links, so that the disk holds few bytes. */
  @Test
  @Tag("bench")
  void tenThousandTests() throws IOException {
    List<Path> patterns = new ArrayList<>();
    for (int i = 0; i < 20; i++) {
      patterns.add(
          write("pattern-" + i, "Head " + i + "x", "port " + i % 4, List.of("change " + i), JUNE));
    }
    for (int i = 0; i < 10_000; i++) {
      copy(patterns.get(i % 20), root.resolve("job-" + i / 100).resolve("test-" + i));
    }
    long start = System.nanoTime();
    int all = rebuilt().tests().size();
    System.out.printf(
        Locale.ROOT, "built over %d tests in %.2f s%n", all, (System.nanoTime() - start) * 1e-9);
    for (int round = 0; round < 3; round++) {
      start = System.nanoTime();
      int fit = found(part("head 13x")).size();
      System.out.printf(
          Locale.ROOT,
          "index read and %d tests found in %.3f s%n",
          fit,
          (System.nanoTime() - start) * 1e-9);
      assertEquals(501, fit);
    }
  }

  /**
   * Figures for docs/figures.md: the index made anew, and the list in a program of its own that may
   * take no more than 256 MB.
   */
  @Test
  @Tag("bench")
  void aHundredThousandTests() throws Exception {
    manyTests(100_000, 20, 3);
  }

  /** The same, small. */
  @Test
  void manyTestsAreListedByASmallProgram() throws Exception {
    manyTests(200, 2, 1);
  }

  private void manyTests(int tests, int heads, int rounds) throws Exception {
    List<Path> patterns = new ArrayList<>();
    for (int i = 0; i < heads; i++) {
      patterns.add(
          write("pattern-" + i, "Head " + i + "x", "port " + i % 4, List.of("change " + i), JUNE));
    }
    for (int i = 0; i < tests; i++) {
      copy(patterns.get(i % heads), root.resolve("job-" + i / 100).resolve("test-" + i));
    }
    long start = System.nanoTime();
    int all = rebuilt().tests().size();
    double took = (System.nanoTime() - start) * 1e-9;
    assertEquals(3 + heads + tests, all);
    System.out.printf(
        Locale.ROOT, "built over %d tests in %.2f s, %.2f ms each%n", all, took, 1e3 * took / all);
    for (int round = 0; round < rounds; round++) {
      start = System.nanoTime();
      Process list =
          new ProcessBuilder(
                  Path.of(System.getProperty("java.home"), "bin", "java").toString(),
                  "-Xmx256m",
                  "-XX:+UseSerialGC",
                  "-cp",
                  System.getProperty("java.class.path"),
                  "meniscus.recorder.Main",
                  "export",
                  root.toString(),
                  "--list")
              .redirectError(ProcessBuilder.Redirect.INHERIT)
              .start();
      long lines = 0;
      try (BufferedReader said = list.inputReader(StandardCharsets.UTF_8)) {
        lines = said.lines().count();
      }
      assertTrue(list.waitFor(1, TimeUnit.MINUTES));
      assertEquals(0, list.exitValue());
      assertEquals(all, lines);
      System.out.printf(
          Locale.ROOT, "listed with 256 MB in %.2f s%n", (System.nanoTime() - start) * 1e-9);
    }
  }

  private static void copy(Path from, Path to) throws IOException {
    try (Stream<Path> files = Files.walk(from)) {
      for (Path file : files.toList()) {
        Path there = to.resolve(from.relativize(file).toString());
        if (Files.isDirectory(file)) {
          Files.createDirectories(there);
        } else {
          Files.createLink(there, file);
        }
      }
    }
    aged(to);
  }
}
