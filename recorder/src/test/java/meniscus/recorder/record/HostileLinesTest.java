package meniscus.recorder.record;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import com.fasterxml.jackson.databind.JsonNode;
import java.io.IOException;
import java.net.InetAddress;
import java.net.ServerSocket;
import java.net.Socket;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.attribute.PosixFilePermissions;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Locale;
import java.util.Random;
import java.util.concurrent.atomic.LongAdder;
import java.util.concurrent.locks.LockSupport;
import meniscus.core.Needed;
import meniscus.drivers.line.serial.PseudoTerminal;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.Tag;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/**
 * Instruments gone mad beside a sound one, on serial ports and on the network: floods, a line that
 * never ends, NUL bytes, an echo that no sheet tells of, a port that may not be opened. Each is
 * named in plain words; the program stays within its 256 MiB, and the sound gauge's test is whole.
 */
@Tag("long")
class HostileLinesTest {

  private static final long SEED = 20321211;

  private static final String STREAM =
      "'driver': 'text-stream', 'channels': [{'name': 'x', 'unit': 'Pa', 'field': 1}]";

  private static final String ASK =
      "'driver': 'text-ask', 'every_s': 0.05, 'asks': [{'command': 'P',"
          + " 'channels': [{'name': 'x', 'unit': 'Pa', 'field': 1}]}]";

  /** Those that are told to be gone; readings of the two others are right, only too many. */
  private static final List<String> MAD =
      List.of(
          "garbage-port", "garbage-net", "endless-port", "endless-net", "nul-port", "echo-port");

  private static final byte[] SOUND = "1234.5\r\n".getBytes(StandardCharsets.US_ASCII);

  @TempDir Path temp;

  private final List<AutoCloseable> open = new ArrayList<>();
  private final StringBuilder instruments = new StringBuilder();
  private Path files;
  private final LongAdder poured = new LongAdder();
  private long bytesPerSecond;

  /** Until then all speak as their sheets say: no test begins before each has been heard. */
  private volatile boolean mad;

  /** Where a mad instrument's bytes go to. */
  private interface Out {
    void write(byte[] bytes) throws Exception;
  }

  @AfterEach
  void close() throws Exception {
    for (AutoCloseable each : open) {
      each.close();
    }
  }

  @Test
  void madInstrumentsAreNamedAndHarmNoOther() throws Exception {
    record(50_000, 2, "4 s");
  }

  @Test
  @Tag("bench")
  void tenMegabytesASecondFromEach() throws Exception {
    record(10_000_000, 2, "8 s");
  }

  private void record(long rate, int rungs, String longest) throws Exception {
    Needed.that(Files.exists(Path.of("/dev/ptmx")), "no pseudo-terminals here");
    bytesPerSecond = rate;
    files = Recorder.files(temp);
    Random random = new Random(SEED);
    byte[] garbage = new byte[100_000];
    random.nextBytes(garbage);
    for (int i = 0; i < garbage.length; i++) {
      // Without a digit no part of it is a reading by chance.
      garbage[i] = garbage[i] >= '0' && garbage[i] <= '9' ? (byte) 'x' : garbage[i];
    }
    byte[] endless = new byte[100_000];
    Arrays.fill(endless, (byte) '7');
    byte[] nothing = new byte[100_000];
    byte[] lines = "1234.5\r\n".repeat(12_500).getBytes(StandardCharsets.US_ASCII);
    serial("garbage-port", STREAM, garbage);
    network("garbage-net", STREAM, garbage);
    serial("endless-port", STREAM, endless);
    network("endless-net", STREAM, endless);
    serial("nul-port", STREAM, nothing);
    serial("lines-port", STREAM, lines);
    network("lines-net", STREAM, lines);
    echo("echo-port");
    Path out = temp.resolve("out");
    Recorder.change(files.resolve("plan.json"), "[0.1, 0.2, 0.3]", lifts(rungs));
    Recorder.change(
        files.resolve("plan.json"), "\"30 s\"", "\"" + longest + "\", \"target\": \"0.001 %\"");
    StreamingGauge gauge = new StreamingGauge();
    open.add(gauge);
    RunningProgram program = record(gauge, List.of());
    open.add(program);
    program.await("next", "");
    double undisturbed = 0;
    for (int rung = 1; rung <= rungs; rung++) {
      program.type("keep");
      JsonNode kept = program.await("kept", "\"rung\":" + rung);
      undisturbed = rung == 1 ? kept.get("flow").asDouble() : undisturbed;
      assertEquals(undisturbed, kept.get("flow").asDouble(), 1e-3 * undisturbed);
      mad = true;
      for (String each : rung < rungs ? MAD : List.<String>of()) {
        if (lost(program, each).isEmpty()) {
          program.await("lost", each + ": ");
        }
      }
    }
    int code = program.end();
    assertTrue(code == 0 || code == 5, program.said());
    assertEquals("", program.said());
    for (String gone : MAD) {
      assertTrue(
          lost(program, gone).contains("what comes does not fit its sheet"),
          gone + ": " + program.seen("lost"));
    }
    assertTrue(lost(program, "nul-port").contains("\\x00\\x00"), lost(program, "nul-port"));
    assertTrue(lost(program, "echo-port").contains("\"P\""), lost(program, "echo-port"));
    assertEquals("", lost(program, "gauge"), "the sound one");
    assertTrue(program.seen("lost").size() < 60, "told now and then: " + program.seen("lost"));
    System.out.printf(
        Locale.ROOT,
        "seven instruments of %.1f MB/s at most beside a sound one: %.0f MB sent, %s%n",
        rate * 1e-6,
        poured.sum() * 1e-6,
        lost(program, "lines-net"));
    assertEquals(0, Recorder.run("", "recompute", out).exitCode());
  }

