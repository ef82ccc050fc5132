package meniscus.recorder.record;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import com.fasterxml.jackson.databind.JsonNode;
import java.io.BufferedReader;
import java.io.IOException;
import java.io.InputStreamReader;
import java.io.UncheckedIOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.concurrent.BlockingQueue;
import java.util.concurrent.LinkedBlockingQueue;
import meniscus.core.Needed;
import meniscus.drivers.simulated.SimulatedBench;
import org.junit.jupiter.api.Tag;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** A whole hands-free test through real serial ports and the real serial library. */
@Tag("long")
class SerialPortsTest {

  private static final double[] LIFTS_IN = {0.15, 0.3};
  private static final double INCH_M = 0.0254;
  private static final double INCH_OF_WATER_PA = 249.08891;

  /** No run of the process may take longer [s]. */
  private static final double PATIENCE_SECONDS = 240;

  @TempDir Path temp;

  private final List<String> seen = new ArrayList<>();
  private final BlockingQueue<String> lines = new LinkedBlockingQueue<>();
  private Path files;
  private PluggedBench bench;
  private Process recorder;

  @Test
  void aLiftTestOverThreePortsWithGarbageAndACableThatIsPulledInTheMiddleOfARung()
      throws Exception {
    Needed.that(Files.exists(Path.of("/dev/ptmx")), "no pseudo-terminals here");
    files = Recorder.files(temp);
    Path out = temp.resolve("out");
    Recorder.change(files.resolve("plan.json"), "[0.1, 0.2, 0.3]", "[0.15, 0.3]");
    Recorder.change(files.resolve("plan.json"), "\"30 s\"", "\"10 s\"");
    try (PluggedBench plugged = new PluggedBench(Files.createDirectory(temp.resolve("dev")))) {
      bench = plugged;
      bench.wire(files.resolve("bench.json"));
      recorder =
          Recorder.start(
              files,
              "record",
              "--bench",
              files.resolve("bench.json"),
              "--plan",
              files.resolve("plan.json"),
              "--out",
              out,
              "--hands-free",
              "--json");
      new Thread(this::readLines, "events of the recorder").start();

      await("next", "(1 of ");
      await("begun", "rung=1");
      bench.say(SimulatedBench.DIAL, "\u0000\u00ff#! what is this\r\n");
      await("rejected", "dial: ");
      JsonNode first = await("kept", "\"rung\":1");
      await("begun", "rung=2");
      bench.unplug(SimulatedBench.MANOMETER);
      await("lost", "manometer: ");
      await("broken_off", "an instrument is gone");
      bench.plug(SimulatedBench.MANOMETER);
      await("back", "manometer");
      await("begun", "rung=2");
      JsonNode second = await("kept", "\"rung\":2");
      JsonNode finished = await("finished", "");
      recorder.waitFor();

      assertEquals(2, finished.get("points").asInt());
      assertEquals(out.toString(), finished.get("folder").asText());
      assertTrue(second.get("flow").asDouble() > 1.3 * first.get("flow").asDouble());
      assertTrue(recorder.exitValue() == 0 || recorder.exitValue() == 5, "" + recorder.exitValue());
    } finally {
      recorder.destroyForcibly();
    }
    assertEquals(2, Recorder.flows(out).size());
    assertEquals(0, Recorder.run("", "recompute", out).exitCode());
  }

  private void readLines() {
    try (BufferedReader reader =
        new BufferedReader(
            new InputStreamReader(recorder.getInputStream(), StandardCharsets.UTF_8))) {
      for (String line = reader.readLine(); line != null; line = reader.readLine()) {
        lines.add(line);
      }
    } catch (IOException e) {
      throw new UncheckedIOException(e);
    }
  }

  /** Keeps the bench going until an event of a kind comes that holds a text. */
  private JsonNode await(String kind, String holds) throws Exception {
    long until = System.nanoTime() + (long) (PATIENCE_SECONDS * 1e9);
    while (System.nanoTime() < until) {
      bench.turn();
      for (String line = lines.poll(); line != null; line = lines.poll()) {
        seen.add(line);
        JsonNode event = Recorder.json(line);
        doAsAsked(event);
        if (event.get("event").asText().equals(kind) && line.contains(holds)) {
          return event;
        }
      }
      if (!recorder.isAlive() && lines.isEmpty()) {
        break;
      }
    }
    throw new AssertionError(
        "no \""
            + kind
            + "\" with \""
            + holds
            + "\"; there was: "
            + String.join("\n", seen)
            + "\n"
            + Files.readString(files.resolve("stderr.txt")));
  }

  private void doAsAsked(JsonNode event) {
    if (event.get("event").asText().equals("next")) {
      int rung = Integer.parseInt(event.get("text").asText().replaceAll(".*\\((\\d+) of .*", "$1"));
      bench.goTo(LIFTS_IN[rung - 1] * INCH_M, 28 * INCH_OF_WATER_PA);
    }
  }
}
