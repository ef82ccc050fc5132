package meniscus.recorder.folder;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import com.fasterxml.jackson.databind.node.ObjectNode;
import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.OptionalInt;
import java.util.Random;
import java.util.stream.Stream;
import meniscus.core.lift.Beside;
import meniscus.core.lift.EventText;
import meniscus.core.lift.LiftPoint;
import meniscus.core.lift.LoudTenth;
import meniscus.core.lift.TestEvent;
import meniscus.core.lift.TestEvent.Kind;
import meniscus.core.quantity.Unit;
import meniscus.core.steadiness.Band;
import meniscus.drivers.hash.Sha256;
import meniscus.recorder.disk.Disk;
import meniscus.recorder.disk.FolderLock;
import meniscus.recorder.journal.Header;
import meniscus.recorder.journal.Journal;
import meniscus.recorder.journal.JournalReader;
import meniscus.recorder.journal.JournalVisitor;
import meniscus.recorder.journal.Recovered;
import meniscus.recorder.journal.Samples;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

class TestFolderTest {

  private static final ObjectMapper JSON = new ObjectMapper();

  @TempDir Path temp;
  private Path folder;

  @BeforeEach
  void makeFolder() throws IOException {
    folder = Files.createDirectory(temp.resolve("before"));
  }

  private TestFolder finished() throws IOException {
    try (FolderLock lock = FolderLock.take(folder)) {
      MadeUpTest.record(lock, Optional.empty());
      return MadeUpTest.finish(lock, "Made-up test");
    }
  }

  /** Rows and events as lines of text, in the order shown. */
  static List<String> story(Replay replay) throws IOException {
    List<String> story = new ArrayList<>();
    replay.to(
        new JournalVisitor() {
          @Override
          public void row(long momentNanos, int instrument, long present, double[] values) {
            StringBuilder line = new StringBuilder(momentNanos + " " + instrument);
            for (int c = 0; c < 3; c++) {
              line.append(' ').append((present >> c & 1) != 0 ? "" + values[c] : "-");
            }
            story.add(line.toString());
          }

          @Override
          public void event(TestEvent event) {
            story.add(event.toString());
          }
        });
    return story;
  }

  interface Replay {
    void to(JournalVisitor visitor) throws IOException;
  }

  @Test
  void rowsAndEventsComeBackInTheirOrderToTheLastBit() throws IOException {
    List<String> journal;
    try (FolderLock lock = FolderLock.take(folder)) {
      MadeUpTest.record(lock, Optional.empty());
      Path file = folder.resolve(Journal.NAME);
      journal = story(v -> JournalReader.read(meniscus.recorder.disk.Disk.REAL, file, v));
      TestFolder test = MadeUpTest.finish(lock, "Made-up test");
      assertEquals(journal, story(test::replay));
    }
    assertEquals(journal, story(TestFolder.open(folder)::replay));
  }

  /** The dial plays the fast channel here: its frames stand apart and come back in between. */
  @Test
  void framesOfAFastChannelStandApartAndComeBackInTheirPlaces() throws IOException {
    Path to = folder.resolveSibling("fast");
    Files.createDirectories(to);
    List<String> recorded;
    FolderFinish.PointsOf apart =
        new FolderFinish.PointsOf() {
          @Override
          public WorkedOut of(Recovered test) {
            List<LiftPoint> points = new ArrayList<>();
            for (LiftPoint point : test.standing()) {
              points.add(point.withBeside(List.of(LOUD, SWIRL)));
            }
            return new WorkedOut(points, SERIES);
          }

          @Override
          public OptionalInt apart(Recovered test) {
            return OptionalInt.of(1);
          }
        };
    TestFolder test;
    try (FolderLock lock = FolderLock.take(to)) {
      MadeUpTest.record(lock, Optional.empty());
      Path file = to.resolve(Journal.NAME);
      recorded = story(v -> JournalReader.read(meniscus.recorder.disk.Disk.REAL, file, v));
      test =
          new FolderFinish(Disk.REAL, to)
              .finish(Optional.empty(), trouble -> {}, MadeUpTest.UNITS, "t", apart);
    }
    assertEquals(recorded, story(test::replay));
    assertTrue(test.files().contains("fast.csv.gz"));
    assertEquals(List.of(LOUD, SWIRL), test.points().get(0).beside());
    assertEquals(List.of(), DifferingRungs.of(test, test.points()));
    List<LiftPoint> changed = new ArrayList<>(test.points());
    changed.set(2, changed.get(2).withBeside(List.of(SWIRL)));
    assertEquals(List.of(3), DifferingRungs.of(test, changed));
    assertEquals(SERIES, test.loud());
    assertEquals(List.of(), DifferingRungs.of(test, new WorkedOut(test.points(), SERIES)));
    assertEquals(
        List.of(1),
        DifferingRungs.of(test, new WorkedOut(test.points(), SERIES.subList(1, SERIES.size()))));
  }

