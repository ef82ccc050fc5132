package meniscus.recorder.look;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import com.fasterxml.jackson.databind.ObjectMapper;
import java.io.ByteArrayInputStream;
import java.io.ByteArrayOutputStream;
import java.io.IOException;
import java.io.InputStream;
import java.io.PrintStream;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.stream.StreamSupport;
import meniscus.recorder.cli.MeniscusCommand;
import meniscus.recorder.feed.Drivers;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/** {@code look --bench --plan}: what would go wrong is told before any air moves. */
class DryRunTest {

  @TempDir private Path folder;

  private List<Check> checks(String benchFrom, String benchTo, String planFrom, String planTo)
      throws Exception {
    return DryRun.of(
        changed("bench.json", benchFrom, benchTo),
        changed("plan.json", planFrom, planTo),
        Drivers.shipped(),
        1.5);
  }

  private Path changed(String name, String from, String to) throws IOException {
    try (InputStream demo = getClass().getResourceAsStream("/meniscus/recorder/demo/" + name)) {
      String text = new String(demo.readAllBytes(), StandardCharsets.UTF_8);
      assertTrue(text.contains(from), from);
      return Files.writeString(folder.resolve(name), text.replace(from, to));
    }
  }

  private static List<Check> of(List<Check> checks, Check.State state) {
    return checks.stream().filter(each -> each.state() == state).toList();
  }

  @Test
  void aNewBenchIsReadyAndSaysWhatIsStillToBeDone() throws Exception {
    List<Check> checks = checks("60 mm", "60 mm", "28", "28");
    assertEquals(List.of(), of(checks, Check.State.FAULT));
    assertTrue(
        of(checks, Check.State.DOUBT).stream()
            .allMatch(
                each -> each.area() == Check.Area.HEALTH || each.area() == Check.Area.CALIBRATION),
        checks.toString());
    assertEquals(6, checks.stream().filter(c -> c.area() == Check.Area.CHANNELS).count());
  }

  @ParameterizedTest
  @CsvSource(
      delimiter = '|',
      quoteCharacter = '`',
      textBlock =
          """
          "high": "48 inH2O"      | "high": "5 kPa"        | 28 | 28 | FAULT | RANGES | ends at 20.1 inH2O
          "high": "48 inH2O"      | "high": "29 inH2O"     | 28 | 28 | DOUBT | RANGES | may reach 29.4 inH2O
          60 mm                   | 60 mm | 1.94 in | 36 in | DOUBT | PLAN | a valve of 36 in (914 mm) is hardly meant
          60 mm                   | 60 mm | 1.94 in | 1.94 mm | DOUBT | PLAN | is hardly meant
          60 mm                   | 60 mm | "ladder": {"from": 0.05, "to": 0.6, "step": 0.05} | "ladder": {"lifts": ["0.05 mm", "0.1 mm"]} | DOUBT | PLAN | mm for in
          60 mm                   | 60 mm | 0.002 in | 0.05 in | DOUBT | PLAN | two neighbours cannot be told apart
          60 mm                   | 60 mm | "28 inH2O" | "28 Pa" | DOUBT | PLAN | is unusual: is its unit right?
          "high": "1 in"          | "high": "0.5 in" | 28 | 28 | FAULT | RANGES | a lift of 0.6 in is asked, but indicator.lift ends at 0.5 in
          "bore": "60 mm"         | "bore": "20 mm" | 28 | 28 | FAULT | RANGES | take a larger range
          "bore": "60 mm"         | "bore": "200 mm" | 28 | 28 | DOUBT | RANGES | a smaller range tells more
          "channel": "humidity"   | "channel": "damp" | 28 | 28 | FAULT | SHEETS | has no channel "damp"
          "sheet": "dial-indicator" | "sheet": "dial" | 28 | 28 | FAULT | SHEETS | no instrument sheet "dial"
          60 mm                   | 60 mm | "direction": "suction", | `` | FAULT | FILES | "direction" is missing
          "lag": "0.03 s"         | "mean": "1 s", "lag": "0.5 s" | 28 | 28 | DOUBT | RANGES | manometer.element_drop has a moving mean of 1.0 s and a lag of 0.50 s: air that jumps and stays for less than 1.5 s shows as roughness
          "lag": "0.03 s"         | "lag": "0.4 s"         | 28 | 28 | DOUBT | RANGES | has a lag of 0.40 s: air that jumps
          "quantum": "0.001 inH2O" | "quantum": "0.1 inH2O" | 28 | 28 | DOUBT | RANGES | manometer.test_pressure counts in steps of 0.1 inH2O, more than still air moves at 28 inH2O
          "low": "800 hPa", "high": "1100 hPa" | "low": "1050 hPa", "high": "1100 hPa" | 28 | 28 | FAULT | CHANNELS | over range
          """)
  void whatDoesNotFitIsNamed(
      String benchFrom,
      String benchTo,
      String planFrom,
      String planTo,
      Check.State state,
      Check.Area area,
      String words)
      throws Exception {
    List<Check> checks = checks(benchFrom, benchTo, planFrom, planTo == null ? "" : planTo);
    assertTrue(
        of(checks, state).stream()
            .anyMatch(each -> each.area() == area && each.text().contains(words)),
        checks.toString());
  }

