package meniscus.recorder.record;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.Map;
import java.util.Random;
import java.util.TreeMap;
import java.util.stream.Stream;
import meniscus.recorder.record.Recorder.Ran;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Tag;
import org.junit.jupiter.api.Test;

/** A calm record that is killed: plates that were recorded need not be mounted again. */
@Tag("long")
class KilledCalmTest extends KilledOnPlates {

  private static final long SEED = 20320204;

  KilledCalmTest() {
    super("calm", "the flow moves by", "a calm record", 6);
  }

  @BeforeEach
  void shortRuns() {
    askedWith("--seconds", "20");
  }

  @Test
  void killedAtRandomMomentsNoRunIsRecordedAgain() throws Exception {
    kill(2, new Random(SEED), SEED);
    assertFalse(Files.exists(beside("calm-suction-large-runs")), "what is stored needs it no more");
  }

  @Test
  @Tag("bench")
  void killedSixtyTimes() throws Exception {
    killSixtyTimes(new Random(SEED + 1), SEED + 1);
  }

  @Test
  void theRecordIsTheOneThatAnUninterruptedSessionWouldHaveTaken() throws Exception {
    assertEquals(0, run().exitCode());
    Map<String, byte[]> whole = calm();
    files();
    killAfter(3, new Random(SEED));
    assertTrue(keptReadings().size() >= 3);
    // The simulated bench has the same minutes again only where a plate is begun anew.
    keepWholePlates();
    assertEquals(0, run().exitCode());
    Map<String, byte[]> taken = calm();
    assertEquals(whole.keySet(), taken.keySet());
    whole.forEach((name, bytes) -> assertArrayEquals(bytes, taken.get(name), name));
  }

  /** Two runs a plate: drops the last when it stands alone. */
  private void keepWholePlates() throws IOException {
    List<String> lines = Files.readAllLines(kept());
    int whole = 1 + (lines.size() - 1) / 2 * 2;
    Files.write(kept(), lines.subList(0, whole));
  }

  private Map<String, byte[]> calm() throws IOException {
    Map<String, byte[]> files = new TreeMap<>();
    try (Stream<Path> listed = Files.list(beside("calm"))) {
      for (Path file : listed.toList()) {
        files.put(file.getFileName().toString(), Files.readAllBytes(file));
      }
    }
    return files;
  }

  @Test
  void runsOfAnotherLengthAreRecordedAgainAndSaid() throws Exception {
    killAfter(2, new Random(SEED));
    askedWith("--seconds", "25");
    Ran ran = run();
    assertTrue(ran.err().contains("was recorded for 20 s, not for 25 s"), ran.err());
    assertEquals(6, read(ran.err()), ran.err());
  }

  @Test
  void samplesThatAreMissingAreRecordedAgainAndSaid() throws Exception {
    killAfter(2, new Random(SEED));
    Path samples;
    try (Stream<Path> listed = Files.list(beside("calm-suction-large-runs"))) {
      samples = listed.sorted().findFirst().orElseThrow();
    }
    String text = Files.readString(samples, StandardCharsets.UTF_8);
    Files.writeString(samples, text.substring(0, text.lastIndexOf('\n', text.length() - 2) + 1));
    int left = keptReadings().size();
    Ran ran = run();
    assertEquals(0, ran.exitCode(), ran.err());
    assertTrue(ran.err().contains("samples are missing; it is read again"), ran.err());
    assertEquals(6 - (left - 1), read(ran.err()), ran.err());
  }
}
