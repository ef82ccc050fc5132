package meniscus.recorder.record;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import com.fasterxml.jackson.databind.JsonNode;
import java.io.BufferedReader;
import java.io.IOException;
import java.io.InputStream;
import java.io.InputStreamReader;
import java.io.OutputStream;
import java.net.InetAddress;
import java.net.ServerSocket;
import java.net.Socket;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Random;
import java.util.concurrent.CompletableFuture;
import java.util.stream.Stream;
import meniscus.drivers.line.serial.PseudoTerminal;
import meniscus.recorder.record.Recorder.Ran;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.Tag;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/**
 * Every driver, and every kind of line, through {@code look}, {@code listen} and a whole {@code
 * record}: an instrument at the far end gives test pressure and drop, and two rungs are kept. Typed
 * readings have {@link ReadByEyeTest}, the simulated bench {@link RecordTest}.
 */
@Tag("long")
class EveryLineTest {

  private static final String BENCH =
      """
      {"meniscus": "bench/1", "name": "One gauge", "layout": "blower side",
       "instruments": [INSTRUMENTS],
       "channels": {
         "test_pressure": {"instrument": "gauge", "channel": "test_pressure",
           "low": "0 Pa", "high": "10 kPa", "accuracy": {"absolute": "10 Pa"}},
         "room_temperature": {"typed": "21 degC", "within": "2 degC"},
         "room_pressure": {"typed": "1000 hPa", "within": "2 hPa"}},
       "ranges": [{"name": "plate", "element": {"kind": "orifice", "bore": "30 mm",
           "coefficient": {"value": 0.6, "standard_uncertainty": "2 %"}},
         "drop": {"instrument": "DROP", "channel": "element_drop",
           "low": "0 Pa", "high": "10 kPa", "accuracy": {"absolute": "10 Pa", "quantum": "1 Pa"}}}]}
      """;

  private static final String CHANNELS =
      "'channels': [{'name': 'test_pressure', 'unit': 'Pa', FIRST},"
          + " {'name': 'element_drop', 'unit': 'Pa', SECOND}]";

  /** 28 inH2O and a drop; with their noise no packet's byte is a special one of its framing. */
  private static final int PRESSURE = 6975;

  private static final int DROP = 3000;

  @TempDir private Path temp;
  private final List<AutoCloseable> open = new ArrayList<>();

  /** What happens at the far end of a line once it is connected to. */
  private interface FarEnd {
    void serve(InputStream in, OutputStream out) throws Exception;
  }

  /** A driver and its sheet, and where the instrument is. */
  private record Row(String name, String driver, String sheet, String place, String line) {}

  @AfterEach
  void close() throws Exception {
    for (AutoCloseable each : open) {
      each.close();
    }
  }

