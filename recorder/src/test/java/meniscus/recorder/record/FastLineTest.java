package meniscus.recorder.record;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.ByteArrayOutputStream;
import java.io.OutputStream;
import java.net.InetAddress;
import java.net.ServerSocket;
import java.net.Socket;
import java.nio.ByteBuffer;
import java.nio.ByteOrder;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.Random;
import java.util.concurrent.locks.LockSupport;
import java.util.zip.GZIPInputStream;
import meniscus.core.Needed;
import meniscus.core.lift.Beside;
import meniscus.core.lift.LiftPoint;
import meniscus.core.steadiness.Band;
import meniscus.drivers.line.serial.PseudoTerminal;
import meniscus.recorder.folder.TestFolder;
import meniscus.recorder.record.Recorder.Ran;
import org.junit.jupiter.api.Tag;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/**
 * A tap of the plenum, a probe and a swirl meter on a board that sends 2000 packets a second
 * through a serial port, beside a slow gauge that the flow is read from: a plate, then a whole
 * test.
 */
@Tag("long")
class FastLineTest {

  private static final String BENCH =
      """
      {"meniscus": "bench/1", "name": "Wall tap", "layout": "blower side",
       "instruments": [
         {"id": "gauge", "sheet": "gauge.json",
          "line": {"kind": "tcp", "host": "127.0.0.1", "port": GAUGE}},
         {"id": "board", "sheet": "board.json",
          "line": {"kind": "serial", "port": "BOARD", "baud": 1000000}}],
       "channels": {
         "test_pressure": {"instrument": "gauge", "channel": "test_pressure",
           "low": "0 Pa", "high": "10 kPa", "accuracy": {"absolute": "10 Pa"}},
         "fluctuation_on_bench": {"instrument": "board", "channel": "tap",
           "low": "-3 kPa", "high": "3 kPa", "accuracy": {"absolute": "5 Pa"}},
         "probe": {"instrument": "board", "channel": "pitot",
           "low": "-3 kPa", "high": "3 kPa", "accuracy": {"absolute": "5 Pa"}},
         "room_temperature": {"typed": "21 degC", "within": "2 degC"},
         "room_pressure": {"typed": "1000 hPa", "within": "2 hPa"}},
       "ranges": [{"name": "plate", "element": {"kind": "orifice", "bore": "30 mm",
           "coefficient": {"value": 0.6, "standard_uncertainty": "2 %"}},
         "drop": {"instrument": "gauge", "channel": "element_drop",
           "low": "0 Pa", "high": "10 kPa", "accuracy": {"absolute": "10 Pa", "quantum": "1 Pa"}}}]}
      """;

  private static final String GAUGE =
      """
      {"meniscus": "sheet/1", "name": "x", "driver": "text-stream", "separator": " ", "fields": 2,
       "channels": [{"name": "test_pressure", "unit": "Pa", "field": 1},
                    {"name": "element_drop", "unit": "Pa", "field": 2}]}
      """;

  private static final String BOARD =
      """
      {"meniscus": "sheet/1", "name": "x", "driver": "packet-stream", "framing": "COBS",
       "length": 8,
       "channels": [
         {"role": "counter", "modulus": 65536, "byte": 1, "type": "uint16"},
         {"name": "tap", "unit": "Pa", "byte": 3, "type": "int16", "scale": 0.1},
         {"name": "pitot", "unit": "Pa", "byte": 5, "type": "int16", "scale": 0.1},
         {"name": "swirl", "unit": "1", "byte": 7, "type": "int16", "scale": 0.001}]}
      """;

  private static final String PLATES =
      """
      {"meniscus": "plates/1", "plates": [
        {"name": "30", "bore": "30 mm", "bore_within": "0.01 mm", "origin": "laboratory",
         "coefficient": {"value": 0.611, "standard_uncertainty": "0.25 %"}}]}
      """;