  private static final List<LoudTenth> SERIES =
      List.of(
          new LoudTenth(1, 17, 12.34, 0.5678, Double.NaN),
          new LoudTenth(1, 18, 1e-3, 4, Double.NaN),
          new LoudTenth(2, 401, 3, Double.NaN, Double.NaN));

  private static final Beside LOUD =
      new Beside(Band.MIDDLE.word(), Unit.PASCAL, 12.34567890123, OptionalDouble.of(0.1));
  private static final Beside SWIRL =
      new Beside("board.swirl", Unit.ONE, -0.25, OptionalDouble.empty());

  @Test
  void afterItIsFinishedTheFolderHoldsTheTestAndNothingElse() throws IOException {
    TestFolder test = finished();
    assertEquals(
        List.of(
            "bench.json",
            "budget.csv",
            "calibrations/abc.json",
            "calm/low.csv",
            "datapackage.json",
            "events.csv",
            "notes.json",
            "plan.json",
            "points.csv",
            "samples.csv.gz"),
        filesIn(folder));
    assertEquals(TestFolder.State.FINISHED, TestFolder.state(folder));
    assertArrayEquals(Samples.header().plan(), test.file(Header.PLAN));
    assertEquals("Made-up test", test.title());
    assertEquals(List.of(), test.damage());
    assertFalse(test.notesChanged());
  }

  private static List<String> filesIn(Path folder) throws IOException {
    try (Stream<Path> all = Files.walk(folder)) {
      return all.filter(Files::isRegularFile)
          .map(file -> folder.relativize(file).toString().replace('\\', '/'))
          .sorted()
          .toList();
    }
  }

  @Test
  void pointsComeBackWithTheirBudgets() throws IOException {
    List<LiftPoint> kept = MadeUpTest.points();
    TestFolder test = finished();
    List<LiftPoint> read = test.points();
    assertEquals(List.of(), DifferingRungs.of(test, kept));
    assertEquals(List.of(), DifferingRungs.of(test, read), "written again, the same digits");
    assertEquals(kept.size(), read.size());
    for (int i = 0; i < kept.size(); i++) {
      LiftPoint one = kept.get(i);
      LiftPoint other = read.get(i);
      assertEquals(one.budget(), other.budget());
      assertEquals(one.keptAt(), other.keptAt());
      assertEquals(one.remarks(), other.remarks());
      assertEquals(one.verdict(), other.verdict());
      assertEquals(one.flowM3PerS(), other.flowM3PerS(), 1e-15 * one.flowM3PerS());
      assertEquals(one.flowRepeatU95().isPresent(), other.flowRepeatU95().isPresent());
    }
  }

  @Test
  void aPointThatDiffersInItsLastDigitIsFound() throws IOException {
    TestFolder test = finished();
    List<LiftPoint> changed = new ArrayList<>(MadeUpTest.points());
    LiftPoint third = Samples.point(3, 1, new Random(99));
    changed.set(2, third);
    changed.remove(4);
    assertEquals(List.of(3, 5), DifferingRungs.of(test, changed));
  }

