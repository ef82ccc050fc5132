package meniscus.recorder.record;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import com.fasterxml.jackson.databind.JsonNode;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.Map;
import java.util.stream.Stream;
import meniscus.recorder.record.Recorder.Ran;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Tag;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** {@code record} in this process, on the simulated bench in simulated time. */
@Tag("long")
class RecordTest {

  @TempDir Path temp;

  private Path files;
  private Path out;

  @BeforeEach
  void writeFiles() throws IOException {
    files = Recorder.files(temp);
    out = temp.resolve("tests").resolve("intake-1");
  }

  @Test
  void aHandsFreeTestRunsWholeAndWorksOutAgainToTheLastDigit() throws IOException {
    Ran ran = Recorder.record(files, out, "", "--hands-free");

    assertEquals(List.of(1, 2, 3), ran.keptRungs(), ran.err());
    assertEquals("", ran.err());
    JsonNode finished = ran.events("finished").get(0);
    assertEquals(3, finished.get("points").asInt());
    assertEquals(0, finished.get("open_rungs").asInt());
    assertFalse(Files.exists(out.resolve("test.journal")), "the journal is gone once finished");
    Map<Integer, Double> flows = Recorder.flows(out);
    for (JsonNode kept : ran.events("kept")) {
      assertEquals(kept.get("flow").asDouble(), flows.get(kept.get("rung").asInt()));
    }

    Ran again = Recorder.run("", "recompute", out, "--json");
    assertEquals(0, again.exitCode(), again.err());
    assertTrue(again.events().get(0).get("same").asBoolean());
  }

  @Test
  void theSameSeedGivesTheSameTestAndAnotherSeedAnother() throws IOException {
    Recorder.change(files.resolve("plan.json"), "[0.1, 0.2, 0.3]", "[0.2]");
    Map<Integer, Double> one = flows("one", 5);
    assertEquals(one, flows("two", 5));
    assertFalse(one.equals(flows("three", 6)));
  }

  private Map<Integer, Double> flows(String name, long seed) throws IOException {
    Path folder = temp.resolve(name);
    Recorder.record(files, folder, "", "--hands-free", "--seed", seed);
    return Recorder.flows(folder);
  }

  @Test
  void everyPointSaysHowWellItsLiftIsKnown() throws IOException {
    Recorder.record(files, out, "", "--hands-free");
    Map<Integer, Double> intervals = Recorder.liftIntervals(out);
    assertEquals(Recorder.flows(out).keySet(), intervals.keySet());
    intervals.values().forEach(inch -> assertTrue(inch > 0 && inch < 0.003, inch + " in"));
  }

  // ------------------------------------------------------------------ commands on stdin

  @Test
  void linesThatComeTogetherAreDoneOneAfterTheOther() throws IOException {
    Ran ran =
        Recorder.record(
            files, out, "keep\nnote oil on the seat\nredo\nkeep\nskip\nfly\nkeep\nstop\n");

    assertEquals(List.of(1, 1, 3), ran.keptRungs(), ran.out());
    assertEquals(0, ran.exitCode(), "a rung that is left empty on purpose is no doubt");
    assertTrue(ran.err().contains("no command \"fly\""), ran.err());
    assertEquals(List.of(1, 3), List.copyOf(Recorder.flows(out).keySet()));
    String events = Files.readString(out.resolve("events.csv"));
    assertTrue(events.contains("oil on the seat"), events);
    assertEquals(1, ran.events("skipped").size());
    assertEquals(0, Recorder.run("", "recompute", out).exitCode());
  }

  @Test
  void undoTakesALineBack() {
    Ran ran = Recorder.record(files, out, "keep\nskip\nundo\nundo\nkeep\nstop\n");

    assertEquals(List.of(1, 1), ran.keptRungs(), ran.out());
    assertEquals(2, ran.events("undone").size());
    assertEquals(1, ran.events("finished").get(0).get("points").asInt());
  }

  @Test
  void whenStandardInputEndsTheTestEndsWithWhatIsKept() throws IOException {
    Ran ran = Recorder.record(files, out, "keep\nkeep");

    assertEquals(List.of(1, 2), ran.keptRungs(), ran.out());
    assertEquals(1, ran.events("finished").get(0).get("open_rungs").asInt());
    assertEquals(2, Recorder.flows(out).size());
  }

  @Test
  void whereNothingIsKeptNothingIsFinishedAndResumeGoesOn() {
    Ran nothing = Recorder.record(files, out, "");
    assertEquals(5, nothing.exitCode());
    assertTrue(nothing.events("finished").get(0).get("folder").isNull());

    Ran refused = Recorder.record(files, out, "", "--hands-free");
    assertEquals(4, refused.exitCode());
    assertTrue(refused.err().contains("--resume"), refused.err());

    Ran resumed = Recorder.record(files, out, "", "--hands-free", "--resume");
    assertEquals(List.of(1, 2, 3), resumed.keptRungs(), resumed.err());
    assertEquals(0, Recorder.run("", "recompute", out).exitCode());
  }

  @Test
  void withoutJsonPeopleReadLines() {
    Ran ran =
        Recorder.run(
            "keep\nstop\n",
            "record",
            "--bench",
            files.resolve("bench.json"),
            "--plan",
            files.resolve("plan.json"),
            "--out",
            out,
            "--quick");

    assertTrue(ran.out().contains("next: lift 0.100 in (1 of "), ran.out());
    assertTrue(ran.out().contains("kept: lift 0.100 in (1 of "), ran.out());
    assertTrue(ran.out().contains("1 points in " + out), ran.out());
  }

