package meniscus.recorder.record;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import com.fasterxml.jackson.databind.JsonNode;
import java.io.BufferedReader;
import java.io.IOException;
import java.io.InputStreamReader;
import java.io.OutputStream;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.Map;
import java.util.concurrent.TimeUnit;
import java.util.stream.Collectors;
import java.util.stream.Stream;
import meniscus.recorder.record.Recorder.Ran;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Tag;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.Timeout;
import org.junit.jupiter.api.io.TempDir;

/** Whole lift tests on a bench that has nothing but liquid columns and a person to read them. */
@Tag("long")
class ReadByEyeTest {

  private static final String BENCH =
      """
      {"meniscus": "bench/1", "name": "Two columns", "units": "inch", "layout": "blower side",
       "instruments": [{"id": "columns", "sheet": "columns.json"}],
       "channels": {
         "test_pressure": {"instrument": "columns", "channel": "test_pressure",
           "low": "0 inH2O", "high": "60 inH2O", "accuracy": {"quantum": "0.1 inH2O"}},
         "room_temperature": {"typed": "70 degF", "within": "3 degF"},
         "room_pressure": {"typed": "29.9 inHg", "within": "0.1 inHg"}},
       "ranges": [{"name": "plate",
         "element": {"kind": "orifice", "bore": "60 mm",
           "coefficient": {"value": 0.6, "standard_uncertainty": "2 %"}},
         "drop": {"instrument": "columns", "channel": "drop",
           "low": "0 inH2O", "high": "60 inH2O", "accuracy": {"quantum": "0.1 inH2O"}}}]}
      """;

  private static final String SHEET =
      """
      {"meniscus": "sheet/1", "name": "Two water columns", "driver": "by-hand",
       "channels": [{"name": "test_pressure", "unit": "inH2O"}, {"name": "drop", "unit": "inH2O"}]}
      """;

  @TempDir private Path temp;
  private Path files;
  private Path out;

  @BeforeEach
  void bench() throws IOException {
    files = Recorder.files(temp);
    out = temp.resolve("out");
    Files.writeString(files.resolve("bench.json"), BENCH);
    Files.writeString(files.resolve("columns.json"), SHEET);
  }

  private Object[] arguments(Object... more) {
    return Stream.concat(
            Stream.of(
                "record",
                "--bench",
                files.resolve("bench.json"),
                "--plan",
                files.resolve("plan.json"),
                "--out",
                out,
                "--json"),
            Stream.of(more))
        .toArray();
  }

  /** A keep that waits for the next lift's readings does not hold up the line that brings them. */
  @Test
  @Timeout(value = 2, unit = TimeUnit.MINUTES, threadMode = Timeout.ThreadMode.SEPARATE_THREAD)
  void handsFreeReadAndKeepLinesNeverWaitForEachOther() throws Exception {
    Ran ran =
        Recorder.run(
            """
            read test_pressure 28.0; drop 4.0
            keep
            keep
            read test_pressure 28.1; drop 8.0
            read test_pressure 28.0; drop 12.0
            keep
            """,
            arguments("--hands-free"));
    assertEquals(0, ran.exitCode(), ran.err());
    assertEquals(List.of(1, 2, 3), ran.keptRungs(), ran.out());
  }

  @Test
  void aWholeLiftTestIsTypedKeptAndWorksOutTheSameAgain() throws Exception {
    Ran ran =
        Recorder.run(
            """
            read test_pressure 28.0; drop 4.0
            keep
            read test_pressure 28.1
            read drop 7.6 to 8.4
            keep
            read test_pressure 27.5–28.5; drop 304.8 mmH2O
            keep
            """,
            arguments());
    assertEquals(0, ran.exitCode(), ran.err());
    assertEquals(List.of(1, 2, 3), ran.keptRungs(), ran.out());
    for (JsonNode kept : ran.events("kept")) {
      assertEquals("by eye", kept.get("verdict").asText());
    }
    Map<Integer, Double> flows = Recorder.flows(out);
    // Root law at one test pressure: three times the drop is √3 times the flow. Only the air before
    // the element differs, by less than 1 %.
    assertEquals(Math.sqrt(3), flows.get(3) / flows.get(1), 0.01);
    double steady = ran.events("kept").get(0).get("flow_repeat_u95").asDouble() / flows.get(1);
    double swinging = ran.events("kept").get(1).get("flow_repeat_u95").asDouble() / flows.get(2);
    // JCGM 100:2008 F.2.2.1 and JCGM 101:2008 6.4.6 by hand: half of the drop's relative error.
    assertEquals(1.96 * 0.5 * Math.hypot(0.0289 / 4, 0.0289 / 28), steady, 0.02 * steady);
    assertEquals(
        1.96 * 0.5 * Math.sqrt(sq(0.4 / Math.sqrt(2) / 8) + sq(0.0289 / 8) + sq(0.0289 / 28.1)),
        swinging,
        0.02 * swinging);
    String budget = Files.readString(out.resolve("budget.csv"));
    assertTrue(budget.contains("drop over the flow element: read by eye"), budget);
    String points = Files.readString(out.resolve("points.csv"));
    assertTrue(points.contains("read by eye: fluctuation, jumps and drift cannot be seen"), points);
    assertTrue(points.lines().skip(1).allMatch(row -> row.endsWith(",true")), points);
    assertEquals(0, Recorder.run("", "recompute", out).exitCode());
  }

