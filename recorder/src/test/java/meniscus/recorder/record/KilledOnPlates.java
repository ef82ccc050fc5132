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
import java.util.Locale;
import java.util.Random;
import meniscus.recorder.record.Recorder.Ran;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.io.TempDir;

/** Reading plates is killed: those that were read need not be mounted again. */
abstract class KilledOnPlates {

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

  private final String command;
  private final String toldOfEach;
  private final String purpose;
  private final int whole;
  private Path folder;
  private List<String> more = List.of();

  /**
   * @param toldOfEach what the operator is told once a reading is kept
   * @param purpose what the readings are for
   * @param whole how many readings there are in all: of three plates at two test pressures
   */
  KilledOnPlates(String command, String toldOfEach, String purpose, int whole) {
    this.command = command;
    this.toldOfEach = toldOfEach;
    this.purpose = purpose;
    this.whole = whole;
  }

  @BeforeEach
  final void files() throws IOException {
    folder = Recorder.files(temp);
    Files.writeString(folder.resolve("plates.json"), PLATES);
  }

  /** A file or folder beside the bench file. */
  final Path beside(String name) {
    return folder.resolve(name);
  }

  /** Where readings are kept until all are there. */
  final Path kept() {
    return beside(command + "-suction-large.readings");
  }

  final void askedWith(String... more) {
    this.more = List.of(more);
  }

  private List<Object> words() {
    List<Object> words =
        new ArrayList<>(
            List.of(
                command,
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
                "--quick"));
    words.addAll(more);
    return words;
  }

  final Ran run() {
    return Recorder.run("", words().toArray());
  }

  final long read(String said) {
    return said.lines().filter(line -> line.contains(toldOfEach)).count();
  }

  final List<String> keptReadings() throws IOException {
    return Files.exists(kept()) ? Files.readAllLines(kept()).stream().skip(1).toList() : List.of();
  }

  /** Sixty kills, in as many sessions as they take. */
  final void killSixtyTimes(Random random, long seed) throws Exception {
    int kills = 0;
    int sessions = 0;
    while (kills < 60) {
      files();
      kills += kill(5, random, seed);
      sessions++;
    }
    System.out.printf(
        Locale.ROOT,
        "%s: %d kills in %d sessions, seed %d: nothing read twice%n",
        command,
        kills,
        sessions,
        seed);
  }

  /**
   * One session, killed and taken up again until all is read.
   *
   * @param times at most
   * @return how often it was killed before all was stored
   */
  final int kill(int times, Random random, long seed) throws Exception {
    int readings = (int) read(run().err());
    assertEquals(whole, readings);
    files();
    String before = Files.readString(folder.resolve("bench.json"));
    int kills = 0;
    while (kills < times && keptReadings().size() < readings) {
      List<String> earlier = keptReadings();
      int told = killAfter(1 + random.nextInt(3), random);
      if (!before.equals(Files.readString(folder.resolve("bench.json")))) {
        // Killed too late: all was read and is stored.
        assertEquals(readings, earlier.size() + told, "read before it was stored, seed " + seed);
        return kills;
      }
      kills++;
      List<String> now = keptReadings();
      assertTrue(now.size() >= earlier.size() + told, "kept " + now.size() + ", seed " + seed);
      assertEquals(earlier, now.subList(0, earlier.size()), "as they were");
    }
    int left = keptReadings().size();
    Ran ran = run();
    assertTrue(ran.exitCode() == 0 || ran.exitCode() == 5, ran.err());
    assertEquals(readings - left, read(ran.err()), ran.err());
    assertEquals(left > 0, ran.err().contains("left by " + purpose + " that was interrupted"));
    assertFalse(Files.exists(kept()), "what is stored needs them no longer");
    return kills;
  }

  /** How many readings it told of before it was killed. */
  final int killAfter(int readings, Random random) throws Exception {
    Process process = Recorder.start(folder, words().toArray());
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
}
