package meniscus.recorder.journal;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.BufferedReader;
import java.io.IOException;
import java.io.InputStreamReader;
import java.nio.charset.StandardCharsets;
import java.nio.file.Path;
import java.util.List;
import java.util.Random;
import meniscus.core.lift.LiftPoint;
import meniscus.recorder.disk.Disk;
import org.junit.jupiter.api.Tag;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** SIGKILL at random moments of a running test, again and again on the same journal. */
@Tag("long")
class KillTest {

  @TempDir Path folder;

  @Test
  void aKilledRecorderLosesNothingThatItCalledKept() throws IOException {
    kill(4, 20310510);
  }

  @Test
  @Tag("bench")
  void threeHundredKills() throws IOException {
    kill(300, 20310511);
  }

  private void kill(int times, long seed) throws IOException {
    Random random = new Random(seed);
    int torn = 0;
    long lastRows = 0;
    int lastKept = 0;
    for (int i = 0; i < times; i++) {
      String where = "kill " + (i + 1) + ", seed " + seed;
      String last = runAndKill(random);
      if (last.startsWith("kept ")) {
        String[] words = last.split(" ");
        lastKept = Integer.parseInt(words[1]);
        lastRows = Long.parseLong(words[2]);
      }
      Checked rows = new Checked();
      Recovered found = JournalReader.read(Disk.REAL, folder.resolve(Journal.NAME), rows);
      torn += found.damage().isEmpty() ? 0 : 1;
      assertTrue(found.rows() >= lastRows, where + ": rows " + found.rows() + " < " + lastRows);
      assertEquals(0, found.lostRows(), where);
      assertEquals(0, rows.wrong, where);
      List<LiftPoint> points = found.standing();
      assertTrue(points.size() >= lastKept, where + ": " + points.size() + " < " + lastKept);
      for (int rung = 1; rung <= points.size(); rung++) {
        assertEquals(KilledWriter.pointAt(rung), points.get(rung - 1), where);
      }
    }
    System.out.println(
        "kills "
            + times
            + ", seed "
            + seed
            + ", kept points lost 0 of "
            + lastKept
            + ", wrong rows 0 of "
            + lastRows
            + ", torn tails "
            + torn);
    assertTrue(lastKept > times, "kept only " + lastKept);
  }

  private static final class Checked implements JournalVisitor {
    private long count;
    private long wrong;

    @Override
    public void row(long momentNanos, int instrument, long present, double[] values) {
      boolean right = values[0] == KilledWriter.valueOf(count) && momentNanos == count * 1000;
      wrong += right ? 0 : 1;
      count++;
    }
  }

  /** The last whole line that the program said before it was killed. */
  private String runAndKill(Random random) throws IOException {
    String java = Path.of(System.getProperty("java.home"), "bin", "java").toString();
    Process writer =
        new ProcessBuilder(
                java,
                "-cp",
                System.getProperty("java.class.path"),
                KilledWriter.class.getName(),
                folder.toString())
            .redirectError(ProcessBuilder.Redirect.INHERIT)
            .start();
    try (BufferedReader said =
        new BufferedReader(
            new InputStreamReader(writer.getInputStream(), StandardCharsets.UTF_8))) {
      String last = "";
      for (int lines = 1 + random.nextInt(30); lines > 0; lines--) {
        last = said.readLine();
        assertTrue(last != null, "the writer ended by itself");
      }
      long until = System.nanoTime() + random.nextInt(20_000_000);
      while (System.nanoTime() < until) {
        Thread.onSpinWait();
      }
      writer.toHandle().destroyForcibly(); // Through the handle its output stays readable.
      for (String line = said.readLine(); line != null; line = said.readLine()) {
        last = line.matches("kept \\d+ \\d+") ? line : last;
      }
      writer.onExit().join();
      return last;
    }
  }
}
