package meniscus.recorder.record;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import java.io.ByteArrayInputStream;
import java.io.ByteArrayOutputStream;
import java.io.IOException;
import java.io.PrintStream;
import java.net.InetAddress;
import java.net.ServerSocket;
import java.net.Socket;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.Random;
import java.util.TreeMap;
import java.util.TreeSet;
import java.util.function.IntSupplier;
import java.util.zip.GZIPInputStream;
import meniscus.recorder.cli.MeniscusCommand;
import org.junit.jupiter.api.Tag;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** One bench with an instrument for every driver that is shipped, all heard at once over TCP. */
@Tag("long")
class EveryDriverTest {

  private static final long SEED = 28;

  private static final String BENCH =
      """
      {"meniscus": "bench/1", "name": "Mixed", "layout": "blower side",
       "instruments": [INSTRUMENTS],
       "channels": {
         "test_pressure": {"instrument": "modbus-tcp", "channel": "x",
           "low": "0 Pa", "high": "10 kPa", "accuracy": {"absolute": "10 Pa"}},
         "room_temperature": {"typed": "21 degC", "within": "2 degC"},
         "room_pressure": {"instrument": "by-hand", "channel": "x",
           "low": "60 kPa", "high": "110 kPa", "accuracy": {"absolute": "100 Pa"}}},
       "ranges": [{"name": "plate", "element": {"kind": "orifice", "bore": "30 mm",
           "coefficient": {"value": 0.6, "standard_uncertainty": "2 %"}},
         "drop": {"instrument": "modbus-rtu", "channel": "x",
           "low": "0 Pa", "high": "10 kPa", "accuracy": {"absolute": "10 Pa"}}}]}
      """;

  @TempDir private Path temp;
  private final List<String> instruments = new ArrayList<>();
  private final List<ServerSocket> servers = new ArrayList<>();

  @Test
  void listenHearsEveryDriver() throws Exception {
    try {
      stream("text-stream", "'separator': ' ', 'fields': 2", "'field': 2", "A 10\r\n");
      stream(
          "packet-stream",
          "'framing': 'SLIP', 'length': 2",
          "'byte': 1, 'type': 'uint16'",
          "\013\000\300");
      answers(
          "text-ask",
          "'every_s': 0.1, 'asks': [{'command': 'Q', CHANNELS}]",
          "'field': 1",
          3,
          "12\r\n");
      scpi();
      modbusRtu(0.1, () -> 14);
      modbusTcp(0.1, () -> 16);
      add("by-hand", "", "", "");
      Said said = listen("15\n");
      assertEquals(0, said.code(), said.err());
      Map<String, Double> means = means(said.out());
      assertEquals(
          new TreeMap<>(
              Map.of(
                  "text-stream", 10.0,
                  "packet-stream", 11.0,
                  "text-ask", 12.0,
                  "scpi", 13.0,
                  "modbus-rtu", 14.0,
                  "modbus-tcp", 16.0,
                  "by-hand", 15.0)),
          means,
          said.out());
      TreeSet<String> shipped = new TreeSet<>();
      meniscus.recorder.feed.Drivers.shipped().all().forEach(each -> shipped.add(each.id()));
      assertEquals(shipped, new TreeSet<>(means.keySet()), "a driver is not tried here");
    } finally {
      closeAll();
    }
  }

