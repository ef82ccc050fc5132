package meniscus.recorder.record;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import com.fasterxml.jackson.databind.JsonNode;
import java.io.IOException;
import java.nio.ByteBuffer;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.stream.Stream;
import java.util.zip.CRC32C;
import meniscus.core.lift.EventText;
import meniscus.core.lift.TestEvent;
import meniscus.recorder.folder.TestFolder;
import meniscus.recorder.record.Recorder.Ran;
import meniscus.recorder.session.PlateRecording;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Tag;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.ValueSource;

/**
 * Test folders and a journal as each format version was first written, kept as they are: whatever
 * the program becomes, it reads them. What is newer than the program is refused and left alone.
 */
@Tag("long")
class FormatFixturesTest {

  /** Flows that the fixture's recorder told when it kept the rungs [cfm]. */
  private static final Map<Integer, Double> TOLD =
      Map.of(1, 50.018664047040126, 2, 109.10375953327717);

  private static final double TOLD_IN_THE_JOURNAL = 50.291811604112205;

  /** A better average may move digits; a misread unit, column or row moves far more. */
  private static final double SAME = 1e-2;

  @TempDir Path temp;

  private Path test;
  private Path unfinished;

  @BeforeEach
  void copyTheFixtures() throws Exception {
    test = copy("test-1");
    unfinished = copy("journal-1");
  }

  private Path copy(String name) throws Exception {
    Path from = Path.of(getClass().getResource("/meniscus/recorder/formats/" + name).toURI());
    Path to = temp.resolve(name);
    try (Stream<Path> files = Files.walk(from)) {
      for (Path file : files.toList()) {
        Files.copy(file, to.resolve(from.relativize(file).toString()));
      }
    }
    return to;
  }

  // ------------------------------------------------------------------ what must stay readable

  @Test
  void aTestFolderOfVersion1IsReadAndWorkedOutAgain() throws IOException {
    assertEquals(TOLD, Recorder.flows(test));
    Ran again = Recorder.run("", "recompute", test, "--json");
    assertTrue(List.of(0, 4).contains(again.exitCode()), again.err());
    JsonNode points = again.events().get(0).get("points");
    assertEquals(2, points.size(), again.out());
    for (JsonNode point : points) {
      double told = TOLD.get(point.get("rung").asInt());
      assertEquals(told, point.get("flow").asDouble(), SAME * told);
    }
  }

  @Test
  void aTestFolderOfVersion1IsReportedAndExported() throws IOException {
    Path report = temp.resolve("report.html");
    Ran reported = Recorder.run("", "report", test, "--out", report);
    assertTrue(List.of(0, 5).contains(reported.exitCode()), reported.err());
    assertTrue(Files.readString(report).contains("Kestrel twin, made up"));
    Ran exported = Recorder.run("", "export", test);
    assertEquals(0, exported.exitCode(), exported.err());
  }

  /**
   * Points read by eye were known by their remarks alone, until version 1.1 had a column for it.
   */
  @ParameterizedTest
  @ValueSource(strings = {"test-1-by-eye", "test-1.1"})
  void whatWasReadByEyeIsKnownAndWorkedOutAgain(String name) throws Exception {
    Path byEye = copy(name);
    assertEquals(Map.of(1, 140.71109734256154, 2, 198.1130286277899), Recorder.flows(byEye));
    assertEquals(0, Recorder.run("", "recompute", byEye).exitCode());
    assertEquals(0, Recorder.run("", "report", byEye, "--out", temp.resolve("r")).exitCode());
    // Points that are brief for another reason are not compared.
    Ran same = Recorder.run("", "compare", byEye, "--after", byEye, "--json");
    JsonNode lifts = Recorder.json(same.out().strip()).get("lifts");
    assertEquals(2, lifts.size(), same.out());
    lifts.forEach(lift -> assertEquals(0, lift.get("difference_percent").asDouble(-1), 1e-9));
  }

