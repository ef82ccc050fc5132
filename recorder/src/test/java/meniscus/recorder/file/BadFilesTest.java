package meniscus.recorder.file;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import meniscus.core.lift.Plan;
import meniscus.core.lift.Rung;
import meniscus.core.lift.Sweep;
import meniscus.core.quantity.Unit;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.function.Executable;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/** What a slip of the hand is answered with: what, where, what to do. */
class BadFilesTest {

  @TempDir Path folder;

  /** The page's examples with one thing changed; B is a fault of form that the schema sees too. */
  @ParameterizedTest
  @CsvSource(
      delimiter = '|',
      quoteCharacter = '`',
      textBlock =
          """
          "lag":             | "leg":                 | B | no member "leg" is known here; did you mean "lag"?
          "name": "North     | "nome": "North         | B | "name" is missing; it must be text; you wrote "nome"
          bench/1            | bench/1.2              | B | it comes from a newer Meniscus
          bench/1            | bench/2                | B | it comes from a newer Meniscus
          bench/1            | plan/1                 | B | a bench file says "meniscus": "bench/1.1"
          "blower side"      | "far side"             | B | use one of: blower side, room side
          "low": "-40 inH2O" | "low": "-40"           | - | "channels", "test_pressure", "low": "-40" has no unit
          "low": "-40 inH2O" | "low": "-40 mm"        | - | is not a unit of pressure
          "low": "-40 inH2O" | "low": "41 inH2O"      | - | must rise from low to high
          "low": "-40 inH2O" | "low": -40             | B | write the pressure as text with its unit
          "channel": "element_drop" | "channel": "test_pressure" | - | is used twice, by test_pressure and by range "plate 1"
          "channel": "humidity" | "channel": "pressure" | - | is used twice
          "instrument": "indicator" | "instrument": "indicater" | - | the bench has no instrument "indicater"; it has: air, indicator, manometer
          "test_pressure": { | "plenum_temperature": { | B | is not a unit of temperature
          "id": "air"        | "id": "manometer"      | - | two instruments are called "manometer"
          "id": "air"        | "id": "Air!"           | B | use lower-case letters
          "kind": "orifice"  | "kind": "hole"         | B | use one of: orifice, nozzle, linear, chart, fitted
          "value": 0.603     | "value": 60.3          | B | between 0 and 1.2
          "value": 0.603     | "value": 1e999         | - | too large a number
          "barometer": "station" | "barometer": "sea level" | B | use one of: station, sea_level
          "mains_hz": 60     | "mains_hz": 6          | B | 50 or 60 Hz
          "mains_hz": 60     | "mains_hz": null       | B | leave the member out
          "mains_hz": 60     | "mains_hz": 60, "mains_hz": 50 | - | this member stands here twice
          "ranges": [        | "ranges": [], "ringes": [ | B | did you mean "ranges"?
          """)
  void ofTheBench(String from, String to, String seenBySchema, String message) throws IOException {
    String text = changed(Docs.wholeExamples("bench-file.md").get(0), from, to);
    assertRefused(message, () -> BenchFile.parse("bench.json", text));
    if (seenBySchema.equals("B")) {
      assertFalse(Schema.of("bench-1").complaints(text).isEmpty());
    }
  }