  // ------------------------------------------------------------------ folders in the way

  @Test
  void aFinishedTestIsNotWrittenOverButPutAsideWhenAsked() throws IOException {
    Recorder.change(files.resolve("plan.json"), "[0.1, 0.2, 0.3]", "[0.2]");
    Recorder.record(files, out, "", "--hands-free");
    Map<Integer, Double> before = Recorder.flows(out);
    Ran refused = Recorder.record(files, out, "", "--hands-free");
    assertEquals(4, refused.exitCode());
    assertTrue(refused.err().contains("holds a finished test"), refused.err());
    Ran resumed = Recorder.record(files, out, "", "--hands-free", "--resume");
    assertEquals(4, resumed.exitCode());

    Ran replaced = Recorder.record(files, out, "", "--hands-free", "--seed", 9, "--replace");
    assertEquals(List.of(1), replaced.keptRungs(), replaced.err());
    assertEquals(before, Recorder.flows(out.resolveSibling("intake-1.earlier-1")));
    assertFalse(before.equals(Recorder.flows(out)));
  }

  @Test
  void nothingIsPutAsideForATestThatCannotBegin() throws IOException {
    Recorder.change(files.resolve("plan.json"), "[0.1, 0.2, 0.3]", "[0.2]");
    Recorder.record(files, out, "", "--hands-free");
    Recorder.change(files.resolve("plan.json"), "28 inH2O", "28 inches");
    Ran ran = Recorder.record(files, out, "", "--hands-free", "--replace");

    assertEquals(4, ran.exitCode());
    assertEquals(1, Recorder.flows(out).size(), "the earlier test is where it was");
  }

  // ------------------------------------------------------------------ mirror

  @Test
  void theMirrorAloneIsEnoughToGoOnElsewhere() throws IOException {
    Path mirror = temp.resolve("stick");
    Recorder.record(files, out, "", "--mirror", mirror);
    Ran busy = Recorder.record(files, temp.resolve("other"), "", "--mirror", mirror);
    assertEquals(4, busy.exitCode());
    assertTrue(busy.err().contains("the mirror"), busy.err());
    Files.move(out, temp.resolve("broken-disk"));
    Files.move(files, temp.resolve("other-computer"));
    Path elsewhere = temp.resolve("elsewhere");
    Ran resumed =
        Recorder.run(
            "keep\nkeep\n",
            "record",
            "--out",
            elsewhere,
            "--mirror",
            mirror,
            "--resume",
            "--quick",
            "--json");

    assertEquals(List.of(1, 2), resumed.keptRungs(), resumed.err());
    assertEquals(2, Recorder.flows(elsewhere).size());
    assertEquals(0, Recorder.run("", "recompute", elsewhere).exitCode());
  }

  @Test
  void theMirrorIsNotTheTestFolder() {
    Ran ran = Recorder.record(files, out, "", "--mirror", out);
    assertEquals(4, ran.exitCode());
    assertFalse(Files.exists(out));
  }

  @Test
  void anOwnersOwnSheetGoesAlongWithTheTest() throws IOException {
    String sheet =
        new String(
            meniscus.drivers.sheet.ShippedSheets.class
                .getResourceAsStream("/meniscus/drivers/sheets/dial-indicator.json")
                .readAllBytes(),
            java.nio.charset.StandardCharsets.UTF_8);
    Files.writeString(files.resolve("my dial.json"), sheet);
    Recorder.change(
        files.resolve("bench.json"),
        "\"sheet\": \"dial-indicator\"",
        "\"sheet\": \"my dial.json\"");
    Recorder.record(files, out, "");
    Files.move(files, temp.resolve("gone"));
    Ran resumed = Recorder.run("keep\n", "record", "--out", out, "--resume", "--quick", "--json");

    assertEquals(List.of(1), resumed.keptRungs(), resumed.err());
    assertEquals(sheet, Files.readString(out.resolve("sheets").resolve("dial.json")));
    assertEquals(0, Recorder.run("", "recompute", out).exitCode());
  }

  // ------------------------------------------------------------------ look and listen

  @Test
  void lookTellsLinesDriversAndPlugins() {
    JsonNode seen = Recorder.run("", "look", "--json").events().get(0);

    assertTrue(seen.get("lines").isArray());
    assertTrue(seen.get("plugins").isArray());
    List<String> drivers =
        Stream.iterate(0, i -> i < seen.get("drivers").size(), i -> i + 1)
            .map(i -> seen.get("drivers").get(i).get("id").asText())
            .toList();
    assertTrue(drivers.containsAll(List.of("text-stream", "text-ask")), "" + drivers);
    seen.get("drivers").forEach(driver -> assertEquals("ready", driver.get("state").asText()));
  }

  @Test
  void listenGivesEveryChannelOnceASecond() {
    Ran ran =
        Recorder.run(
            "",
            "listen",
            "--bench",
            files.resolve("bench.json"),
            "--quick",
            "--seconds",
            "4",
            "--json");

    assertEquals(0, ran.exitCode(), ran.err());
    JsonNode second = ran.events().get(2).get("channels");
    assertEquals(6, second.size());
    JsonNode pressure = second.get("manometer.test_pressure");
    assertTrue(pressure.get("readings").asInt() > 10, "" + pressure);
    assertEquals(0, pressure.get("mean").asDouble(), 0.5, "the blower is off");
    assertTrue(second.get("station.temperature").get("mean").asDouble() > 10);
  }
}