  @Test
  void theColumnsOfPointsAreTheAgreedOnes() throws IOException {
    finished();
    List<String> lines = Files.readAllLines(folder.resolve("points.csv"));
    assertEquals(
        "rung,kept_at,lift,flow,flow_u95,flow_repeat_u95,test_pressure,effective_area_mm2,"
            + "verdict,unsteadiness,seconds,effective_samples,cd_curtain,lift_read,lift_u95,"
            + "sweep,attempt,pressure_as_asked,range,segment,remarks,calibration,"
            + "read_by_eye",
        lines.get(0));
    assertTrue(lines.get(1).startsWith("1,2031-05-06T07:08:19.123456789Z,0.05,"), lines.get(1));
    List<String> events = Files.readAllLines(folder.resolve("events.csv"));
    assertEquals("moment_ns,at,kind,detail,after_row", events.get(0));
    assertTrue(
        Files.readString(folder.resolve("datapackage.json"))
            .contains("\"unit\" : \"[cft_i]/min\""));
  }

  @Test
  void textThatASpreadsheetCouldRunIsMadeHarmlessAndComesBackAsItWas() throws IOException {
    TestFolder test = finished();
    assertTrue(Files.readString(folder.resolve("events.csv")).contains("\"'=HYPERLINK("));
    assertTrue(
        test.events().stream()
            .anyMatch(event -> EventText.detail(event).startsWith("=HYPERLINK(")));
  }

  @Test
  void everyFileHasAHashAndEveryNumberAUnit() throws IOException {
    finished();
    String text = Files.readString(folder.resolve("datapackage.json"));
    for (JsonNode resource : JSON.readTree(text).get("resources")) {
      assertTrue(resource.get("hash").asText().startsWith("sha256:"), resource.toString());
      for (JsonNode field : resource.path("schema").path("fields")) {
        boolean numeric = field.get("type").asText().matches("number|integer");
        boolean bySource = field.get("name").asText().matches("u|sensitivity");
        assertEquals(numeric && !bySource, field.has("unit"), field.toString());
      }
    }
  }

  @Test
  void aChangedFileIsNamed() throws IOException {
    finished();
    for (String name : List.of("points.csv", "samples.csv.gz", "plan.json", "calm/low.csv")) {
      byte[] good = Files.readAllBytes(folder.resolve(name));
      byte[] bad = good.clone();
      bad[bad.length / 2] ^= 1;
      Files.write(folder.resolve(name), bad);
      assertTrue(refused().contains(Path.of(name).toString()), name);
      Files.delete(folder.resolve(name));
      assertTrue(refused().contains("missing"), name);
      Files.write(folder.resolve(name), good);
    }
    TestFolder.open(folder);
  }

  private String refused() {
    return assertThrows(BadTestFolder.class, () -> TestFolder.open(folder)).getMessage();
  }

  @Test
  void notesMayBeChangedByHandAndByTheProgram() throws IOException {
    TestFolder test = finished();
    byte[] notes = Samples.utf8("{\"meniscus\":\"notes/1\",\"notes\":[\"looked at again\"]}\n");
    TestFolder after = test.rewriteNotes(notes);
    assertArrayEquals(notes, after.file(TestFolder.NOTES));
    assertFalse(TestFolder.open(folder).notesChanged());
    Files.writeString(folder.resolve(TestFolder.NOTES), "{}");
    assertTrue(TestFolder.open(folder).notesChanged());
  }

  @Test
  void anUnfinishedFolderIsCalledSo() throws IOException {
    assertTrue(refused().contains("not a test folder"));
    try (FolderLock lock = FolderLock.take(folder)) {
      MadeUpTest.record(lock, Optional.empty());
    }
    assertEquals(TestFolder.State.UNFINISHED, TestFolder.state(folder));
    assertTrue(refused().contains("--resume"));
  }

