package meniscus.recorder.plugin;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import java.io.ByteArrayInputStream;
import java.io.ByteArrayOutputStream;
import java.io.IOException;
import java.io.OutputStream;
import java.io.PrintStream;
import java.net.InetAddress;
import java.net.ServerSocket;
import java.net.Socket;
import java.nio.charset.StandardCharsets;
import java.nio.file.DirectoryStream;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.function.IntFunction;
import java.util.stream.LongStream;
import java.util.zip.GZIPInputStream;
import meniscus.recorder.cli.MeniscusCommand;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.Tag;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/**
 * One program, one plugin folder: seven hostile jars, two drivers that fail in the middle of a lift
 * test, a good one, and a gauge whose readings are numbered so that a lost one shows.
 */
@Tag("long")
class HostileRecordTest {

  private static final String BENCH =
      """
      {"meniscus": "bench/1", "name": "Beset", "layout": "blower side",
       "instruments": [INSTRUMENTS],
       "channels": {
         "test_pressure": {"instrument": "gauge", "channel": "test_pressure",
           "low": "0 Pa", "high": "10 kPa", "accuracy": {"absolute": "10 Pa"}},
         "room_temperature": {"typed": "21 degC", "within": "2 degC"},
         "room_pressure": {"typed": "1000 hPa", "within": "2 hPa"}},
       "ranges": [{"name": "plate", "element": {"kind": "orifice", "bore": "30 mm",
           "coefficient": {"value": 0.6, "standard_uncertainty": "2 %"}},
         "drop": {"instrument": "gauge", "channel": "element_drop",
           "low": "0 Pa", "high": "10 kPa", "accuracy": {"absolute": "10 Pa"}}}]}
      """;

  /** When this line comes, a driver goes wrong: in the middle of the first rung. */
  private static final int WRONG_AT_LINE = 100;

  @TempDir private Path temp;
  private final List<ServerSocket> servers = new ArrayList<>();
  private final List<String> instruments = new ArrayList<>();
  private Path plugins;

  @AfterEach
  void close() throws IOException {
    for (ServerSocket server : servers) {
      server.close();
    }
  }

  @Test
  void aLiftTestGoesOnBesideSevenHostileJarsAndTwoDriversThatFailLater() throws Exception {
    plugins = Files.createDirectory(temp.resolve("plugins"));
    plugin("a-good", "stranger-gauge", "");
    HostileJars.into(plugins, temp);
    plugin("x", "hangs-later", "if (value == " + WRONG_AT_LINE + ") {" + JarMaker.HANG + "}");
    plugin(
        "y",
        "throws-later",
        "if (value == " + WRONG_AT_LINE + ") throw new AssertionError(\"no\");");
    sheet(
        "gauge",
        "\"driver\": \"text-stream\", \"separator\": \" \", \"fields\": 3, \"channels\": ["
            + "{\"name\": \"test_pressure\", \"unit\": \"Pa\", \"field\": 1},"
            + "{\"name\": \"element_drop\", \"unit\": \"Pa\", \"field\": 2},"
            + "{\"name\": \"number\", \"unit\": \"1\", \"field\": 3}]");
    serve("gauge", n -> (6970 + n % 7) + " " + (3000 + n % 5) + " " + n + "\r\n");
    Files.writeString(
        temp.resolve("bench.json"), BENCH.replace("INSTRUMENTS", String.join(",", instruments)));
    try (var in = getClass().getResourceAsStream("/meniscus/recorder/record/plan.json")) {
      String plan = new String(in.readAllBytes(), StandardCharsets.UTF_8);
      Files.writeString(
          temp.resolve("plan.json"),
          plan.replace("[0.1, 0.2, 0.3]", "[0.1, 0.2]").replace("\"30 s\"", "\"7 s\""));
    }

    ByteArrayOutputStream out = new ByteArrayOutputStream();
    ByteArrayOutputStream err = new ByteArrayOutputStream();
    MeniscusCommand.run(
        new PrintStream(out, true, StandardCharsets.UTF_8),
        new PrintStream(err, true, StandardCharsets.UTF_8),
        new ByteArrayInputStream("keep\nkeep\n".getBytes(StandardCharsets.UTF_8)),
        words());
    String said = out.toString(StandardCharsets.UTF_8);
    String told = err.toString(StandardCharsets.UTF_8);

    List<JsonNode> events = new ArrayList<>();
    for (String line : said.lines().toList()) {
      events.add(new ObjectMapper().readTree(line));
    }
    assertEquals(List.of(1, 2), kept(events), said + told);
    assertEquals(7, told.lines().filter(line -> line.contains(" is not used: ")).count(), told);
    List<String> lost = details(events, "lost");
    for (String id : List.of("hangs-later", "throws-later")) {
      assertTrue(
          lost.stream()
              .anyMatch(
                  each ->
                      each.startsWith(id + ": the driver \"" + id + "\" ")
                          && each.endsWith("is set aside; the other instruments go on")),
          lost.toString());
    }
    assertEquals(2, lost.size(), lost.toString());
    assertEquals(List.of(), details(events, "broken_off"), "neither is used for anything");
    assertNoReadingIsLost("gauge.number");
    assertNoReadingIsLost("stranger-gauge.pressure");
  }

