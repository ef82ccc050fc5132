package meniscus.recorder.record;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.BufferedReader;
import java.io.IOException;
import java.io.InputStreamReader;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Random;
import meniscus.recorder.record.Recorder.Ran;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Tag;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** A calibration that is killed: plates that were read need not be mounted again. */
class KilledCalibrationTest {

  private static final long SEED = 20311201;
  private static final String READ = "good to";

  private static final String PLATES =
      """
      {"meniscus": "plates/1", "plates": [
        {"name": "20", "bore": "20 mm", "origin": "laboratory",
         "coefficient": {"value": 0.611, "standard_uncertainty": "0.25 %"}},
        {"name": "44", "bore": "44 mm", "origin": "laboratory",
         "coefficient": {"value": 0.611, "standard_uncertainty": "0.25 %"}},
        {"name": "50", "bore": "50 mm", "origin": "laboratory",
         "coefficient": {"value": 0.611, "standard_uncertainty": "0.25 %"}}]}
      """;

  @TempDir Path temp;

  private Path folder;
  private Path kept;
  private List<Object> command;

  @BeforeEach
  void files() throws IOException {
    folder = Recorder.files(temp);
    Files.writeString(folder.resolve("plates.json"), PLATES);
    kept = folder.resolve("calibrate-suction-large.readings");
    command =
        List.of(
            "calibrate",
            "--bench",
            folder.resolve("bench.json"),
            "--plates",
            folder.resolve("plates.json"),
            "--direction",
            "suction",
            "--range",
            "large",
            "--at",
            "20 inH2O, 28 inH2O",
            "--quick");
  }

  private Ran run() {
    return Recorder.run("", command.toArray());
  }

  private static long read(String said) {
    return said.lines().filter(line -> line.contains(READ)).count();
  }

  private List<String> keptReadings() throws IOException {
    return Files.exists(kept) ? Files.readAllLines(kept).stream().skip(1).toList() : List.of();
  }

  @Test
  void killedAtRandomMomentsNothingThatWasReadIsReadAgain() throws Exception {
    kill(2, new Random(SEED));
  }

  @Test
  @Tag("bench")
  void killedSixtyTimes() throws Exception {
    Random random = new Random(SEED + 1);
    for (int i = 0; i < 12; i++) {
      files();
      kill(5, random);
    }
  }

  private void kill(int times, Random random) throws Exception {
    int readings = (int) read(run().err());
    assertTrue(readings > 3, "readings: " + readings);
    files();
    String before = Files.readString(folder.resolve("bench.json"));
    for (int i = 0; i < times && keptReadings().size() < readings; i++) {
      List<String> earlier = keptReadings();
      int told = killAfter(1 + random.nextInt(3), random);
      List<String> now = keptReadings();
      assertTrue(now.size() >= earlier.size() + told, "kept " + now.size() + ", seed " + SEED);
      assertEquals(earlier, now.subList(0, earlier.size()), "as they were");
      assertTrue(
          Files.exists(folder.resolve("calibrations"))
              || before.equals(Files.readString(folder.resolve("bench.json"))));
    }
    int left = keptReadings().size();
    Ran ran = run();
    assertTrue(ran.exitCode() == 0 || ran.exitCode() == 5, ran.err());
    assertEquals(readings - left, read(ran.err()), ran.err());
    assertEquals(left > 0, ran.err().contains("left by a calibration that was interrupted"));
    assertFalse(Files.exists(kept), "a calibration that is stored needs them no longer");
  }

  /** How many readings it told of before it was killed. */
  private int killAfter(int readings, Random random) throws Exception {
    List<Object> all = new ArrayList<>(command);
    Process process = Recorder.start(folder, all.toArray());
    Path said = folder.resolve("stderr.txt");
    try (BufferedReader out =
        new BufferedReader(
            new InputStreamReader(process.getInputStream(), StandardCharsets.UTF_8))) {
      while (process.isAlive() && read(Files.readString(said)) < readings) {
        Thread.sleep(5);
      }
      Thread.sleep(random.nextInt(100));
      process.toHandle().destroyForcibly();
      process.waitFor();
      assertTrue(out.lines().count() >= 0);
    }
    return (int) read(Files.readString(said));
  }

  @Test
  void readingsOfAnotherZeroAreNotUsed() throws Exception {
    killAfter(2, new Random(SEED));
    assertTrue(keptReadings().size() >= 2);
    Recorder.change(folder.resolve("bench.json"), "\"notes\": \"", "\"notes\": \"zeroed. ");
    Ran ran = run();
    assertTrue(ran.err().contains("are not used"), ran.err());
    assertFalse(ran.err().contains("are used"), ran.err());
    assertFalse(Files.exists(kept));
  }

  @Test
  void aSpoiltReadingIsReadAgainAndSaid() throws Exception {
    killAfter(2, new Random(SEED));
    List<String> lines = new ArrayList<>(Files.readAllLines(kept));
    lines.set(1, lines.get(1).substring(0, 40));
    Files.write(kept, lines);
    Ran ran = run();
    assertTrue(ran.err().contains("line 2"), ran.err());
    assertTrue(ran.err().contains("it is read again"), ran.err());
    assertTrue(ran.exitCode() == 0 || ran.exitCode() == 5, ran.err());
  }
}
