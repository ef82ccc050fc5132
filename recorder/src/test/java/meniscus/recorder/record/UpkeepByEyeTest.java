package meniscus.recorder.record;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import com.fasterxml.jackson.databind.JsonNode;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayDeque;
import java.util.ArrayList;
import java.util.Deque;
import java.util.List;
import java.util.stream.Stream;
import meniscus.recorder.folder.TestFolder;
import meniscus.recorder.record.Recorder.Ran;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Tag;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/**
 * A bench of liquid columns alone is kept in order: zero, leakage, calibration on plates, plate
 * check. The truth (docs/simulated-bench.md): element 60 mm passes 2.5 % more than the textbook
 * says, plates 0.15 % more than their certificate, the leak on suction is 9e-7 m³/s · (Δp/Pa)^0.6.
 */
@Tag("long")
class UpkeepByEyeTest {

  private static final String SHEET =
      """
      {"meniscus": "sheet/1", "name": "Two water columns", "driver": "by-hand",
       "channels": [{"name": "test_pressure", "unit": "inH2O"}, {"name": "drop", "unit": "inH2O"}]}
      """;

  private static final String BENCH =
      """
      {"meniscus": "bench/1", "name": "Two columns", "units": "inch", "layout": "blower side",
       "plenum": {"volume": "250 L", "standard_uncertainty": "10 L"},
       "instruments": [{"id": "columns", "sheet": "columns.json"}],
       "channels": {
         "test_pressure": {"instrument": "columns", "channel": "test_pressure",
           "low": "-1 inH2O", "high": "60 inH2O", "accuracy": {"quantum": "0.05 inH2O"}},
         "room_temperature": {"typed": "21 degC", "within": "2 degC"},
         "room_pressure": {"typed": "1000 hPa", "within": "15 hPa"}},
       "ranges": [
         {"name": "large", "element": {"kind": "orifice", "bore": "60 mm"},
          "drop": {"instrument": "columns", "channel": "drop",
            "low": "-1 inH2O", "high": "60 inH2O", "accuracy": {"quantum": "0.05 inH2O"}}},
         {"name": "leak", "element": {"kind": "orifice", "bore": "6 mm"},
          "drop": {"instrument": "columns", "channel": "drop",
            "low": "-1 inH2O", "high": "60 inH2O", "accuracy": {"quantum": "0.05 inH2O"}}}]}
      """;

  private static final double STEP = 0.05;
  private static final double AT_PA = 28 * 249.08891;
  private static final long SEED = 20_261_128;

  @TempDir private Path folder;
  private Path bench;
  private Path plates;

  @BeforeEach
  void files() throws IOException {
    bench = Files.writeString(folder.resolve("bench.json"), BENCH);
    plates = folder.resolve("plates.json");
    Files.writeString(folder.resolve("columns.json"), SHEET);
    StringBuilder list = new StringBuilder("{\"meniscus\": \"plates/1\", \"plates\": [");
    for (int bore : new int[] {28, 36, 44, 50}) {
      list.append(bore == 28 ? "" : ",")
          .append("{\"name\": \"" + bore + "\", \"bore\": \"" + bore + " mm\",")
          .append(" \"origin\": \"laboratory\",")
          .append(" \"coefficient\": {\"value\": 0.611, \"standard_uncertainty\": \"0.25 %\"}}");
    }
    Files.writeString(plates, list + "]}");
  }

  private Object[] call(String command, Object... more) {
    return Stream.concat(
            Stream.of(command, "--bench", bench, "--direction", "suction", "--json"),
            Stream.of(more))
        .toArray();
  }

  private Object[] onPlates(String command, Object... more) {
    return Stream.concat(
            Stream.of(call(command, "--plates", plates, "--range", "large")), Stream.of(more))
        .toArray();
  }

  private static PersonAtColumns person(String range) {
    return new PersonAtColumns(SEED, range, STEP);
  }

  private static JsonNode json(Ran ran) {
    return Recorder.json(ran.out().strip());
  }

  private void zeroed(PersonAtColumns person) throws IOException {
    Ran zero = person.answers("zero", "--bench", bench, "--json");
    assertEquals(0, zero.exitCode(), zero.err());
  }

