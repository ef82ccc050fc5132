package meniscus.recorder.record;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.Map;
import java.util.concurrent.atomic.AtomicBoolean;
import meniscus.core.Needed;
import meniscus.core.instrument.Settings;
import meniscus.drivers.line.Line;
import meniscus.drivers.line.Lines;
import meniscus.drivers.line.serial.PseudoTerminal;
import meniscus.recorder.record.Recorder.Ran;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Tag;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.ValueSource;

/** One clear message, the right exit code, and nothing half-written. */
@Tag("long")
class BadInputTest {

  @TempDir Path temp;

  private Path files;
  private Path out;

  @BeforeEach
  void writeFiles() throws IOException {
    files = Recorder.files(temp);
    out = temp.resolve("out");
  }

  private void refused(int exitCode, String... words) {
    Ran ran = Recorder.record(files, out, "", "--hands-free");
    assertEquals(exitCode, ran.exitCode(), ran.err());
    assertEquals("", ran.out());
    assertEquals(1, ran.err().strip().lines().count(), "one message: " + ran.err());
    for (String word : words) {
      assertTrue(ran.err().contains(word), "\"" + word + "\" in: " + ran.err());
    }
    assertFalse(ran.err().contains("Exception"), ran.err());
    assertFalse(Files.exists(out), "nothing is written");
  }

  @ParameterizedTest
  @CsvSource(
      delimiter = '|',
      quoteCharacter = '~',
      value = {
        "bench.json | \"notes\" | \"ntoes\" | ntoes",
        "bench.json | \"absolute\": \"1 hPa\" | \"absolute\": \"1 V\" | \"V\" is not a unit of pressure",
        "bench.json | \"id\": \"dial\" | \"id\": \"manometer\" | manometer",
        "bench.json | \"channel\": \"lift\" | \"channel\": \"height\" | height",
        "bench.json | \"channel\": \"element_drop\" | \"channel\": \"test_pressure\" | test_pressure",
        "bench.json | \"channel\": \"humidity\" | \"channel\": \"temperature\" | temperature",
        "bench.json | \"bore\": \"60 mm\", | | bore",
        "bench.json | \"sheet\": \"dial-indicator\" | \"sheet\": \"dial-indcator\" | dial-indcator",
        "bench.json | bench/1 | bench/9 | bench/9",
        "plan.json | \"longest\" | \"longset\" | longset",
        "plan.json | \"28 inH2O\" | \"28 kg\" | \"kg\" is not a unit of pressure",
        "plan.json | [0.1, 0.2, 0.3] | [0.3, 0.2, 0.1] | clos",
        "plan.json | [0.1, 0.2, 0.3] | [] | ladder",
        "plan.json | \"longest\": \"30 s\" | \"range\": \"huge\" | huge",
        "plan.json | \"units\": \"inch\" | \"units\": \"cubit\" | cubit"
      })
  void aFileThatDoesNotFitIsRefusedInWords(String file, String from, String to, String word)
      throws IOException {
    Recorder.change(files.resolve(file), from, to == null ? "" : to);
    refused(4, word);
  }

  @Test
  void aPlanIsCalledByItsOwnersName() throws IOException {
    Path mine = Files.move(files.resolve("plan.json"), files.resolve("heron-intake.json"));
    Recorder.change(mine, "\"ladder\"", "\"lader\"");
    String bench = files.resolve("bench.json").toString();
    Ran ran = Recorder.run("", "record", "--bench", bench, "--plan", mine, "--out", out);
    assertEquals(4, ran.exitCode());
    assertTrue(ran.err().contains("heron-intake.json: \"ladder\" is missing"), ran.err());
    assertTrue(ran.err().contains("you wrote \"lader\""), ran.err());
    assertFalse(Files.exists(out), "nothing is written");
  }

  @Test
  void aMissingFileIsNamed() throws IOException {
    Files.delete(files.resolve("plan.json"));
    refused(4, "plan.json");
  }

  @Test
  void aTestHasAFolderOfItsOwn() throws IOException {
    Path other = Files.createDirectories(temp.resolve("photos"));
    Files.writeString(other.resolve("bowl.jpg"), "a picture");
    for (String replace : List.of("--hands-free", "--replace")) {
      Recorder.Ran ran = Recorder.record(files, other, "keep\n", replace);
      assertEquals(4, ran.exitCode(), ran.err());
      assertTrue(ran.err().contains("holds other things (bowl.jpg)"), ran.err());
    }
    assertEquals("a picture", Files.readString(other.resolve("bowl.jpg")));
  }