  private RunningProgram record(StreamingGauge gauge, List<String> prefix) throws IOException {
    gauge.wire(files, instruments.toString());
    return new RunningProgram(
        prefix,
        files,
        "record",
        "--bench",
        files.resolve("bench.json"),
        "--plan",
        files.resolve("plan.json"),
        "--out",
        temp.resolve("out"),
        "--json");
  }

  /** Why an instrument was told to be gone; empty when it was not. */
  private static String lost(RunningProgram program, String instrument) {
    return program.seen("lost").stream()
        .map(event -> event.get("detail").asText())
        .filter(detail -> detail.startsWith(instrument + ": "))
        .findFirst()
        .orElse("");
  }

  private static String lifts(int rungs) {
    List<Double> lifts = new ArrayList<>();
    for (int i = 1; i <= rungs; i++) {
      lifts.add(i / 10.0);
    }
    return lifts.toString();
  }

  // ------------------------------------------------------------------ instruments

  private void instrument(String name, String sheet, String line) throws IOException {
    Files.writeString(
        files.resolve(name + ".json"),
        ("{'meniscus': 'sheet/1', 'name': 'x', " + sheet + "}").replace('\'', '"'));
    instruments.append(
        (",\n {'id': '" + name + "', 'sheet': '" + name + ".json', 'line': " + line + "}")
            .replace('\'', '"'));
  }

  private PseudoTerminal port(String name, String sheet) throws IOException {
    PseudoTerminal port = PseudoTerminal.open();
    open.add(port);
    instrument(name, sheet, "{'kind': 'serial', 'port': '" + port.path() + "'}");
    return port;
  }

  private void serial(String name, String sheet, byte[] bytes) throws IOException {
    PseudoTerminal port = port(name, sheet);
    start(name, () -> pour(bytes, port::write));
  }

  private void network(String name, String sheet, byte[] bytes) throws IOException {
    ServerSocket server = new ServerSocket(0, 4, InetAddress.getLoopbackAddress());
    open.add(server);
    instrument(
        name, sheet, "{'kind': 'tcp', 'host': '127.0.0.1', 'port': " + server.getLocalPort() + "}");
    start(
        name,
        () -> {
          while (true) {
            try (Socket socket = server.accept()) {
              pour(bytes, socket.getOutputStream()::write);
            } catch (IOException gone) {
              if (server.isClosed()) {
                return;
              }
            }
          }
        });
  }

  /** A tenth of a second's share at a time, for ever. */
  private void pour(byte[] bytes, Out out) throws Exception {
    while (!mad) {
      out.write(SOUND);
      Thread.sleep(50);
    }
    int piece = (int) Math.min(bytes.length, bytesPerSecond / 100);
    long due = System.nanoTime();
    for (int from = 0; ; from = from + 2 * piece <= bytes.length ? from + piece : 0) {
      out.write(Arrays.copyOfRange(bytes, from, from + piece));
      poured.add(piece);
      due =
          Math.max(due, System.nanoTime() - 1_000_000_000L)
              + piece * 1_000_000_000L / bytesPerSecond;
      LockSupport.parkNanos(due - System.nanoTime());
    }
  }

  private void echo(String name) throws IOException {
    PseudoTerminal port = port(name, ASK);
    start(
        name,
        () -> {
          while (true) {
            String asked = port.read(50);
            if (!asked.isEmpty()) {
              port.write(mad ? asked : "1234.5\r\n");
            }
          }
        });
  }

  @Test
  void aPortThatMayNotBeOpenedIsSaidWithWhatToDo() throws Exception {
    Needed.that(Files.exists(Path.of("/dev/ptmx")), "no pseudo-terminals here");
    files = Recorder.files(temp);
    PseudoTerminal port = port("denied-port", STREAM);
    Files.setPosixFilePermissions(
        Path.of(port.path()), PosixFilePermissions.fromString("---------"));
    try (StreamingGauge gauge = new StreamingGauge();
        RunningProgram program = record(gauge, withoutRootsRights())) {
      assertEquals(3, program.end(), program.said());
      String said = program.said().strip();
      assertTrue(said.startsWith("denied-port: " + port.path() + " may not be opened"), said);
      assertTrue(said.contains("Let an administrator"), said);
      assertEquals(1, said.lines().count(), said);
      assertFalse(Files.exists(temp.resolve("out")), "nothing was begun");
    }
  }

  /** As any user who is not root: permissions hold. */
  private static List<String> withoutRootsRights() {
    if (!"root".equals(System.getProperty("user.name"))) {
      return List.of();
    }
    Needed.that(Files.isExecutable(Path.of("/usr/bin/setpriv")), "no setpriv: root may open all");
    return List.of("setpriv", "--bounding-set=-dac_override,-dac_read_search", "--inh-caps=-all");
  }

  private interface Work {
    void done() throws Exception;
  }

  private static void start(String name, Work work) {
    Thread thread =
        new Thread(
            () -> {
              try {
                work.done();
              } catch (Exception closed) {
                // The other side has gone, or the test is over.
              }
            },
            name);
    thread.setDaemon(true);
    thread.start();
  }
}