  @Test
  void everyDriverAndEveryLineIsFoundHeardAndRecorded() throws Exception {
    List<Row> rows = new ArrayList<>();
    FarEnd text = (in, out) -> stream(out, noise -> ascii(pair(noise, " ") + "\r\n"));
    String textSheet = "'separator': ' ', 'fields': 2, " + channels("'field': 1", "'field': 2");
    rows.add(tcp("text-stream", "text-stream", textSheet, text));
    rows.add(network("rfc2217", "rfc2217", "text-stream", textSheet, text));
    rows.add(recording("text-stream", textSheet));
    if (Files.exists(Path.of("/dev/ptmx"))) {
      rows.add(serial("text-stream", textSheet));
    }
    String packet =
        ", 'length': 4, " + channels("'byte': 1, 'type': 'uint16'", "'byte': 3, 'type': 'uint16'");
    rows.add(
        tcp(
            "SLIP",
            "packet-stream",
            "'framing': 'SLIP'" + packet,
            (in, out) -> stream(out, noise -> slip(packet(noise)))));
    rows.add(
        tcp(
            "COBS",
            "packet-stream",
            "'framing': 'COBS'" + packet,
            (in, out) -> stream(out, noise -> cobs(packet(noise)))));
    String fields = channels("'field': 1", "'field': 2");
    rows.add(
        tcp(
            "text-ask",
            "text-ask",
            "'every_s': 0.05, 'asks': [{'command': 'P', 'separator': ' ', " + fields + "}]",
            (in, out) -> answer(in, out, "P", " ")));
    rows.add(
        tcp(
            "scpi",
            "scpi",
            "'every_s': 0.05, 'asks': [{'command': 'READ?', 'separator': ',', " + fields + "}]",
            (in, out) -> answer(in, out, "READ?", ",")));
    String registers =
        "'every_s': 0.05, 'reads': [{'address': 0, 'count': 2, "
            + channels("'type': 'uint16'", "'type': 'uint16', 'register': 1")
            + "}]";
    rows.add(tcp("modbus-tcp", "modbus-tcp", registers, EveryLineTest::modbusTcp));
    rows.add(tcp("modbus-rtu", "modbus-rtu", registers, EveryLineTest::modbusRtu));

    List<CompletableFuture<String>> all =
        rows.stream()
            .map(
                row ->
                    CompletableFuture.supplyAsync(
                        () -> tried(row), task -> new Thread(task).start()))
            .toList();
    assertEquals("", String.join("", all.stream().map(CompletableFuture::join).toList()));
    assertTrue(
        Stream.of("text-stream", "packet-stream", "text-ask", "scpi", "modbus-rtu", "modbus-tcp")
            .allMatch(driver -> rows.stream().anyMatch(row -> row.driver().equals(driver))));
  }

  @Test
  void aColumnReadByEyeBesideAGaugeThatStreamsIsRecorded() throws Exception {
    Row row =
        tcp(
            "mixed",
            "text-stream",
            "'separator': ' ', 'fields': 2, " + channels("'field': 1", "'field': 2"),
            (in, out) -> stream(out, noise -> ascii(pair(noise, " ") + "\r\n")));
    Path files = files(row, "columns");
    Files.writeString(
        files.resolve("columns.json"),
        "{\"meniscus\": \"sheet/1\", \"name\": \"Column\", \"driver\": \"by-hand\","
            + " \"channels\": [{\"name\": \"element_drop\", \"unit\": \"mmH2O\"}]}");
    Path out = temp.resolve("mixed-out");
    Ran ran =
        record(
            files,
            out,
            "read element_drop 300..310\nkeep\nread element_drop 250 Pa; element_drop 305\nkeep\n");
    assertEquals(List.of(1, 2), ran.keptRungs(), ran.out() + ran.err());
    for (JsonNode kept : ran.events("kept")) {
      assertEquals("by eye", kept.get("verdict").asText(), ran.out());
      assertTrue(kept.get("seconds").asDouble() > 1, "the gauge that streams is averaged");
    }
    assertTrue(
        ran.events("kept").get(0).get("flow_repeat_u95").asDouble()
            > 1.5 * ran.events("kept").get(1).get("flow_repeat_u95").asDouble(),
        "the first column swung");
    assertEquals(0, Recorder.run("", "recompute", out).exitCode());
  }

  // ------------------------------------------------------------------ what is tried

  /** Empty when all went well. */
  private String tried(Row row) {
    try {
      Path files = files(row, "gauge");
      boolean asks = !row.sheet().startsWith("'separator") && !row.sheet().startsWith("'framing");
      List<Object> look =
          new ArrayList<>(
              List.of(
                  "look",
                  "--json",
                  "--guess",
                  "--seconds",
                  "5",
                  "--sheets",
                  files,
                  "--on",
                  row.place()));
      if (asks) {
        look.add("--ask");
      }
      Ran looked = Recorder.run("", look.toArray());
      JsonNode best = Recorder.json(looked.out()).at("/guesses/0/sheets/0");
      assertTrue(
          best.path("fits").asBoolean() && best.get("sheet").asText().endsWith("gauge.json"),
          "look: " + looked.out() + looked.err());

      Ran heard =
          Recorder.run(
              "", "listen", "--bench", files.resolve("bench.json"), "--seconds", "5", "--json");
      assertTrue(
          heard.events().stream()
              .anyMatch(
                  each ->
                      Math.abs(each.at("/channels/gauge.test_pressure/mean").asDouble() - PRESSURE)
                          < 5),
          "listen: " + heard.out() + heard.err());

      Path out = temp.resolve(row.name() + "-out");
      Ran ran = record(files, out, "keep\nkeep\n");
      assertEquals(List.of(1, 2), ran.keptRungs(), "record: " + ran.out() + ran.err());
      for (JsonNode kept : ran.events("kept")) {
        assertEquals(PRESSURE, 249.08891 * kept.get("test_pressure").asDouble(), 5);
      }
      assertEquals(0, Recorder.run("", "recompute", out).exitCode(), "recompute");
      return "";
    } catch (Exception | AssertionError wrong) {
      return row.name() + ": " + wrong + "\n";
    }
  }