  @Test
  void zeroLeakageCalibrationAndCheckFindTheTruthThroughScalesThatCannotBeSet() throws IOException {
    zeroed(person("leak").withScalesOff(0.1, -0.15));
    Ran leak = person("leak").withScalesOff(0.1, -0.15).answers(call("leakage"));
    assertEquals(0, leak.exitCode(), leak.err());
    JsonNode found = json(leak);
    double flow = found.get("flow_m3_per_s").asDouble();
    double u95 = 2 * found.get("relative_standard_uncertainty").asDouble() * flow;
    assertTrue(found.get("seen").asBoolean(), leak.out());
    assertEquals(9e-7 * Math.pow(AT_PA, 0.6), flow, u95, leak.out());

    Ran calibrated =
        person("large")
            .withScalesOff(0.1, -0.15)
            .answers(onPlates("calibrate", "--at", "12 inH2O, 24 inH2O"));
    assertEquals(0, calibrated.exitCode(), calibrated.out() + calibrated.err());
    JsonNode fitted = json(calibrated);
    double correction = fitted.get("coefficients").get(0).asDouble();
    double relative = fitted.get("relative_u95").asDouble();
    assertEquals(1.025, correction, 1.025 * relative, "u95 " + relative);
    assertTrue(relative < 0.02, "u95 " + relative);

    Ran check =
        person("large").withScalesOff(0.1, -0.15).answers(onPlates("check", "--plate", "44"));
    assertEquals(5, check.exitCode(), check.out() + check.err());
    JsonNode checked = json(check);
    assertTrue(check.err().contains("this check cannot see a fault of 1 %"), check.err());
    assertEquals(1, checked.get("value").asDouble(), checked.get("limit").asDouble());
    assertTrue(checked.get("limit").asDouble() < 0.03, check.out());
  }

  private Ran nothingOnTheDropColumn(Object... more) throws IOException {
    return person("leak")
        .typing(line -> line.startsWith("test") ? line.replaceFirst("drop .*", "drop 0") : line)
        .answers(
            Stream.concat(
                    Stream.of(call("leakage", "--range", "large", "--at", "28 inH2O")),
                    Stream.of(more))
                .toArray());
  }

  /**
   * A column that shows nothing hides a leak of up to what its graduation hides. By hand: one
   * standard uncertainty each of reading and zero is 0.05 inH2O/√12 = 3.60 Pa; a plate of 60 mm
   * between two rooms (ISO 5167-2, eq. 4 at bore ratio 0) at a Reynolds number of 6000 has C =
   * 0.5961 + 0.000521 · (10⁶/6000)^0.7 = 0.615; air of 21 °C and 1000 hPa, half humid, 1.178 kg/m³,
   * is thinner in the plenum by the test pressure of 69.7 hPa.
   */
  @Test
  void aLeakOfWhichNothingIsSeenWeighsNoMoreThanIfItWereNeverMeasured() throws IOException {
    Ran refused = nothingOnTheDropColumn();
    assertEquals(3, refused.exitCode(), refused.err());
    assertTrue(refused.err().contains("could hide in what the gauge cannot tell"), refused.err());
    Ran leak = nothingOnTheDropColumn("--limit", "30 cfm");
    assertEquals(5, leak.exitCode(), leak.err());
    JsonNode found = json(leak);
    assertFalse(found.get("seen").asBoolean());
    assertEquals(0, found.get("flow_m3_per_s").asDouble());
    double density = 1.178 * (1000 - 69.7) / 1000;
    double hidden = 0.615 * Math.PI / 4 * 0.06 * 0.06 * Math.sqrt(2 * 3.60 / density);
    double couldHide = found.get("could_hide_m3_per_s").asDouble();
    assertEquals(2 * Math.sqrt(2) * hidden, couldHide, 0.01 * couldHide, leak.out());
    double oneCfm = Math.pow(0.3048, 3) / 60;
    assertEquals(oneCfm, found.get("limit_m3_per_s").asDouble(), 1e-3 * oneCfm, leak.out());
  }

  @Test
  void theFallOfAColumnTellsTheSameLeak() throws IOException {
    Ran leak = person("leak").answers(call("leakage", "--decay", "--seconds", "16"));
    assertEquals(0, leak.exitCode(), leak.err());
    JsonNode found = json(leak);
    double flow = found.get("flow_m3_per_s").asDouble();
    double u95 = 2 * found.get("relative_standard_uncertainty").asDouble() * flow;
    assertTrue(found.get("seen").asBoolean(), leak.out());
    assertEquals(9e-7 * Math.pow(AT_PA, 0.6), flow, u95, leak.out());
  }