  private static final int RATE_HZ = 2000;
  private static final double SLOW_PA = 40;
  private static final double QUICK_PA = 15;
  private static final double HEAD_PA = 800;
  private static final double SWIRL = 0.25;

  @TempDir private Path temp;

  @Test
  void levelsVelocityAndMeansOfABoardThroughASerialPortAreRecordedAndWorkOutAgain()
      throws Exception {
    Needed.that(Files.exists(Path.of("/dev/ptmx")), "no pseudo-terminals here");
    Path out = temp.resolve("out");
    try (PseudoTerminal port = PseudoTerminal.open();
        ServerSocket gauge = new ServerSocket(0, 1, InetAddress.getLoopbackAddress())) {
      start("board", () -> board(port));
      start("gauge", () -> gauge(gauge));
      Path files = Recorder.files(temp);
      Files.writeString(files.resolve("gauge.json"), GAUGE);
      Files.writeString(files.resolve("board.json"), BOARD);
      Files.writeString(
          files.resolve("bench.json"),
          BENCH
              .replace("GAUGE", String.valueOf(gauge.getLocalPort()))
              .replace("BOARD", port.path()));
      Recorder.change(files.resolve("plan.json"), "[0.1, 0.2, 0.3]", "[0.1, 0.2]");
      calm(files);
      // Never as narrow as that: each rung is averaged as long as it may be.
      Recorder.change(files.resolve("plan.json"), "\"30 s\"", "\"10 s\", \"target\": \"0.001 %\"");
      Ran ran =
          Recorder.run(
              "keep\nkeep\n",
              "record",
              "--bench",
              files.resolve("bench.json"),
              "--plan",
              files.resolve("plan.json"),
              "--out",
              out,
              "--json");
      assertEquals(List.of(1, 2), ran.keptRungs(), ran.out() + ran.err());
    }
    TestFolder folder = TestFolder.open(out);
    assertTrue(
        folder.files().containsAll(List.of("fast.csv.gz", "beside.csv")), "" + folder.files());
    for (LiftPoint point : folder.points()) {
      // A sine's root mean square is its amplitude over √2.
      near(SLOW_PA / Math.sqrt(2), 0.03, point, Band.LOW.word());
      near(QUICK_PA / Math.sqrt(2), 0.03, point, Band.MIDDLE.word());
      near(SLOW_PA / Math.sqrt(2), 0.03, point, Band.LOW.wordOnPlates());
      assertTrue(point.beside(Band.HIGH.word()).isEmpty(), "2 kHz shows nothing up to 2 kHz");
      near(SWIRL, 1e-6, point, "board.swirl");
      // Incompressible, √(2Δp/ρ): at 0.1 of the speed of sound good to Mach²/8, half of which is
      // the density's; air of 21 degC, and of 1000 hPa less half of the test pressure.
      double density = (100_000 - 6975 / 2.0) / (287.05 * 294.15);
      near(Math.sqrt(2 * HEAD_PA / density), 0.01, point, Beside.PROBE_VELOCITY);
    }
    assertTrue(rows(out, "fast.csv.gz") > 10 * RATE_HZ, "two rungs of some seconds");
    assertTrue(rows(out, "samples.csv.gz") < rows(out, "fast.csv.gz") / 10, "not among the others");
    double seconds = folder.points().stream().mapToDouble(p -> p.average().seconds()).sum();
    long tenths = rows(out, "loud.csv.gz");
    // A busy machine loses packets, and no level goes across a gap.
    assertTrue(tenths <= 10 * seconds + 2 && tenths >= 4 * seconds, tenths + " in " + seconds);
    assertTrue(Files.size(out.resolve("loud.csv.gz")) < 20 * 10 * seconds, "and small");
    assertEquals(0, Recorder.run("", "recompute", out).exitCode());
    Path report = temp.resolve("report.html");
    assertEquals(0, Recorder.run("", "report", out, "--out", report).exitCode());
    String said = Files.readString(report);
    for (String column :
        List.of(
            "20 to 100 Hz", "100 to 500 Hz, above plates, dB", "velocity, ft/s", "board.swirl")) {
      assertTrue(said.contains(column), column);
    }
  }