  @Test
  void aJournalThatGrewAfterItsFolderWasWrittenIsFinishedAnew() throws IOException {
    try (FolderLock lock = FolderLock.take(folder)) {
      MadeUpTest.record(lock, Optional.empty());
      byte[] journal = Files.readAllBytes(folder.resolve(Journal.NAME));
      MadeUpTest.finish(lock, "t");
      Files.write(folder.resolve(Journal.NAME), journal);
      assertEquals(TestFolder.State.FINISHED, TestFolder.state(folder), "it is a leftover");
      LiftPoint seventh = Samples.point(7, 1, new Random(7));
      try (Journal again =
          Journal.resume(
              lock, Optional.empty(), JournalReader.read(folder.resolve(Journal.NAME)))) {
        again.row(seventh.keptAt().nanos(), 1, 0.5);
        again.kept(seventh, Samples.kept(seventh, again.rows()));
      }
      assertEquals(TestFolder.State.UNFINISHED, TestFolder.state(folder));
      assertEquals(
          Optional.empty(),
          new FolderFinish(Disk.REAL, folder).clear(Optional.empty(), trouble -> {}));
      MadeUpTest.finish(lock, "t");
    }
    assertEquals(7, TestFolder.open(folder).points().size());
    assertEquals(TestFolder.State.FINISHED, TestFolder.state(folder));
  }

  @Test
  void aNewerFormatIsRefusedByName() throws IOException {
    finished();
    Path file = folder.resolve("datapackage.json");
    String text = Files.readString(file);
    Files.writeString(file, text.replace("\"test/1.6\"", "\"test/2\""));
    assertTrue(refused().contains("\"test/2\""));
    Files.writeString(file, Seal.of(text.replace("\"test/1.6\"", "\"test/1.7\"")));
    TestFolder.open(folder);
    Files.writeString(file, text.replace("\"test/1.6\"", "\"photo/1\""));
    assertTrue(refused().contains("not of a lift test"));
    Files.writeString(file, text.substring(0, 200));
    assertTrue(refused().contains("not whole JSON"));
  }

  /** Nothing else vouches for the title, the times and the list itself. */
  @Test
  void aChangedListOfFilesIsSaid() throws IOException {
    finished();
    Path file = folder.resolve("datapackage.json");
    byte[] whole = Files.readAllBytes(file);
    assertEquals(Files.readString(file), Seal.of(Files.readString(file)));
    for (int at = 0; at < whole.length; at += 7) {
      byte[] flipped = whole.clone();
      flipped[at] ^= (byte) (1 << at % 8);
      Files.write(file, flipped);
      assertThrows(BadTestFolder.class, () -> TestFolder.open(folder), "byte " + at);
    }
    String text = new String(whole, StandardCharsets.UTF_8);
    Files.writeString(file, text.replaceFirst("\"title\" : \"", "$0x"));
    assertTrue(refused().contains("datapackage.json is not what was written"));
    Files.writeString(file, text.replaceFirst(",\\s*\"seal\"[^,]*\"", ""));
    assertTrue(refused().contains("datapackage.json is not what was written"));
    Files.writeString(
        file, text.replace("test/1.6", "test/1.5").replaceFirst(",\\s*\"seal\"[^,]*\"", ""));
    TestFolder.open(folder);
  }

  @Test
  void namesThatLeadOutAreRefused() throws IOException {
    finished();
    Path file = folder.resolve("datapackage.json");
    ObjectNode good = (ObjectNode) JSON.readTree(file.toFile());
    Files.writeString(temp.resolve("secret.json"), "x");
    for (String path :
        List.of(
            "../secret.json",
            "/etc/hostname",
            "calm/../../secret.json",
            "C:\\secret.json",
            "..\\secret.json",
            "http://example.org/x.json",
            ".hidden",
            "",
            "a/b/c/d/e/f")) {
      ObjectNode bad = good.deepCopy();
      ((ObjectNode) bad.get("resources").get(0)).put("path", path);
      Files.writeString(file, Seal.of(JSON.writeValueAsString(bad)));
      assertTrue(refused().contains("no test folder may hold"), path);
    }
    ObjectNode twice = good.deepCopy();
    twice.withArray("resources").add(good.get("resources").get(0));
    Files.writeString(file, Seal.of(JSON.writeValueAsString(twice)));
    assertTrue(refused().contains("twice"));
  }

