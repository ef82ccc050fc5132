package meniscus.recorder.file;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.regex.Pattern;
import java.util.stream.Stream;
import meniscus.recorder.cli.Called;
import org.junit.jupiter.api.Test;

/** What {@code --json} prints is what its published schema says, and says so itself. */
class JsonFormsTest {

  @Test
  void theAirOfTheShopSums() {
    says(
        "figure-air",
        Called.with(
            "figure",
            "air",
            "--temperature",
            "20 degC",
            "--pressure",
            "1013 hPa",
            "--humidity",
            "50%",
            "--json"));
  }

  @Test
  void aPlate() {
    says(
        "figure-plate",
        Called.with(
            "figure",
            "plate",
            "--bore",
            "44 mm",
            "--pipe",
            "100 mm",
            "--taps",
            "corner",
            "--drop",
            "28 inH2O",
            "--upstream",
            "1013 hPa",
            "--temperature",
            "20 degC",
            "--humidity",
            "50%",
            "--json"));
  }

  @Test
  void aValve() {
    says(
        "figure-valve",
        Called.with(
            "figure",
            "valve",
            "--head",
            "40 mm",
            "--seat-width",
            "1.5 mm",
            "--seat-angle",
            "45 deg",
            "--throat",
            "34 mm",
            "--stem",
            "7 mm",
            "--lift",
            "8 mm",
            "--json"));
  }

  @Test
  void aFlowAtAnotherTestPressure() {
    says(
        "figure-rescale",
        Called.with(
            "figure",
            "rescale",
            "--flow",
            "200 cfm",
            "--from",
            "28 inH2O",
            "--to",
            "10 inH2O",
            "--json"));
  }

  @Test
  void aForceOnAValve() {
    says(
        "figure-force",
        Called.with("figure", "force", "--head", "40 mm", "--pressure", "28 inH2O", "--json"));
  }

  @Test
  void aNozzleAndAVenturi() {
    Object[] air = {
      "--pipe",
      "100 mm",
      "--drop",
      "10 inH2O",
      "--upstream",
      "101325 Pa",
      "--temperature",
      "20 degC",
      "--humidity",
      "50%",
      "--json"
    };
    says(
        "figure-nozzle",
        Called.with(words(air, "figure", "nozzle", "--kind", "long-radius", "--throat", "50 mm")));
    says(
        "figure-venturi",
        Called.with(words(air, "figure", "venturi", "--kind", "machined", "--throat", "60 mm")));
  }

  @Test
  void twoGaugesOnOnePressure() {
    says(
        "figure-gauges",
        Called.with(
            "figure",
            "gauges",
            "--first",
            "2.01 inH2O, 8.04 inH2O, 20.2 inH2O",
            "--second",
            "2.00 inH2O, 7.88 inH2O, 19.8 inH2O",
            "--accuracy",
            "0.25%",
            "--step",
            "0.01 inH2O",
            "--json"));
  }

  @Test
  void aSpeedAndAMachIndex() {
    says(
        "figure-speed",
        Called.with("figure", "speed", "--flow", "250 cfm", "--area", "2.2 in2", "--json"));
    says(
        "figure-mach-index",
        Called.with(
            "figure",
            "mach-index",
            "--bore",
            "4 in",
            "--stroke",
            "3.5 in",
            "--rpm",
            "6500",
            "--area",
            "723 mm2",
            "--temperature",
            "20 degC",
            "--json"));
  }

  /** Every command that has {@code --json} has a schema, so that none is forgotten. */
  @Test
  void noCommandIsWithoutASchema() throws IOException {
    String source =
        Files.readString(
            Path.of("src/main/java/meniscus/recorder/cli/MeniscusCommand.java"),
            StandardCharsets.UTF_8);
    for (String command : List.of("demo", "page")) {
      assertFalse(help(command).contains("--json"), command + " has a form now");
    }
    List<String> commands =
        Pattern.compile("case \"([a-z]+)\" ->")
            .matcher(source)
            .results()
            .map(m -> m.group(1))
            .toList();
    assertTrue(commands.size() > 15, commands.toString());
    for (String command : commands) {
      boolean prints = help(command).contains("--json") && !command.equals("figure");
      String form = command.equals("report") ? "history" : command;
      assertTrue(
          !prints || Files.exists(Docs.folder().resolve("schemas/" + form + "-1.schema.json")),
          "docs/schemas has none for " + command);
    }
  }

  private static String help(String command) {
    return Called.with(command, "--help").out();
  }

  private static Object[] words(Object[] last, Object... first) {
    return Stream.concat(Stream.of(first), Stream.of(last)).toArray();
  }

  @Test
  void aJudgedRecording() {
    says(
        "judge",
        Called.with(
            "judge",
            "src/test/resources/meniscus/recorder/signal/blower/venturi-blower-21818.csv",
            "--time",
            "t",
            "--column",
            "p2",
            "--json"));
  }

  private static void says(String form, Called called) {
    assertEquals(0, called.code(), called.err());
    String line = called.out().strip();
    assertTrue(line.startsWith("{\"meniscus\":\"" + form + "/1\","), line);
    assertEquals(List.of(), Schema.of(form + "-1").complaints(line), line);
  }
}