  /** A lag of 0.2 s is quicker than what a plenum lets pass; a step of 0.01 inH2O shows air. */
  @Test
  void aGaugeQuickAndFineEnoughIsNotWorthAWord() throws Exception {
    for (String[] change :
        new String[][] {
          {"\"lag\": \"0.03 s\"", "\"lag\": \"0.2 s\""},
          // Of the test pressure alone; a drop that coarse asks for a smaller range, rightly.
          {
            "\"absolute\": \"0.01 inH2O\", \"quantum\": \"0.001 inH2O\"",
            "\"absolute\": \"0.01 inH2O\", \"quantum\": \"0.01 inH2O\""
          }
        }) {
      List<Check> checks = checks(change[0], change[1], "28", "28");
      assertTrue(
          of(checks, Check.State.DOUBT).stream()
              .noneMatch(each -> each.area() == Check.Area.RANGES),
          checks.toString());
    }
  }

  @Test
  void anInstrumentThatIsNotThereOrSaysNothingIsNamed() throws Exception {
    Path quiet = Files.writeString(folder.resolve("quiet"), "meniscus line recording 1\n");
    List<Check> checks =
        checks(
            "\"line\": {\"kind\": \"simulated\", \"instrument\": \"dial-indicator\"}",
            "\"line\": {\"kind\": \"playback\", \"file\": \"" + quiet + "\"}",
            "28",
            "28");
    List<String> faults = of(checks, Check.State.FAULT).stream().map(Check::text).toList();
    assertFalse(faults.isEmpty(), checks.toString());
  }

  /** A recording stands for an instrument of somebody's own. */
  @Test
  void anInstrumentOfOnesOwnStandsBesideSimulatedOnes() throws Exception {
    StringBuilder lines = new StringBuilder("meniscus line recording 1\n");
    for (int i = 1; i < 200; i++) {
      lines.append(i * 20_000_000L).append(" < L +0.000 mm\\r\n");
    }
    Path own = Files.writeString(folder.resolve("own"), lines);
    List<Check> checks =
        checks(
            "\"line\": {\"kind\": \"simulated\", \"instrument\": \"dial-indicator\"}",
            "\"line\": {\"kind\": \"playback\", \"file\": \"" + own + "\"}",
            "28",
            "28");
    assertEquals(List.of(), of(checks, Check.State.FAULT), checks.toString());
    assertEquals(6, checks.stream().filter(c -> c.area() == Check.Area.CHANNELS).count());
  }

  @Test
  void theCommandTellsItAndItsExitCode() throws Exception {
    changed("bench.json", "\"high\": \"48 inH2O\"", "\"high\": \"5 kPa\"");
    changed("plan.json", "28", "28");
    ByteArrayOutputStream out = new ByteArrayOutputStream();
    int code =
        MeniscusCommand.run(
            new PrintStream(out, true, StandardCharsets.UTF_8),
            System.err,
            new ByteArrayInputStream(new byte[0]),
            "look",
            "--bench",
            folder.resolve("bench.json").toString(),
            "--plan",
            folder.resolve("plan.json").toString(),
            "--seconds",
            "1",
            "--json");
    assertEquals(3, code);
    var json = new ObjectMapper().readTree(out.toString(StandardCharsets.UTF_8));
    assertFalse(json.get("ready").asBoolean());
    assertTrue(
        StreamSupport.stream(json.get("checks").spliterator(), false)
            .anyMatch(each -> each.get("state").asText().equals("fault")));
  }
}