  @Test
  void linksOutOfTheFolderAreNotFollowed() throws IOException {
    finished();
    Path outside = Files.createDirectory(temp.resolve("outside"));
    Files.move(folder.resolve("plan.json"), outside.resolve("plan.json"));
    Files.createSymbolicLink(folder.resolve("plan.json"), outside.resolve("plan.json"));
    assertTrue(refused().contains("link"));
    Files.delete(folder.resolve("plan.json"));
    Files.move(outside.resolve("plan.json"), folder.resolve("plan.json"));
    Files.move(folder.resolve("calm"), outside.resolve("calm"));
    Files.createSymbolicLink(folder.resolve("calm"), outside.resolve("calm"));
    IOException link = assertThrows(IOException.class, () -> TestFolder.open(folder));
    assertTrue(link.getMessage().contains("link"), link.getMessage());
  }

  @Test
  void theMirrorKeepsItsJournalUnderAnotherName() throws IOException {
    Path stick = Files.createDirectory(temp.resolve("stick"));
    try (FolderLock lock = FolderLock.take(folder);
        FolderLock mirror = FolderLock.take(stick)) {
      MadeUpTest.record(lock, Optional.of(mirror));
      MadeUpTest.finish(Disk.REAL, lock.folder(), Optional.of(mirror.folder()), "t");
    }
    assertEquals(List.of("finished-20310506T070809123456789Z.journal"), filesIn(stick));
    assertEquals(
        MadeUpTest.points(), JournalReader.read(stick.resolve(filesIn(stick).get(0))).standing());
  }

  @Test
  void aTestWithDamageIsFinishedAndSaysWhatIsLost() throws IOException {
    try (FolderLock lock = FolderLock.take(folder)) {
      MadeUpTest.record(lock, Optional.empty());
      Path file = folder.resolve(Journal.NAME);
      byte[] bytes = Files.readAllBytes(file);
      bytes[bytes.length * 2 / 3] ^= 4;
      Files.write(file, bytes);
      MadeUpTest.finish(lock, "t");
    }
    TestFolder test = TestFolder.open(folder);
    assertFalse(test.damage().isEmpty());
    test.replay(JournalVisitor.NONE);
    assertTrue(test.points().size() >= MadeUpTest.points().size() - 1);
  }

  @Test
  void aFolderFromBeforeThereWereTheNewestColumnsIsStillRead() throws IOException {
    finished();
    for (String last : List.of("calibration", "remarks")) {
      rewrite("points.csv", text -> text.replaceAll("(?m),[^,\n]*$", ""));
      assertTrue(Files.readAllLines(folder.resolve("points.csv")).get(0).endsWith("," + last));
      TestFolder test = TestFolder.open(folder);
      assertEquals(MadeUpTest.points().size(), test.points().size());
      assertEquals(List.of(), DifferingRungs.of(test, MadeUpTest.points()));
    }
  }

  @Test
  void badCellsAreNamedByFileLineAndColumn() throws IOException {
    finished();
    rewrite("points.csv", text -> text.replaceFirst("OPENING|opening", "sideways"));
    TestFolder test = TestFolder.open(folder);
    IOException bad = assertThrows(BadTestFolder.class, test::points);
    assertEquals(
        "points.csv, line 2, column sweep: \"sideways\" is not known here", bad.getMessage());
  }

  /** Changes a file and its hash in the package, as a hostile hand would. */
  private void rewrite(String name, java.util.function.UnaryOperator<String> change)
      throws IOException {
    Path path = folder.resolve(name);
    byte[] bytes = Samples.utf8(change.apply(Files.readString(path)));
    Files.write(path, bytes);
    Path file = folder.resolve("datapackage.json");
    ObjectNode root = (ObjectNode) JSON.readTree(file.toFile());
    for (JsonNode resource : root.get("resources")) {
      if (resource.get("path").asText().equals(name)) {
        String hash = Sha256.hex(bytes);
        ((ObjectNode) resource).put("bytes", bytes.length).put("hash", "sha256:" + hash);
      }
    }
    Files.writeString(file, Seal.of(JSON.writeValueAsString(root)));
  }

  @Test
  void aNoteIsAnEventLikeAnyOther() throws IOException {
    TestFolder test = finished();
    assertTrue(
        test.events().stream()
            .filter(event -> event.kind() == Kind.NOTE)
            .anyMatch(
                event -> EventText.detail(event).equals("caf\u00e9, \"quoted\"\nsecond line")));
  }
}
