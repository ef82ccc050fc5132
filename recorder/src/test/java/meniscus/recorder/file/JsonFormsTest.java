package meniscus.recorder.file;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.List;
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
