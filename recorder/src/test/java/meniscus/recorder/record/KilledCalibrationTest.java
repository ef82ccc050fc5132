package meniscus.recorder.record;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Random;
import java.util.stream.Stream;
import meniscus.recorder.folder.TestFolder;
import meniscus.recorder.record.Recorder.Ran;
import org.junit.jupiter.api.Tag;
import org.junit.jupiter.api.Test;

/** A calibration that is killed: plates that were read need not be mounted again. */
@Tag("long")
class KilledCalibrationTest extends KilledOnPlates {

  private static final long SEED = 20311201;

  KilledCalibrationTest() {
    // The first plate is read again at the end, and that is no repetition to be spared.
    super("calibrate", "good to", "a calibration", 8);
  }

  @Test
  void killedAtRandomMomentsNothingThatWasReadIsReadAgain() throws Exception {
    kill(2, new Random(SEED), SEED);
    everyPlateReadIsAFolderThatWorksOutAgain();
  }

  /** None is left half, and none that counted is missing. */
  private void everyPlateReadIsAFolderThatWorksOutAgain() throws IOException {
    int readings = 0;
    try (Stream<Path> all = Files.list(beside("plate-readings"))) {
      for (Path folder : all.toList()) {
        assertFalse(folder.getFileName().toString().startsWith("."), "left half: " + folder);
        Ran ran = Recorder.run("", "recompute", folder);
        assertEquals(0, ran.exitCode(), ran.out() + ran.err());
        readings += TestFolder.open(folder).readings().size();
      }
    }
    assertTrue(readings >= 8, "readings in folders: " + readings);
  }

  @Test
  @Tag("bench")
  void killedSixtyTimes() throws Exception {
    killSixtyTimes(new Random(SEED + 1), SEED + 1);
  }

  @Test
  void readingsOfAnotherZeroAreNotUsed() throws Exception {
    killAfter(2, new Random(SEED));
    assertTrue(keptReadings().size() >= 2);
    Recorder.change(beside("bench.json"), "\"notes\": \"", "\"notes\": \"zeroed. ");
    Ran ran = run();
    assertTrue(ran.err().contains("are not used"), ran.err());
    assertFalse(ran.err().contains("are used"), ran.err());
    assertFalse(Files.exists(kept()));
  }

  @Test
  void aSpoiltReadingIsReadAgainAndSaid() throws Exception {
    killAfter(2, new Random(SEED));
    List<String> lines = new ArrayList<>(Files.readAllLines(kept()));
    lines.set(1, lines.get(1).substring(0, 40));
    Files.write(kept(), lines);
    Ran ran = run();
    assertTrue(ran.err().contains("line 2"), ran.err());
    assertTrue(ran.err().contains("it is read again"), ran.err());
    assertTrue(ran.exitCode() == 0 || ran.exitCode() == 5, ran.err());
  }
}