  @ParameterizedTest
  @ValueSource(strings = {"calibrations", "calibrations/1", "calm"})
  void theFoldersOfTheBenchAreNoPlaceForATest(String name) {
    Recorder.Ran ran = Recorder.record(files, files.resolve(name), "keep\n");
    assertEquals(4, ran.exitCode(), ran.err());
    assertTrue(ran.err().contains("belongs to the bench"), ran.err());
    assertFalse(Files.exists(files.resolve(name)));
  }

  @Test
  void wrongUsageSaysWhatIsMissing() {
    Ran ran = Recorder.run("", "record", "--out", out);
    assertEquals(2, ran.exitCode());
    assertTrue(ran.err().contains("--bench"), ran.err());
    assertFalse(Files.exists(out));
  }

  @Test
  void resumingWhereNothingIsSaysSo() {
    Ran ran = Recorder.run("", "record", "--out", out, "--resume");
    assertEquals(4, ran.exitCode());
    assertTrue(ran.err().contains(out.toString()), ran.err());
  }

  // ------------------------------------------------------------------ lines

  private void dialOn(String port) throws IOException {
    for (String id : new String[] {"two-channel-manometer", "room-air-station"}) {
      Recorder.change(
          files.resolve("bench.json"),
          "{\"kind\": \"simulated\", \"instrument\": \"" + id + "\"}",
          "{\"kind\": \"serial\", \"port\": \"" + port + "-none\"}");
    }
    Recorder.change(
        files.resolve("bench.json"),
        "{\"kind\": \"simulated\", \"instrument\": \"dial-indicator\"}",
        "{\"kind\": \"serial\", \"port\": \"" + port + "\"}");
  }

  /** The dial alone is real; the others are what they are not asked for. */
  private void onlyTheDialOn(String port) throws IOException {
    dialOn(port);
    String bench = Files.readString(files.resolve("bench.json"));
    Files.writeString(files.resolve("bench.json"), bench.replace(port + "-none", port));
  }

  @Test
  void aPortThatIsNotThereIsNamed() throws IOException {
    dialOn("/dev/ttyNONE7");
    refused(3, "/dev/ttyNONE7", "no serial port");
  }

  @Test
  void aPortThatAnotherProgramHoldsIsNamed() throws Exception {
    Needed.that(Files.exists(Path.of("/dev/ptmx")), "no pseudo-terminals here");
    try (PseudoTerminal port = PseudoTerminal.open();
        Line held =
            Lines.opener(new Settings("test", Map.of("kind", "serial", "port", port.path())))
                .open()) {
      onlyTheDialOn(port.path());
      refused(3, port.path(), "is held by another program");
      assertTrue(held != null);
    }
  }

  @Test
  void aSheetThatMatchesNothingIsNamedWithWhatCame() throws Exception {
    Needed.that(Files.exists(Path.of("/dev/ptmx")), "no pseudo-terminals here");
    AtomicBoolean over = new AtomicBoolean();
    try (PseudoTerminal manometer = PseudoTerminal.open();
        PseudoTerminal dial = PseudoTerminal.open();
        PseudoTerminal station = PseudoTerminal.open()) {
      Map<String, String> ports =
          Map.of(
              "two-channel-manometer", manometer.path(),
              "dial-indicator", dial.path(),
              "room-air-station", station.path());
      for (Map.Entry<String, String> port : ports.entrySet()) {
        Recorder.change(
            files.resolve("bench.json"),
            "{\"kind\": \"simulated\", \"instrument\": \"" + port.getKey() + "\"}",
            "{\"kind\": \"serial\", \"port\": \"" + port.getValue() + "\"}");
      }
      Thread talker =
          new Thread(
              () -> {
                while (!over.get()) {
                  dial.write("weight 12.5 kg\r\n");
                  station.read(20);
                }
              });
      talker.start();
      try {
        refused(3, "dial", "weight 12.5 kg", "is it the right sheet");
      } finally {
        over.set(true);
        talker.join();
      }
    }
  }
}
