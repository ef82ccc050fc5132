package meniscus.recorder.record;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import com.fasterxml.jackson.databind.node.ArrayNode;
import com.fasterxml.jackson.databind.node.ObjectNode;
import java.io.File;
import java.io.FileInputStream;
import java.io.IOException;
import java.io.InputStream;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Duration;
import java.util.ArrayList;
import java.util.Collections;
import java.util.List;
import java.util.Locale;
import java.util.Random;
import java.util.concurrent.locks.LockSupport;
import meniscus.drivers.line.serial.PseudoTerminal;
import meniscus.recorder.journal.Journal;
import meniscus.recorder.journal.JournalReader;
import meniscus.recorder.journal.Recovered;
import org.junit.jupiter.api.Tag;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/**
 * What recording costs the processor, beside a program that reads the same bytes off lines of the
 * same kind at the same time and throws them away.
 */
@Tag("long")
class RecordingCostTest {

  /** A test takes an hour: what is compiled in its first minute is no part of it. */
  private static final int WARM_UP_SECONDS = 60;

  private static final int SECONDS = 60;
  private static final long SEED = 20320205;

  @TempDir Path temp;

  @Test
  @Tag("bench")
  void threeAtOneKilohertz() throws Exception {
    run(3, 1_000);
  }

  @Test
  @Tag("bench")
  void eightAtTwoKilohertz() throws Exception {
    run(8, 2_000);
  }

  /** Reads each of the files named until it ends, and does nothing with it. */
  static final class ThrowsAway {
    public static void main(String[] paths) throws InterruptedException {
      List<Thread> readers = new ArrayList<>();
      for (String path : paths) {
        Thread reader = new Thread(() -> read(path), path);
        reader.start();
        readers.add(reader);
      }
      for (Thread reader : readers) {
        reader.join();
      }
    }

    private static void read(String path) {
      byte[] bytes = new byte[64 << 10];
      try (InputStream in = new FileInputStream(path)) {
        while (in.read(bytes) >= 0) {
          // Nothing is done with it.
        }
      } catch (IOException unplugged) {
        // At the end of the measurement.
      }
    }
  }

  private void run(int instruments, int hertz) throws Exception {
    List<PseudoTerminal> recorded = new ArrayList<>();
    List<PseudoTerminal> thrownAway = new ArrayList<>();
    for (int i = 0; i < instruments; i++) {
      recorded.add(PseudoTerminal.open());
      thrownAway.add(PseudoTerminal.open());
    }
    Path files = Recorder.files(temp);
    wire(files.resolve("bench.json"), recorded);
    Path out = files.resolve("out");
    List<Process> programs =
        List.of(
            java(
                files,
                "meniscus.recorder.Main",
                List.of(
                    "record",
                    "--bench",
                    files.resolve("bench.json").toString(),
                    "--plan",
                    files.resolve("plan.json").toString(),
                    "--out",
                    out.toString(),
                    "--json")),
            java(
                files,
                ThrowsAway.class.getName(),
                thrownAway.stream().map(PseudoTerminal::path).toList()));
    Speaking speaking = new Speaking(recorded, thrownAway, hertz);
    try {
      Thread.sleep(WARM_UP_SECONDS * 1000L);
      assertTrue(programs.get(0).isAlive(), () -> said(files));
      List<Duration> before = programs.stream().map(RecordingCostTest::processor).toList();
      long ticks = speaking.ticks;
      long began = System.nanoTime();
      Thread.sleep(SECONDS * 1000L);
      double seconds = (System.nanoTime() - began) * 1e-9;
      double rate = (speaking.ticks - ticks) / seconds;
      double[] share = new double[2];
      for (int i = 0; i < 2; i++) {
        Duration used = processor(programs.get(i)).minus(before.get(i));
        share[i] = used.toNanos() * 1e-9 / seconds;
      }
      speaking.end();
      programs.get(0).getOutputStream().write("stop\n".getBytes(StandardCharsets.UTF_8));
      programs.get(0).getOutputStream().flush();
      programs.get(0).waitFor();
      Recovered written = JournalReader.read(out.resolve(Journal.NAME));
      System.out.printf(
          Locale.ROOT,
          "%d instruments, %.0f lines a second each: %.1f %% of a core to record them, %.1f %% to"
              + " throw them away, %.1f times; %d rows in the journal%n",
          instruments,
          rate,
          100 * share[0],
          100 * share[1],
          share[0] / share[1],
          written.rows());
      assertEquals(List.of(), written.damage());
      double expected = instruments * rate * SECONDS;
      assertTrue(written.rows() > expected, written.rows() + " rows, sent over " + expected);
      assertTrue(
          written.events().stream().noneMatch(event -> event.kind().name().equals("REJECTED")),
          "each line was understood");
    } finally {
      speaking.end();
      programs.forEach(Process::destroyForcibly);
      recorded.forEach(PseudoTerminal::close);
      thrownAway.forEach(PseudoTerminal::close);
    }
  }