  @ParameterizedTest
  @CsvSource(
      delimiter = '|',
      quoteCharacter = '`',
      textBlock =
          """
          "aim_band"      | "aim_bend"              | B | did you mean "aim_band"?
          "exhaust"       | "outlet"                | B | use one of: intake, exhaust
          "direction": "blowing", | ""              | - | not JSON
          "direction": "blowing", | `` | B | "direction" is missing
          "7 kPa",        | "-7 kPa",               | - | must be positive
          [1, 2, 3, 4     | [1, 2, 4, 3             | - | the lifts fall from 4 mm to 3 mm at rung 4, but the sweep is opening; change their order, or say "sweep": "closing"
          [1, 2, 3, 4     | [1, 2, 2, 4             | - | the lift 2 mm stands twice in a row
          [1, 2, 3, 4     | [1, "2 degC", 3, 4      | - | is not a unit of length
          [1, 2, 3, 4     | [1, true, 3, 4          | B | a lift is a number in mm
          "both"          | "closing"               | - | the lifts rise from 1 mm to 2 mm at rung 2, but the sweep is closing
          "both"          | "up"                    | B | use one of: opening, closing, both
          "return_rung": 5 | "return_rung": 5.5     | - | the ladder has no lift of 5.5 mm
          "return_rung": 5 | "from": 5              | B | give the lifts once
          10],            | 100],                   | - | between 0 and 100 mm
          "lift": "mm"    | "lift": "kPa"           | - | "units", "lift": "kPa" is not a unit of length
          "valves_opened": 2 | "valves_opened": 1   | - | 1 valves are opened but 2 head diameters given
          "valves_fitted": 2 | "valves_fitted": 1   | - | valves opened (2) must be from 1 to the valves fitted (1)
          "entry": "bare" | "entry": "trumpet"      | B | use one of: bare, radius, clay, manifold
          "what": "opened | "wat": "opened          | B | "changes" no. 1: "what" is missing
          """)
  void ofThePlan(String from, String to, String seenBySchema, String message) throws IOException {
    String text = changed(Docs.wholeExamples("plan-file.md").get(1), from, to == null ? "" : to);
    assertRefused(message, () -> PlanFile.parse("plan.json", text));
    if (seenBySchema.equals("B")) {
      assertFalse(Schema.of("plan-1").complaints(text).isEmpty());
    }
  }

  @ParameterizedTest
  @CsvSource(
      delimiter = '|',
      quoteCharacter = '`',
      textBlock =
          """
          "step": 0.05 | "step": 0.04  | from 0.05 to 0.5 is not a whole number of steps of 0.04
          "step": 0.05 | "step": -0.05 | above zero
          "step": 0.05 | "step": 1e-9  | at most 500 rungs
          "to": 0.5,   | `` | "to" is missing
          "from": 0.05, "to": 0.5 | "from": 0.5, "to": 0.05 | the lifts fall from 0.5 in to 0.45 in
          """)
  void ofALadderInSteps(String from, String to, String message) throws IOException {
    String text = changed(Docs.wholeExamples("plan-file.md").get(0), from, to == null ? "" : to);
    assertRefused(message, () -> PlanFile.parse("plan.json", text));
  }

  @Test
  void theShortestPlanTakesTheUsualForAllElse() throws IOException {
    Plan plan = PlanFile.parse("plan.json", Docs.wholeExamples("plan-file.md").get(0));
    assertEquals(10, plan.ladder().size());
    assertEquals(
        0.15 * 0.0254, plan.ladder().get(2).liftM(), "in decimal, not 0.15000000000000002");
    assertEquals(0.05, plan.aimBand());
    assertEquals(0.002 * 0.0254, plan.toleranceM());
    assertEquals(plan.testPressurePa(), plan.reference().testPressurePa());
    assertEquals(1, plan.setUp().valvesFitted());
  }

  @Test
  void bothSweepsTakeTheHighestLiftOnceAndTheReturnRungLast() throws IOException {
    List<Rung> ladder =
        PlanFile.parse("plan.json", Docs.wholeExamples("plan-file.md").get(1)).ladder();
    assertEquals(20, ladder.size());
    assertEquals(Unit.MILLIMETRE.toSi(10), ladder.get(9).liftM());
    assertEquals(Sweep.OPENING, ladder.get(9).sweep());
    assertEquals(Unit.MILLIMETRE.toSi(9), ladder.get(10).liftM());
    assertEquals(Sweep.CLOSING, ladder.get(10).sweep());
    assertEquals(Unit.MILLIMETRE.toSi(5), ladder.get(19).liftM());
    assertTrue(ladder.get(19).returnRung());
  }