  /**
   * Recorded by the version before this one, with a redo, a note, a skip, an undo, a calibration
   * and a calm record: every step and every digit is found again.
   */
  @Test
  void aTestOfVersion11IsWorkedOutAgainToTheLastDigit() throws Exception {
    Path steps = copy("test-1.1-steps");
    byte[] events = Files.readAllBytes(steps.resolve("events.csv"));
    Ran again = Recorder.run("", "recompute", steps, "--json");
    assertEquals(0, again.exitCode(), again.out() + again.err());
    JsonNode told = again.events().get(0);
    assertTrue(told.get("same").asBoolean());
    List<Integer> rungs = new ArrayList<>();
    told.get("points").forEach(point -> rungs.add(point.get("rung").asInt()));
    assertEquals(List.of(1, 2, 3, 5), rungs, "rung 4 was left empty");
    assertArrayEquals(events, eventsAgain(steps), "what is read is written letter by letter");
  }

  /**
   * Each recorded while an average was reckoned in another way, with a calibration and a calm
   * record: by sample times of the stream; knowing the gauge's own mean and lag, two of three lifts
   * rough; knowing that the bench's noise lies beneath rough air. What came later moves no digit.
   */
  @ParameterizedTest
  @CsvSource({
    "test-1.2-by-stream, by_stream",
    "test-1.3-by-gauge, by_gauge",
    "test-1.5-by-bench, by_bench",
    "test-1.6-sealed, by_bench"
  })
  void aTestIsWorkedOutAgainToTheLastDigitAsItWasReckoned(String name, String reckoned)
      throws Exception {
    Path folder = copy(name);
    assertTrue(Files.readString(folder.resolve("events.csv")).contains("reckoned," + reckoned));
    Ran again = Recorder.run("", "recompute", folder, "--json");
    assertEquals(0, again.exitCode(), again.out() + again.err());
    JsonNode told = again.events().get(0);
    assertTrue(told.get("same").asBoolean(), again.out());
    assertEquals(3, told.get("points").size());
  }

  /** One plate, read by a check of a calibrated bench whose dial was connected. */
  @Test
  void aPlateOfVersion1IsWorkedOutAgainToTheLastDigit() throws Exception {
    Path folder = copy("plate-test-1");
    Ran again = Recorder.run("", "recompute", folder, "--json");
    assertEquals(0, again.exitCode(), again.out() + again.err());
    JsonNode told = again.events().get(0);
    assertTrue(told.get("same").asBoolean(), again.out());
    assertEquals(1, told.get("points").size());
    assertEquals(1, TestFolder.open(folder).readings().size());
  }

  /** A calibration that was killed after one plate's first reading. */
  @Test
  void aJournalOfAPlateIsFinishedAndWorkedOutAgain() throws Exception {
    Path home = temp.resolve("plate-readings");
    Files.createDirectories(home);
    Files.move(copy("plate-journal-1"), home.resolve(".taking-28"));
    List<String> trouble = new ArrayList<>();
    PlateRecording.finishLeft(home, trouble::add);
    assertEquals(List.of(), trouble);
    Ran again = Recorder.run("", "recompute", home.resolve("28"), "--json");
    assertEquals(0, again.exitCode(), again.out() + again.err());
    assertTrue(again.events().get(0).get("same").asBoolean(), again.out());
    assertEquals(1, TestFolder.open(home.resolve("28")).readings().size());
  }

  /**
   * From before plates left folders: the bench is calibrated as it was, and no folder is missed.
   */
  @Test
  void aCalibrationWithoutFoldersOfPlatesIsRead() throws Exception {
    Path bench = copy("test-1.1-steps").resolve("bench.json");
    Ran health =
        Recorder.run("", "health", "--bench", bench, "--json", "--report", temp.resolve("c.html"));
    assertEquals(0, health.exitCode(), health.err());
    assertEquals(0, health.events().get(0).get("plate_readings").get("folders").asInt(-1));
    assertTrue(Files.readString(temp.resolve("c.html")).contains("Plates, each judged"));
  }

  /** events.csv from what was read of it. */
  private static byte[] eventsAgain(Path folder) throws IOException {
    StringBuilder table = new StringBuilder("moment_ns,at,kind,detail,after_row\n");
    String first = Files.readAllLines(folder.resolve("events.csv")).get(1).split(",")[1];
    Instant anchor = Instant.parse(first);
    for (TestEvent event : TestFolder.open(folder).events()) {
      table.append(event.moment().nanos()).append(',');
      table.append(String.format(Locale.ROOT, "%s", anchor.plusNanos(event.moment().nanos())));
      table.append(',').append(event.kind().word()).append(',').append(EventText.detail(event));
      table.append(',').append(event.afterRow()).append('\n');
    }
    return table.toString().getBytes(StandardCharsets.UTF_8);
  }