  @Test
  void recordKeepsARungThatTwoInstrumentsAndAPersonRead() throws Exception {
    Random noise = new Random(SEED);
    try {
      modbusTcp(0.02, () -> (int) Math.round(6975 + 4 * noise.nextGaussian()));
      modbusRtu(0.03, () -> (int) Math.round(7000 + 9 * noise.nextGaussian()));
      add("by-hand", "", "", "");
      Path files = Recorder.files(temp);
      for (String sheet : List.of("modbus-tcp", "modbus-rtu", "by-hand")) {
        Files.copy(temp.resolve(sheet + ".json"), files.resolve(sheet + ".json"));
      }
      Files.writeString(
          files.resolve("bench.json"), BENCH.replace("INSTRUMENTS", String.join(",", instruments)));
      Recorder.change(files.resolve("plan.json"), "[0.1, 0.2, 0.3]", "[0.1]");
      Recorder.change(files.resolve("plan.json"), "\"30 s\"", "\"10 s\"");
      Path out = temp.resolve("out");
      Recorder.Ran ran =
          Recorder.run(
              "read 100000\nkeep\nstop\n",
              "record",
              "--bench",
              files.resolve("bench.json"),
              "--plan",
              files.resolve("plan.json"),
              "--out",
              out,
              "--json");
      assertEquals(List.of(1), ran.keptRungs(), ran.out() + ran.err());
      String samples =
          new String(
              new GZIPInputStream(Files.newInputStream(out.resolve("samples.csv.gz")))
                  .readAllBytes(),
              StandardCharsets.UTF_8);
      assertTrue(samples.contains("100000"), "what was typed is not among the samples");
      assertEquals(0, Recorder.run("", "recompute", out).exitCode());
    } finally {
      closeAll();
    }
  }

  private void closeAll() throws IOException {
    for (ServerSocket server : servers) {
      server.close();
    }
  }

  private record Said(int code, String out, String err) {}

  private Said listen(String typed) throws IOException {
    String text;
    try (var in = EveryDriverTest.class.getResourceAsStream("bench.json")) {
      text = new String(in.readAllBytes(), StandardCharsets.UTF_8);
    }
    text =
        text.replaceFirst(
            "(?s)\"instruments\": \\[.*?\\n  \\]",
            "\"instruments\": [" + String.join(",", instruments) + "]");
    for (String gauge : List.of("manometer", "dial", "station")) {
      text = text.replace("\"instrument\": \"" + gauge, "\"instrument\": \"text-stream");
    }
    Path bench = Files.writeString(temp.resolve("bench.json"), text);
    ByteArrayOutputStream out = new ByteArrayOutputStream();
    ByteArrayOutputStream err = new ByteArrayOutputStream();
    int code =
        MeniscusCommand.run(
            new PrintStream(out, true, StandardCharsets.UTF_8),
            new PrintStream(err, true, StandardCharsets.UTF_8),
            new ByteArrayInputStream(typed.getBytes(StandardCharsets.UTF_8)),
            "listen",
            "--bench",
            bench.toString(),
            "--seconds",
            "6",
            "--json");
    return new Said(
        code, out.toString(StandardCharsets.UTF_8), err.toString(StandardCharsets.UTF_8));
  }

  /** The last mean of each instrument's channel {@code x}. */
  private static Map<String, Double> means(String lines) throws IOException {
    Map<String, Double> means = new TreeMap<>();
    for (String line : lines.lines().toList()) {
      JsonNode channels = new ObjectMapper().readTree(line).get("channels");
      channels
          .properties()
          .forEach(
              channel -> {
                if (channel.getKey().endsWith(".x") && !channel.getValue().get("mean").isNull()) {
                  means.put(
                      channel.getKey().replace(".x", ""),
                      channel.getValue().get("mean").asDouble());
                }
              });
    }
    return means;
  }

  private void add(String driver, String members, String channel, String line) throws IOException {
    String channels =
        "'channels': [{'name': 'x', 'unit': 'Pa'"
            + (channel.isEmpty() ? "" : ", ")
            + channel
            + "}]";
    String own = members.contains("CHANNELS") ? members.replace("CHANNELS", channels) : members;
    String rest = members.contains("CHANNELS") ? "" : ", " + channels;
    String sheet =
        "{'meniscus': 'sheet/1', 'name': 'x', 'driver': '"
            + driver
            + "'"
            + (own.isEmpty() ? "" : ", ")
            + own
            + rest
            + "}";
    Files.writeString(temp.resolve(driver + ".json"), sheet.replace('\'', '"'));
    instruments.add(
        ("{'id': '" + driver + "', 'sheet': '" + driver + ".json'" + line + "}")
            .replace('\'', '"'));
  }