  @Test
  void missingAndBrokenFilesAreNamed() throws IOException {
    Path file = folder.resolve("bench.json");
    assertRefused("there is no file " + file, () -> BenchFile.read(file));
    Files.writeString(file, "{\n  \"meniscus\": \"bench/1\"\n  \"name\": 1}");
    assertRefused("bench.json, line 3, column 3: not JSON", () -> BenchFile.read(file));
    Files.writeString(file, "[]");
    assertRefused("must hold one object", () -> BenchFile.read(file));
    Files.writeString(file, "{} {}");
    assertRefused("not JSON", () -> BenchFile.read(file));
    Files.writeString(file, "{\"a\":".repeat(5000));
    assertRefused("not JSON", () -> BenchFile.read(file));
    Files.writeString(file, "{\"a\": \"" + "x".repeat(5_000_000) + "\"}");
    assertRefused("larger than 4 MB", () -> BenchFile.read(file));
    Files.writeString(file, "{\"meniscus\": \"bench/1\"}", StandardCharsets.UTF_16);
    assertRefused("save it once more as UTF-8", () -> BenchFile.read(file));
    Files.writeString(file, "{\"meniscus\": \"bench/1\"}", StandardCharsets.UTF_16LE);
    assertRefused("save it once more as UTF-8", () -> BenchFile.read(file));
    assertRefused("cannot be read", () -> BenchFile.read(folder));
  }

  @ParameterizedTest
  @CsvSource(
      delimiter = '|',
      quoteCharacter = '`',
      textBlock =
          """
          {"a": 1, // why      | line 1, column 10: not JSON: JSON has no comments
          {"a": 1, # why       | JSON has no comments
          {"a": 1,}            | the comma before this } is one too many
          {"a": [1, 2,]}       | the comma before this ] is one too many
          {'a': 1}             | double quotation marks
          {"a": “1”}           | plain ones
          {"a": 1, "a": 2}     | stands here twice
          {"a": 0,5}           | Write numbers with a point
          {"a": 1 "b": 2}      | a comma, or a colon, is missing
          {"a": True}          | true and false
          {"a": .5}            | numbers are written as -0.5
          {"a": 1              | it ends too early
          """)
  void whatIsNotJsonIsToldByWhatToDo(String text, String message) throws IOException {
    Path file = Files.writeString(folder.resolve("bench.json"), text);
    assertRefused(message, () -> BenchFile.read(file));
  }

  @Test
  void sheetsComeFromTheProgramOrFromBesideTheBenchFile() throws IOException {
    Path bench = folder.resolve("home").resolve("bench.json");
    Files.createDirectories(bench.resolveSibling("sheets"));
    assertEquals("text-stream", SheetFiles.read("dial-indicator", bench).instrument().driver());
    String own = "{\"meniscus\": \"sheet/1\", \"name\": \"Mine\", \"driver\": \"by-hand\"}";
    Files.writeString(bench.resolveSibling("sheets").resolve("own.json"), own);
    Files.writeString(folder.resolve("outside.json"), own);
    assertEquals("Mine", SheetFiles.read("sheets/own.json", bench).instrument().name());
    assertEquals("Mine", SheetFiles.read("sheets/../sheets/own.json", bench).instrument().name());
    for (String path :
        List.of(
            "../outside.json", "sheets/../../outside.json", folder.resolve("outside.json") + "")) {
      assertRefused("does not lie beside the bench file", () -> SheetFiles.read(path, bench));
    }
    Files.createSymbolicLink(
        bench.resolveSibling("link.json"), folder.resolve("outside.json").toAbsolutePath());
    assertRefused("does not lie beside the bench file", () -> SheetFiles.read("link.json", bench));
    assertRefused("there is no file", () -> SheetFiles.read("none.json", bench));
    assertRefused("there are: board-lines", () -> SheetFiles.read("dial", bench));
  }

  private static String changed(String text, String from, String to) {
    assertTrue(text.contains(from), "the example has no " + from);
    return text.replaceFirst(Pattern.quote(from), Matcher.quoteReplacement(to));
  }

  private static void assertRefused(String message, Executable read) {
    String said = assertThrows(FileNotAccepted.class, read).getMessage();
    assertTrue(said.contains(message), said);
  }
}