  private Ran record(Path files, Path out, String typed) {
    return Recorder.run(
        typed,
        "record",
        "--bench",
        files.resolve("bench.json"),
        "--plan",
        files.resolve("plan.json"),
        "--out",
        out,
        "--json");
  }

  /**
   * @param drop which instrument gives the drop
   */
  private Path files(Row row, String drop) throws IOException {
    Path files = Recorder.files(Files.createDirectory(temp.resolve(row.name())));
    Files.writeString(
        files.resolve("gauge.json"),
        ("{'meniscus': 'sheet/1', 'name': 'x', 'driver': '"
                + row.driver()
                + "', "
                + row.sheet()
                + "}")
            .replace('\'', '"'));
    String gauge = "{'id': 'gauge', 'sheet': 'gauge.json', 'line': " + row.line() + "}";
    String column =
        drop.equals("gauge") ? "" : ", {'id': '" + drop + "', 'sheet': '" + drop + ".json'}";
    Files.writeString(
        files.resolve("bench.json"),
        BENCH.replace("INSTRUMENTS", (gauge + column).replace('\'', '"')).replace("DROP", drop));
    Recorder.change(files.resolve("plan.json"), "[0.1, 0.2, 0.3]", "[0.1, 0.2]");
    Recorder.change(files.resolve("plan.json"), "\"30 s\"", "\"6 s\"");
    return files;
  }

  private static String channels(String first, String second) {
    return CHANNELS.replace("FIRST", first).replace("SECOND", second);
  }

  // ------------------------------------------------------------------ lines

  private Row tcp(String name, String driver, String sheet, FarEnd far) throws IOException {
    return network(name, "tcp", driver, sheet, far);
  }

  /** The far end takes one connection after the other. A plain one answers nothing of RFC 2217. */
  private Row network(String name, String kind, String driver, String sheet, FarEnd far)
      throws IOException {
    ServerSocket server = new ServerSocket(0, 8, InetAddress.getLoopbackAddress());
    open.add(server);
    start(
        name,
        () -> {
          while (!server.isClosed()) {
            Socket socket = server.accept();
            start(
                name,
                () -> {
                  try (socket) {
                    far.serve(socket.getInputStream(), socket.getOutputStream());
                  }
                });
          }
        });
    int port = server.getLocalPort();
    return new Row(
        name,
        driver,
        sheet,
        kind + ":127.0.0.1:" + port,
        "{'kind': '" + kind + "', 'host': '127.0.0.1', 'port': " + port + "}");
  }

  private Row serial(String driver, String sheet) throws IOException {
    PseudoTerminal port = PseudoTerminal.open();
    open.add(port);
    start(
        "serial",
        () -> {
          Random noise = new Random(28);
          while (true) {
            port.write(pair(noise, " ") + "\r\n");
            Thread.sleep(20);
          }
        });
    return new Row(
        "serial", driver, sheet, port.path(), "{'kind': 'serial', 'port': '" + port.path() + "'}");
  }