  private String[] words() throws Exception {
    List<String> words =
        new ArrayList<>(
            List.of(
                "record",
                "--bench",
                temp.resolve("bench.json").toString(),
                "--plan",
                temp.resolve("plan.json").toString(),
                "--out",
                temp.resolve("out").toString(),
                "--json",
                "--plugins",
                plugins.toString(),
                "--trusted-jars",
                temp.resolve("trusted-jars").toString()));
    try (DirectoryStream<Path> jars = Files.newDirectoryStream(plugins)) {
      for (Path jar : jars) {
        words.addAll(List.of("--trust", TrustedJars.sha256(jar).orElseThrow()));
      }
    }
    return words.toArray(String[]::new);
  }

  private static List<Integer> kept(List<JsonNode> events) {
    return events.stream()
        .filter(each -> each.get("event").asText().equals("kept"))
        .map(each -> each.get("rung").asInt())
        .toList();
  }

  private static List<String> details(List<JsonNode> events, String kind) {
    return events.stream()
        .filter(each -> each.get("event").asText().equals(kind))
        .map(each -> each.path("detail").asText() + each.path("text").asText())
        .toList();
  }

  /** The far end counts; what was recorded must count on without a gap. */
  private void assertNoReadingIsLost(String column) throws IOException {
    List<String> rows;
    try (var in = new GZIPInputStream(Files.newInputStream(temp.resolve("out/samples.csv.gz")))) {
      rows = new String(in.readAllBytes(), StandardCharsets.UTF_8).lines().toList();
    }
    int index = List.of(rows.get(0).split(",")).indexOf(column);
    long[] numbers =
        rows.stream()
            .skip(1)
            .map(row -> row.split(",", -1)[index])
            .filter(cell -> !cell.isEmpty())
            .mapToLong(cell -> Math.round(Double.parseDouble(cell)))
            .toArray();
    assertTrue(numbers.length > WRONG_AT_LINE, column + " has " + numbers.length + " readings");
    assertEquals(
        LongStream.range(numbers[0], numbers[0] + numbers.length).boxed().toList(),
        LongStream.of(numbers).boxed().toList(),
        column);
  }

  private void plugin(String jar, String id, String failing) throws IOException {
    new JarMaker(temp)
        .driver("Stranger", id, "/*line*/", failing)
        .into(plugins.resolve(jar + ".jar"));
    sheet(id, "\"driver\": \"" + id + "\"");
    serve(id, n -> n + "\n");
  }

  private void sheet(String id, String members) throws IOException {
    Files.writeString(
        temp.resolve(id + ".json"),
        "{\"meniscus\": \"sheet/1\", \"name\": \"" + id + "\", " + members + "}");
  }

  /** Says a line fifty times a second. */
  private void serve(String id, IntFunction<String> line) throws IOException {
    ServerSocket server = new ServerSocket(0, 1, InetAddress.getLoopbackAddress());
    servers.add(server);
    instruments.add(
        "{\"id\": \"%s\", \"sheet\": \"%s.json\", \"line\": {\"kind\": \"tcp\", \"host\": \"127.0.0.1\", \"port\": %d}}"
            .formatted(id, id, server.getLocalPort()));
    Thread thread =
        new Thread(
            () -> {
              try (Socket socket = server.accept()) {
                OutputStream out = socket.getOutputStream();
                for (int n = 1; ; n++) {
                  out.write(line.apply(n).getBytes(StandardCharsets.US_ASCII));
                  Thread.sleep(20);
                }
              } catch (IOException | InterruptedException over) {
                // The test is over, or the driver was set aside.
              }
            },
            id);
    thread.setDaemon(true);
    thread.start();
  }
}