  /** The same tap with a plate on the bench instead of the head. */
  private static void calm(Path files) throws Exception {
    Files.writeString(files.resolve("plates.json"), PLATES);
    Ran ran =
        Recorder.run(
            "downstream\n",
            "calm",
            "--bench",
            files.resolve("bench.json"),
            "--plates",
            files.resolve("plates.json"),
            "--direction",
            "suction",
            "--at",
            "28 inH2O",
            "--seconds",
            "20");
    assertEquals(0, ran.exitCode(), ran.out() + ran.err());
    String index = Files.readString(files.resolve("calm").resolve("calm.json"));
    assertTrue(index.contains("\"fluctuation_100_500_u\""), index);
  }

  private static void near(double expected, double share, LiftPoint point, String name) {
    Beside beside = point.beside(name).orElseThrow(() -> new AssertionError("no " + name));
    assertEquals(expected, beside.value(), share * expected, name);
    assertTrue(beside.u95().isPresent(), name + " has no interval");
  }

  private static long rows(Path folder, String table) throws Exception {
    try (var in = new GZIPInputStream(Files.newInputStream(folder.resolve(table)))) {
      return new String(in.readAllBytes(), StandardCharsets.US_ASCII).lines().count() - 1;
    }
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

  private static void gauge(ServerSocket server) throws Exception {
    Random noise = new Random(28);
    while (!server.isClosed()) {
      try (Socket socket = server.accept()) {
        OutputStream out = socket.getOutputStream();
        while (true) {
          String line = (6973 + noise.nextInt(5)) + " " + (2998 + noise.nextInt(5)) + "\r\n";
          out.write(line.getBytes(StandardCharsets.US_ASCII));
          Thread.sleep(20);
        }
      } catch (java.io.IOException gone) {
        // The next one may come.
      }
    }
  }

  /** Its clock stands while nobody takes what it sends: no burst of old packets afterwards. */
  private static void board(PseudoTerminal port) {
    long sent = 0;
    long origin = System.nanoTime();
    while (true) {
      long due = (System.nanoTime() - origin) * RATE_HZ / 1_000_000_000L;
      ByteArrayOutputStream packets = new ByteArrayOutputStream();
      for (; sent < due; sent++) {
        packets.writeBytes(cobs(packet(sent)));
      }
      long before = System.nanoTime();
      port.write(packets.toByteArray());
      long waited = System.nanoTime() - before;
      if (waited > 100_000_000L) {
        origin += waited;
      }
      LockSupport.parkNanos(5_000_000);
    }
  }

  private static byte[] packet(long number) {
    double seconds = (double) number / RATE_HZ;
    double tap =
        SLOW_PA * Math.sin(2 * Math.PI * 60 * seconds)
            + QUICK_PA * Math.sin(2 * Math.PI * 250 * seconds);
    return ByteBuffer.allocate(8)
        .order(ByteOrder.LITTLE_ENDIAN)
        .putShort((short) number)
        .putShort((short) Math.round(10 * tap))
        .putShort((short) Math.round(10 * HEAD_PA))
        .putShort((short) Math.round(1000 * SWIRL))
        .array();
  }

  /** Cheshire and Baker 1999, for packets of fewer than 254 bytes. */
  private static byte[] cobs(byte[] packet) {
    ByteArrayOutputStream framed = new ByteArrayOutputStream();
    int from = 0;
    for (int at = 0; at <= packet.length; at++) {
      if (at == packet.length || packet[at] == 0) {
        framed.write(at - from + 1);
        framed.write(packet, from, at - from);
        from = at + 1;
      }
    }
    framed.write(0);
    return framed.toByteArray();
  }
}