  @Test
  void aJournalOfVersion1IsFinished() throws IOException {
    Ran finished = Recorder.run("stop\n", "record", "--resume", "--out", unfinished, "--quick");
    assertTrue(List.of(0, 5).contains(finished.exitCode()), finished.err());
    assertFalse(Files.exists(unfinished.resolve("test.journal")));
    Map<Integer, Double> flows = Recorder.flows(unfinished);
    assertEquals(List.of(1), List.copyOf(flows.keySet()));
    assertEquals(TOLD_IN_THE_JOURNAL, flows.get(1), SAME * TOLD_IN_THE_JOURNAL);
  }

  // ------------------------------------------------------------------ what is newer

  @Test
  void aNewerTestFolderIsRefusedWithBothVersions() throws IOException {
    Recorder.change(test.resolve("datapackage.json"), "\"test/1\"", "\"test/2\"");
    Ran refused = Recorder.run("", "recompute", test);
    assertEquals(4, refused.exitCode());
    assertSays(refused, "test/2", "test/1", "newer version");
  }

  @Test
  void aNewerBenchOrPlanIsRefusedWithBothVersions() throws IOException {
    for (String kind : List.of("bench", "plan")) {
      for (String version : List.of("/2", "/1.9")) {
        Path files = Recorder.files(temp);
        Path out = files.resolve("out");
        Recorder.change(
            files.resolve(kind + ".json"), "\"" + kind + "/1\"", "\"" + kind + version + "\"");
        Ran refused = Recorder.record(files, out, "stop\n", "--hands-free");
        assertEquals(4, refused.exitCode(), refused.err());
        assertSays(refused, kind + version, kind + "/1", "newer Meniscus");
        assertFalse(Files.exists(out.resolve("test.journal")), "nothing was begun");
      }
    }
  }

  @Test
  void aNewerJournalIsRefusedWithBothVersionsAndLeftAlone() throws IOException {
    Path journal = unfinished.resolve("test.journal");
    byte[] newer = Files.readAllBytes(journal);
    assertEquals(2, setVersion(newer, "journal/2"), "the header stands there twice");
    Files.write(journal, newer);
    Ran refused = Recorder.run("stop\n", "record", "--resume", "--out", unfinished, "--quick");
    assertEquals(4, refused.exitCode(), refused.err());
    assertSays(refused, "journal/2", "journal/1", "the version that began it");
    assertArrayEquals(newer, Files.readAllBytes(journal));
  }

  private static void assertSays(Ran ran, String... words) {
    for (String word : words) {
      assertTrue(ran.err().contains(word), ran.err());
    }
    assertFalse(ran.err().contains("\tat "), "no stack trace: " + ran.err());
  }

  /**
   * Rewrites the version in every header block, by what docs/file-formats.md says of blocks alone:
   * type at 16, length at 17, CRC32C of the payload at 21 and of the head at 25, payload from 29.
   */
  private static int setVersion(byte[] journal, String version) {
    ByteBuffer bytes = ByteBuffer.wrap(journal);
    int headers = 0;
    for (int at = 0; at + 29 <= journal.length; at += 29 + bytes.getInt(at + 17)) {
      if (bytes.get(at + 16) == 1) {
        byte[] text = version.getBytes(StandardCharsets.UTF_8);
        assertEquals(text.length, bytes.getInt(at + 29));
        bytes.put(at + 33, text);
        bytes.putInt(at + 21, crc(journal, at + 29, bytes.getInt(at + 17)));
        bytes.putInt(at + 25, crc(journal, at, 25));
        headers++;
      }
    }
    return headers;
  }

  private static int crc(byte[] bytes, int from, int length) {
    CRC32C crc = new CRC32C();
    crc.update(bytes, from, length);
    return (int) crc.getValue();
  }
}
