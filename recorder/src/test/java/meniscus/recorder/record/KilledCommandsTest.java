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
import java.nio.file.StandardWatchEventKinds;
import java.nio.file.WatchEvent;
import java.nio.file.WatchKey;
import java.nio.file.WatchService;
import java.util.Map;
import java.util.Random;
import java.util.concurrent.CompletableFuture;
import java.util.concurrent.TimeUnit;
import java.util.stream.Stream;
import meniscus.core.bench.Upkeep;
import meniscus.recorder.file.BenchFile;
import meniscus.recorder.record.Recorder.Ran;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Tag;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/**
 * Commands that write once, at their end, killed as they write: what was there is whole, and the
 * command can be given again. Those that read plates for long: {@link KilledOnPlates}.
 */
@Tag("long")
class KilledCommandsTest {

  private static final long SEED = 20321201;
  private static final int FULL = 50;

  /** How a process ends that was killed: 128 and the signal's number. */
  private static final int KILLED = 137;

  private static final String CURVE =
      "lift (mm),flow (L/s),test pressure (kPa)\n2,30.5,7\n4,61.25,7\n6,88,7\n8,107.5,7\n";

  @TempDir Path temp;

  private final Random random = new Random(SEED);
  private Path files;
  private Path bench;
  private int killed;

  @BeforeEach
  void writeFiles() throws IOException {
    files = Recorder.files(temp);
    bench = files.resolve("bench.json");
  }

  /**
   * Kills a command some milliseconds after the first file of its own appeared.
   *
   * @param watched where it writes
   * @return whether it was still at work: it may have been quicker
   */
  private boolean kill(Path watched, Object... words) throws Exception {
    Path outside = Files.createTempDirectory(temp, "outside");
    try (WatchService made = temp.getFileSystem().newWatchService()) {
      // What a killed one has left is written over: nothing is created then.
      watched.register(
          made, StandardWatchEventKinds.ENTRY_CREATE, StandardWatchEventKinds.ENTRY_MODIFY);
      Process process = Recorder.start(outside, words);
      process.getOutputStream().close();
      long until = System.nanoTime() + TimeUnit.MINUTES.toNanos(3);
      while (process.isAlive() && !begun(made)) {
        assertTrue(System.nanoTime() < until, "no file of its own within three minutes");
      }
      long killAt = System.nanoTime() + random.nextInt(30_000_000);
      while (System.nanoTime() < killAt) {
        Thread.onSpinWait();
      }
      process.destroyForcibly().waitFor();
      return process.exitValue() == KILLED;
    }
  }

  private static boolean begun(WatchService made) throws InterruptedException {
    WatchKey key = made.poll(50, TimeUnit.MILLISECONDS);
    boolean own = false;
    if (key != null) {
      for (WatchEvent<?> event : key.pollEvents()) {
        own |= !String.valueOf(event.context()).startsWith("test.");
      }
      key.reset();
    }
    return own;
  }

  /**
   * @param code how the command ends that is not killed
   */
  private void upkeep(int kills, int code, Object... words) throws Exception {
    String whole = Files.readString(bench);
    Upkeep asItWas = BenchFile.read(bench).upkeep();
    for (int i = 0; i < kills; i++) {
      Files.writeString(bench, whole);
      killed += kill(files, words) ? 1 : 0;
      Upkeep found = BenchFile.read(bench).upkeep();
      boolean learned = found.zeros().size() + found.leakages().size() > 0;
      assertTrue(learned || found.equals(asItWas), "as it was or as it is now: " + found);
    }
    Ran again = Recorder.run("", words);
    assertEquals(code, again.exitCode(), again.err());
  }

  private Object[] zero() {
    return new Object[] {"zero", "--bench", bench, "--quick", "--json"};
  }

  /** With a doubt: so large a range sees no leak of this bench. */
  private Object[] leakage() {
    return new Object[] {
      "leakage", "--bench", bench, "--quick", "--direction", "suction", "--limit", "30 cfm"
    };
  }

  private void imported(int kills) throws Exception {
    Path csv = Files.writeString(files.resolve("old.csv"), CURVE);
    for (int i = 0; i < kills; i++) {
      Path into = files.resolve("old-" + i);
      killed += kill(files, "import", csv, "--into", into) ? 1 : 0;
      Ran again = Recorder.run("", "import", csv, "--into", into);
      boolean there = Files.exists(into.resolve("curve.json"));
      assertTrue(there, again.err());
      assertEquals(CURVE, Files.readString(into.resolve("original.csv")));
      assertFalse(again.err().contains("Exception"), again.err());
    }
  }

  private void finished(int kills) throws Exception {
    Path left = temp.resolve("left");
    leftUnfinished(left);
    Map<Integer, Double> flows = Map.of();
    for (int i = 0; i <= kills; i++) {
      Path out = temp.resolve("out-" + i);
      Files.createDirectory(out);
      Files.copy(left.resolve("test.journal"), out.resolve("test.journal"));
      if (i > 0) {
        killed += kill(out, "record", "--resume", "--out", out, "--quick", "--json") ? 1 : 0;
      }
      if (!Files.exists(out.resolve("datapackage.json"))) {
        Ran ran = Recorder.run("stop\n", "record", "--resume", "--out", out, "--quick", "--json");
        assertEquals(5, ran.exitCode(), "lifts are left open: " + ran.err());
      }
      flows = i == 0 ? Recorder.flows(out) : flows;
      assertEquals(flows, Recorder.flows(out));
      assertFalse(Files.exists(out.resolve("test.journal")), "nothing is left lying");
      assertEquals(0, Recorder.run("", "recompute", out).exitCode());
    }
    assertEquals(2, flows.size());
  }

  private void leftUnfinished(Path out) throws Exception {
    Process process =
        Recorder.start(
            files,
            Stream.of(
                    "record",
                    "--bench",
                    bench,
                    "--plan",
                    files.resolve("plan.json"),
                    "--out",
                    out,
                    "--quick",
                    "--json")
                .toArray());
    // What hangs is ended, and then says no more.
    CompletableFuture.delayedExecutor(3, TimeUnit.MINUTES).execute(process::destroyForcibly);
    process.getOutputStream().write("keep\nkeep\n".getBytes(StandardCharsets.UTF_8));
    process.getOutputStream().flush();
    try (BufferedReader lines =
        new BufferedReader(
            new InputStreamReader(process.getInputStream(), StandardCharsets.UTF_8))) {
      int kept = 0;
      for (String line = ""; kept < 2; line = lines.readLine()) {
        assertTrue(line != null, Files.readString(files.resolve("stderr.txt")));
        kept += line.contains("\"event\":\"kept\"") ? 1 : 0;
      }
      process.toHandle().destroyForcibly();
      process.waitFor();
    }
  }

  @Test
  void killedAsItWritesEachCanBeGivenAgain() throws Exception {
    upkeep(1, 0, zero());
    upkeep(1, 5, leakage());
    imported(1);
    finished(1);
    System.out.println(
        "zero, leakage, import, finishing: of 4 were at work when killed: " + killed);
  }

  @Test
  @Tag("bench")
  void fiftyKillsOfEach() throws Exception {
    upkeep(FULL, 0, zero());
    upkeep(FULL, 5, leakage());
    imported(FULL);
    finished(FULL);
    System.out.println(
        "zero, leakage, import, finishing: "
            + (killed + " of " + 4 * FULL + " were at work when killed, seed " + SEED));
    assertTrue(killed >= 2 * FULL, "half of them at least");
  }
}