  private Row recording(String driver, String sheet) throws IOException {
    StringBuilder lines = new StringBuilder("meniscus line recording 1\n");
    Random noise = new Random(28);
    for (long at = 20_000_000L; at < 60_000_000_000L; at += 20_000_000L) {
      lines.append(at).append(" < ").append(pair(noise, " ")).append("\\r\\n\n");
    }
    Path file = Files.writeString(temp.resolve("recording"), lines);
    return new Row(
        "playback",
        driver,
        sheet,
        "play:" + file,
        "{'kind': 'playback', 'file': '" + file + "', 'speed': 'recorded'}");
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

  // ------------------------------------------------------------------ instruments

  private interface Said {
    byte[] by(Random noise);
  }

  /** Fifty times a second. */
  private static void stream(OutputStream out, Said said) throws Exception {
    Random noise = new Random(28);
    while (true) {
      out.write(said.by(noise));
      Thread.sleep(20);
    }
  }

  private static int pressure(Random noise) {
    return PRESSURE + noise.nextInt(5) - 2;
  }

  private static int drop(Random noise) {
    return DROP + noise.nextInt(5) - 2;
  }

  private static String pair(Random noise, String between) {
    return pressure(noise) + between + drop(noise);
  }

  private static byte[] ascii(String text) {
    return text.getBytes(StandardCharsets.US_ASCII);
  }

  /** Low byte first. */
  private static byte[] packet(Random noise) {
    int pressure = pressure(noise);
    int drop = drop(noise);
    return new byte[] {(byte) pressure, (byte) (pressure >> 8), (byte) drop, (byte) (drop >> 8)};
  }

  /** RFC 1055; none of the bytes is END or ESC. */
  private static byte[] slip(byte[] packet) {
    byte end = (byte) 0xc0;
    return new byte[] {end, packet[0], packet[1], packet[2], packet[3], end};
  }

  /** Cheshire and Baker 1999: no byte is zero, so one code byte leads them all. */
  private static byte[] cobs(byte[] packet) {
    return new byte[] {5, packet[0], packet[1], packet[2], packet[3], 0};
  }

  private static void answer(InputStream in, OutputStream out, String command, String between)
      throws IOException {
    Random noise = new Random(28);
    BufferedReader asked = new BufferedReader(new InputStreamReader(in, StandardCharsets.US_ASCII));
    for (String line = asked.readLine(); line != null; line = asked.readLine()) {
      if (line.equals(command)) {
        out.write(ascii(pair(noise, between) + "\r\n"));
      } else if (line.equals("*IDN?")) {
        out.write(ascii("Invented,Gauge,1,1\r\n"));
      } else if (line.equals("SYST:ERR?")) {
        out.write(ascii("0,\"No error\"\r\n"));
      }
    }
  }

  private static void modbusTcp(InputStream in, OutputStream out) throws IOException {
    Random noise = new Random(28);
    for (byte[] asked = in.readNBytes(12); asked.length == 12; asked = in.readNBytes(12)) {
      byte[] answer = new byte[13];
      System.arraycopy(asked, 0, answer, 0, 2);
      answer[5] = 7;
      System.arraycopy(asked, 6, answer, 6, 2);
      registers(answer, 8, noise);
      out.write(answer);
    }
  }

  private static void modbusRtu(InputStream in, OutputStream out) throws IOException {
    Random noise = new Random(28);
    for (byte[] asked = in.readNBytes(8); asked.length == 8; asked = in.readNBytes(8)) {
      byte[] answer = new byte[9];
      System.arraycopy(asked, 0, answer, 0, 2);
      registers(answer, 2, noise);
      int check = EveryDriverTest.crc(answer, 7);
      answer[7] = (byte) check;
      answer[8] = (byte) (check >> 8);
      out.write(answer);
    }
  }

  private static void registers(byte[] answer, int from, Random noise) {
    int pressure = pressure(noise);
    int drop = drop(noise);
    answer[from] = 4;
    answer[from + 1] = (byte) (pressure >> 8);
    answer[from + 2] = (byte) pressure;
    answer[from + 3] = (byte) (drop >> 8);
    answer[from + 4] = (byte) drop;
  }
}