  private static double sq(double x) {
    return x * x;
  }

  @Test
  void whatIsWronglyTypedIsSaidAndLosesNothing() throws Exception {
    Recorder.change(files.resolve("plan.json"), "[0.1, 0.2, 0.3]", "[0.1]");
    Ran ran =
        Recorder.run(
            """
            read test_pressure 28.0
            read drop 4 degC
            read drop four
            read 4.0
            read pressure 4.0
            read
            read test_pressure 29; drop 4..x
            read drop 90
            read drop 4.0
            keep
            """,
            arguments());
    assertEquals(0, ran.exitCode(), ran.err());
    assertEquals(List.of(1), ran.keptRungs());
    for (String said :
        List.of(
            "\"drop 4 degC\": \"degC\" is not a unit of pressure; use one of: Pa",
            "\"drop four\": type a number",
            "\"4.0\": say which of test_pressure, drop it is",
            "\"pressure 4.0\": say which of test_pressure, drop it is",
            "type a reading, as \"test_pressure 28.1\"",
            "\"drop 4..x\": type a number")) {
      assertTrue(ran.err().contains(said), said + "\n" + ran.err());
    }
    assertTrue(ran.out().contains("drop is outside its gauge's range"), ran.out());
    assertEquals(28.0, ran.events("kept").get(0).get("test_pressure").asDouble(), 1e-9);
  }

  @Test
  void killedWhileReadingsAreTypedNothingThatWasKeptIsLost() throws Exception {
    Process process = Recorder.start(files, arguments());
    OutputStream typed = process.getOutputStream();
    BufferedReader told =
        new BufferedReader(new InputStreamReader(process.getInputStream(), StandardCharsets.UTF_8));
    for (int rung = 1; rung <= 2; rung++) {
      typed.write(
          ("read test_pressure 28; drop " + 4 * rung + "\nkeep\n")
              .getBytes(StandardCharsets.UTF_8));
      typed.flush();
      String line = "";
      while (line != null && !line.contains("\"event\":\"kept\"")) {
        line = told.readLine();
      }
    }
    typed.write("read test_pressure 28\n".getBytes(StandardCharsets.UTF_8));
    typed.flush();
    process.toHandle().destroyForcibly();
    process.waitFor();

    Ran resumed =
        Recorder.run(
            """
            read test_pressure 28; drop 8.2
            keep
            read drop 12
            read test_pressure 28
            keep
            """,
            arguments("--resume"));
    assertEquals(List.of(2, 3), resumed.keptRungs(), resumed.err());
    assertEquals(1, resumed.events("step").size(), "the last kept rung is taken again");
    Map<Integer, Double> flows = Recorder.flows(out);
    assertEquals(List.of(1, 2, 3), List.copyOf(flows.keySet()));
    assertEquals(Math.sqrt(8.2 / 4), flows.get(2) / flows.get(1), 0.01);
    assertEquals(0, Recorder.run("", "recompute", out).exitCode());
  }

  @Test
  void handsFreeARungIsKeptAsSoonAsBothColumnsAreTyped() throws Exception {
    String typed =
        Stream.of(4, 8, 12)
            .map(drop -> "read drop " + drop + "\nread test_pressure 28\n")
            .collect(Collectors.joining());
    Ran ran = Recorder.run(typed, arguments("--hands-free"));
    assertEquals(List.of(1, 2, 3), ran.keptRungs(), ran.out() + ran.err());
    Map<Integer, Double> flows = Recorder.flows(out);
    assertEquals(Math.sqrt(2), flows.get(2) / flows.get(1), 0.01);
    assertEquals(Math.sqrt(3), flows.get(3) / flows.get(1), 0.01);
  }

  @Test
  void beforeAndAfterAreComparedWithTheirWideIntervals() throws Exception {
    for (String test : List.of("before", "after")) {
      out = temp.resolve(test);
      double drop = test.equals("before") ? 4 : 5;
      Recorder.run("read test_pressure 28; drop " + drop + "\nkeep\nstop\n", arguments());
    }
    Ran compared =
        Recorder.run(
            "", "compare", temp.resolve("before"), "--after", temp.resolve("after"), "--json");
    assertEquals(0, compared.exitCode(), compared.err());
    JsonNode lift = Recorder.json(compared.out().strip()).get("lifts").get(0);
    assertFalse(lift.get("difference_percent").isNull(), compared.out());
    assertEquals(100 * (Math.sqrt(5.0 / 4) - 1), lift.get("difference_percent").asDouble(), 0.5);
  }

  @Test
  void aColumnWithoutAGraduationIsRefusedBeforeAnythingIsWritten() throws Exception {
    Recorder.change(
        files.resolve("bench.json"),
        "\"accuracy\": {\"quantum\": \"0.1 inH2O\"}}}]}",
        "\"accuracy\": {\"absolute\": \"0.1 inH2O\"}}}]}");
    Ran ran = Recorder.run("", arguments());
    assertEquals(4, ran.exitCode(), ran.err());
    assertTrue(ran.err().contains("element_drop is read by eye"), ran.err());
    assertFalse(Files.exists(out));
  }
}