  private static String said(Path files) {
    try {
      return Files.readString(files.resolve("meniscus.recorder.Main.err"));
    } catch (IOException e) {
      return e.toString();
    }
  }

  private static Duration processor(Process program) {
    return program.toHandle().info().totalCpuDuration().orElseThrow();
  }

  private static Process java(Path folder, String main, List<String> arguments) throws IOException {
    List<String> command =
        new ArrayList<>(
            List.of(
                Path.of(System.getProperty("java.home"), "bin", "java").toString(),
                "-Xmx256m",
                "-cp",
                System.getProperty("java.class.path"),
                main));
    command.addAll(arguments);
    File said = folder.resolve(main + ".err").toFile();
    return new ProcessBuilder(command)
        .redirectError(said)
        .redirectOutput(ProcessBuilder.Redirect.DISCARD)
        .start();
  }

  /** A manometer and dials, each on a serial port; the room is typed in. */
  private static void wire(Path benchFile, List<PseudoTerminal> ports) throws IOException {
    ObjectMapper json = new ObjectMapper();
    ObjectNode bench = (ObjectNode) json.readTree(Files.readString(benchFile));
    ArrayNode instruments = bench.putArray("instruments");
    for (int i = 0; i < ports.size(); i++) {
      ObjectNode instrument = instruments.addObject();
      instrument.put("id", i == 0 ? "manometer" : i == 1 ? "dial" : "more-" + i);
      instrument.put("sheet", i == 0 ? "two-channel-manometer" : "dial-indicator");
      instrument.putObject("line").put("kind", "serial").put("port", ports.get(i).path());
    }
    ObjectNode channels = (ObjectNode) bench.get("channels");
    JsonNode was = channels.remove(List.of("room_temperature", "room_pressure", "room_humidity"));
    assertTrue(was != null);
    channels.putObject("room_temperature").put("typed", "21 degC").put("within", "1 degC");
    channels.putObject("room_pressure").put("typed", "998 hPa").put("within", "1 hPa");
    Files.writeString(benchFile, bench.toPrettyString());
  }

  /** Sends the same lines to both, by the clock on the wall, on a thread of its own. */
  private static final class Speaking {
    private final List<PseudoTerminal> ports = new ArrayList<>();
    private final Thread thread;
    private volatile boolean ended;
    private volatile long ticks;

    Speaking(List<PseudoTerminal> recorded, List<PseudoTerminal> thrownAway, int hertz) {
      for (int i = 0; i < recorded.size(); i++) {
        Collections.addAll(ports, recorded.get(i), thrownAway.get(i));
      }
      thread = new Thread(() -> speak(hertz), "instruments");
      thread.start();
    }

    private void speak(int hertz) {
      Random random = new Random(SEED);
      long start = System.nanoTime();
      byte[] dial = "L 2.540 mm\r".getBytes(StandardCharsets.US_ASCII);
      while (!ended) {
        long ahead = start + ticks * 1_000_000_000L / hertz - System.nanoTime();
        if (ahead > 0) {
          LockSupport.parkNanos(ahead);
        }
        byte[] manometer = pressures(random);
        for (int i = 0; i < ports.size(); i++) {
          ports.get(i).write(i < 2 ? manometer : dial);
        }
        ticks++;
      }
    }

    private static byte[] pressures(Random random) {
      double test = 28 * (1 + 0.002 * random.nextGaussian());
      double drop = 5.6 * (1 + 0.005 * random.nextGaussian());
      String text = String.format(Locale.ROOT, "P1,%.3f,P2,%.3f", test, drop);
      int check = text.chars().reduce(0, (a, b) -> a ^ b);
      return String.format(Locale.ROOT, "%s*%02X\r\n", text, check)
          .getBytes(StandardCharsets.US_ASCII);
    }

    void end() throws InterruptedException {
      ended = true;
      thread.join();
    }
  }
}