  /** What happens at the far end once it is connected to. */
  private interface FarEnd {
    void serve(Socket socket) throws IOException;
  }

  private void serve(String driver, String members, String channel, FarEnd end) throws IOException {
    ServerSocket server = new ServerSocket(0, 1, InetAddress.getLoopbackAddress());
    servers.add(server);
    add(
        driver,
        members,
        channel,
        ", 'line': {'kind': 'tcp', 'host': '127.0.0.1', 'port': " + server.getLocalPort() + "}");
    Thread thread =
        new Thread(
            () -> {
              try (Socket socket = server.accept()) {
                end.serve(socket);
              } catch (IOException closed) {
                // The test is over.
              }
            },
            driver);
    thread.setDaemon(true);
    thread.start();
  }

  private static void write(Socket socket, String bytes) throws IOException {
    socket.getOutputStream().write(bytes.getBytes(StandardCharsets.ISO_8859_1));
  }

  private void stream(String driver, String members, String channel, String frame)
      throws IOException {
    serve(
        driver,
        members,
        channel,
        socket -> {
          for (int i = 0; i < 20; i++) {
            write(socket, frame);
          }
          socket.getInputStream().read();
        });
  }

  /** One and the same answer to every question of some length. */
  private void answers(String driver, String members, String channel, int length, String answer)
      throws IOException {
    serve(
        driver,
        members,
        channel,
        socket -> {
          while (socket.getInputStream().readNBytes(length).length == length) {
            write(socket, answer);
          }
        });
  }

  private void scpi() throws IOException {
    serve(
        "scpi",
        "'every_s': 0.1, 'asks': [{'command': 'READ?', CHANNELS}]",
        "'field': 1",
        socket -> {
          StringBuilder question = new StringBuilder();
          for (int b = socket.getInputStream().read(); b >= 0; b = socket.getInputStream().read()) {
            if (b != '\n') {
              question.append((char) b);
              continue;
            }
            String asked = question.toString().strip();
            question.setLength(0);
            if (asked.endsWith("?")) {
              write(
                  socket,
                  asked.equals("*IDN?")
                      ? "Invented,Meter,1,1\r\n"
                      : asked.equals("READ?") ? "13\r\n" : "0,\"No error\"\r\n");
            }
          }
        });
  }

  private void modbusTcp(double every, IntSupplier register) throws IOException {
    serve(
        "modbus-tcp",
        "'every_s': " + every + ", 'reads': [{'address': 0, CHANNELS}]",
        "'type': 'uint16'",
        socket -> {
          byte[] asked = socket.getInputStream().readNBytes(12);
          while (asked.length == 12) {
            int value = register.getAsInt();
            byte[] answer = {
              asked[0], asked[1], 0, 0, 0, 5, asked[6], 3, 2, (byte) (value >> 8), (byte) value
            };
            socket.getOutputStream().write(answer);
            asked = socket.getInputStream().readNBytes(12);
          }
        });
  }

  private void modbusRtu(double every, IntSupplier register) throws IOException {
    serve(
        "modbus-rtu",
        "'every_s': " + every + ", 'reads': [{'address': 0, CHANNELS}]",
        "'type': 'uint16'",
        socket -> {
          while (socket.getInputStream().readNBytes(8).length == 8) {
            int value = register.getAsInt();
            byte[] answer = {1, 3, 2, (byte) (value >> 8), (byte) value, 0, 0};
            int check = crc(answer, 5);
            answer[5] = (byte) check;
            answer[6] = (byte) (check >> 8);
            socket.getOutputStream().write(answer);
          }
        });
  }

  /** CRC-16/MODBUS, bit by bit as the open specification of Modbus over serial lines has it. */
  static int crc(byte[] bytes, int length) {
    int crc = 0xffff;
    for (int i = 0; i < length; i++) {
      crc ^= bytes[i] & 0xff;
      for (int bit = 0; bit < 8; bit++) {
        crc = (crc & 1) == 1 ? crc >> 1 ^ 0xa001 : crc >> 1;
      }
    }
    return crc;
  }
}