  @Test
  void healthAsksForWhatCanBeDoneByEyeAndNotForACalmRecord() throws IOException {
    assertEquals(
        List.of(
            "see that the bench stands level",
            "take the zero of columns.test_pressure, columns.drop",
            "measure the leakage",
            "calibrate the flow element on plates",
            "check one plate against the calibration",
            "learn the repeatability: the same head off and on six times"),
        stillToDo());
    zeroed(person("large"));
    assertFalse(stillToDo().stream().anyMatch(task -> task.contains("zero")));
    Ran calm = Recorder.run("", onPlates("calm"));
    assertEquals(3, calm.exitCode());
    assertTrue(
        calm.err().contains("columns.test_pressure and columns.drop read by eye"), calm.err());
    assertFalse(calm.err().contains("Mount"), "nobody mounts a plate for nothing: " + calm.err());
  }

  private List<String> stillToDo() {
    JsonNode health = json(Recorder.run("", "health", "--bench", bench, "--json"));
    List<String> tasks = new ArrayList<>();
    health.get("still_to_do").forEach(task -> tasks.add(task.asText()));
    return tasks;
  }

  @Test
  void aCalibrationThatIsInterruptedGoesOnWhereItWas() throws IOException {
    int[] keeps = {0};
    Ran first =
        person("large")
            .typing(line -> line.equals("keep") && ++keeps[0] == 4 ? "" : line)
            .answers(onPlates("calibrate", "--at", "12 inH2O, 24 inH2O"));
    assertEquals(2, first.exitCode(), first.err());
    assertTrue(first.err().contains("standard input has ended"), first.err());
    keeps[0] = 0;
    Ran second =
        person("large")
            .typing(
                line -> {
                  keeps[0] += line.equals("keep") ? 1 : 0;
                  return line;
                })
            .answers(onPlates("calibrate", "--at", "12 inH2O, 24 inH2O"));
    assertEquals(0, second.exitCode(), second.err());
    assertTrue(second.err().contains("3 readings on plate 36, 44"), second.err());
    assertEquals(7, keeps[0], "four plates and the first again at two pressures, three were kept");
    int readings = 0;
    try (Stream<Path> plates = Files.list(folder.resolve("plate-readings"))) {
      for (Path plate : plates.toList()) {
        assertEquals(0, Recorder.run("", "recompute", plate).exitCode(), plate.toString());
        readings += TestFolder.open(plate).readings().size();
      }
    }
    assertEquals(10, readings, "what was typed is worked out again too");
    JsonNode fitted = json(second);
    assertEquals(
        1.025,
        fitted.get("coefficients").get(0).asDouble(),
        1.025 * fitted.get("relative_u95").asDouble());
  }

  @Test
  void whatIsWronglyTypedIsSaidAndTypedAgain() throws IOException {
    Deque<String> mistakes =
        new ArrayDeque<>(
            List.of(
                "keep",
                "four",
                "drop 5 degC",
                "test_pressure 20; drop 5",
                "drop 90; test_pressure 24",
                "read drop 4.8"));
    PersonAtColumns person = person("large");
    person.typing(
        line -> {
          if (line.startsWith("test_pressure")) {
            while (!mistakes.isEmpty()) {
              person.types(mistakes.remove());
            }
          }
          return line;
        });
    Ran ran = person.answers(onPlates("calibrate", "--leave-out", "28", "--at", "24 inH2O"));
    assertEquals(0, ran.exitCode(), ran.err());
    for (String said :
        List.of(
            "nothing to keep yet; still to be typed: test_pressure in inH2O and drop in inH2O",
            "\"four\": type a number",
            "\"degC\" is not a unit of pressure",
            "that test pressure is outside the band of ±5 %",
            "drop is outside its gauge's range: type it again")) {
      assertTrue(ran.err().contains(said), said + "\n" + ran.err());
    }
  }

  @Test
  void aTestPressureThatTheBlowerDoesNotReachIsLeftOut() throws IOException {
    Ran ran =
        person("large")
            .typing(line -> line.startsWith("test_pressure 23") ? "skip" : line)
            .answers(onPlates("calibrate", "--at", "12 inH2O, 24 inH2O"));
    assertEquals(5, ran.exitCode(), ran.err());
    assertTrue(ran.err().contains("plate 44: left out"), ran.err());
    assertTrue(ran.out().contains("was read at one test pressure only"), ran.out());
  }
}
