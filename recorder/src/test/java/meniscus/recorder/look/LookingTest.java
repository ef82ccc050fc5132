package meniscus.recorder.look;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
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
import java.util.Locale;
import java.util.concurrent.CopyOnWriteArrayList;
import java.util.concurrent.atomic.AtomicBoolean;
import meniscus.core.bench.Bench;
import meniscus.core.bench.Instrument;
import meniscus.core.bench.Source;
import meniscus.core.bench.Use;
import meniscus.drivers.line.serial.PseudoTerminal;
import meniscus.recorder.cli.MeniscusCommand;
import meniscus.recorder.file.BenchFile;
import meniscus.recorder.self.UserFolders;
import org.junit.jupiter.api.Tag;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.condition.EnabledOnOs;
import org.junit.jupiter.api.condition.OS;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.api.parallel.Execution;
import org.junit.jupiter.api.parallel.ExecutionMode;

/** {@code listen --sheet} and {@code look --guess}: what comes over one line, and who speaks it. */
@Tag("long")
@Execution(ExecutionMode.CONCURRENT) // it waits for instruments
class LookingTest {

  private static final String MANOMETER =
      "0 ! opened\n"
          + "1000000 < 7.984,P2,+12.310*2E\\r\\n\n"
          + "21000000 < P1,+27.984,P2,+12.310*2E\\r\\nP1,+28.0\n"
          + "41000000 < 02,P2,OVER*1C\\r\\n\n"
          + "61000000 < P1,+28.003,P2,OVER*1C\\r\\n\n";

  @TempDir private Path temp;

  /** What a command said, and its exit code. */
  private record Said(int code, String out, String err) {}

  private static Said run(Object... arguments) {
    ByteArrayOutputStream out = new ByteArrayOutputStream();
    ByteArrayOutputStream err = new ByteArrayOutputStream();
    String[] words = new String[arguments.length];
    for (int i = 0; i < words.length; i++) {
      words[i] = String.valueOf(arguments[i]);
    }
    int code =
        MeniscusCommand.run(
            new PrintStream(out, true, StandardCharsets.UTF_8),
            new PrintStream(err, true, StandardCharsets.UTF_8),
            new ByteArrayInputStream(new byte[0]),
            words);
    return new Said(
        code, out.toString(StandardCharsets.UTF_8), err.toString(StandardCharsets.UTF_8));
  }

  private Path recording(String name, String lines) throws IOException {
    return Files.writeString(
        temp.resolve(name), "meniscus line recording 1\n" + lines, StandardCharsets.UTF_8);
  }

  private static List<JsonNode> json(String lines) throws IOException {
    List<JsonNode> objects = new ArrayList<>();
    for (String line : lines.lines().toList()) {
      objects.add(new ObjectMapper().readTree(line));
    }
    return objects;
  }

  @Test
  void listenShowsBytesFramesAndWhatDidNotMatchAndWhy() throws Exception {
    Path played = recording("manometer", MANOMETER);
    Said said = run("listen", "--sheet", "two-channel-manometer", "--on", "play:" + played);
    assertEquals(0, said.code(), said.err());
    assertTrue(said.out().contains("< 7.984,P2,+12.310*2E\\r\\n\n"), said.out());
    assertTrue(said.out().contains("! 7.984,P2,+12.310*2E   "), said.out());
    assertTrue(
        said.out().contains("= test_pressure 27.984 inH2O, element_drop 12.31 inH2O\n"),
        said.out());
    assertTrue(
        said.out().contains("= test_pressure 28.002 inH2O, element_drop no value\n"), said.out());
    assertTrue(said.out().contains("\n2 frames read, 2 rejected\n"), said.out());
    assertTrue(said.out().contains("checksum"), said.out());
  }

  /** A value in inches of water that goes through pascals comes back with sixteen digits. */
  @Test
  void noDigitsAreShownThatNobodyMeasured() throws Exception {
    StringBuilder lines = new StringBuilder();
    for (int i = 0; i < 300; i++) {
      String text = String.format(Locale.ROOT, "P1,+%.3f,P2,+%.3f", 20 + i * 0.037, i * 0.051);
      int sum = text.chars().reduce(0, (one, other) -> one ^ other);
      lines.append(
          String.format(Locale.ROOT, "%d < %s*%02X\\r\\n\n", (i + 1) * 1_000_000L, text, sum));
    }
    Path played = recording("many", lines.toString());
    String[] listen = {"listen", "--sheet", "two-channel-manometer", "--on", "play:" + played};
    Said said = run((Object[]) listen);
    assertTrue(said.out().contains("\n300 frames read, 0 rejected\n"), said.out() + said.err());
    assertFalse(
        said.out().lines().anyMatch(line -> line.matches(".* = .*[0-9]\\.[0-9]{4}.*")), said.out());
    Said asJson =
        run("listen", "--sheet", "two-channel-manometer", "--on", "play:" + played, "--json");
    int seen = 0;
    for (JsonNode each : json(asJson.out())) {
      for (JsonNode value : each.path("frame")) {
        assertTrue(value.decimalValue().scale() <= 3, value.asText());
        seen++;
      }
    }
    assertEquals(600, seen);
    Path bench = Path.of("src", "main", "resources", "meniscus", "recorder", "demo", "bench.json");
    Said means = run("listen", "--bench", bench, "--quick", "--seconds", "5", "--json");
    for (JsonNode second : json(means.out())) {
      for (JsonNode channel : second.get("channels")) {
        JsonNode mean = channel.get("mean");
        assertTrue(mean.isNull() || mean.decimalValue().precision() <= 7, means.out());
      }
    }
  }

  @Test
  void asJsonItIsOneObjectAThing() throws Exception {
    Path played = recording("manometer", MANOMETER);
    Said said =
        run("listen", "--sheet", "two-channel-manometer", "--on", "play:" + played, "--json");
    List<JsonNode> things = json(said.out());
    JsonNode frame =
        things.stream().filter(each -> each.has("frame")).findFirst().orElseThrow().get("frame");
    assertEquals("{\"test_pressure\":27.984,\"element_drop\":12.31}", frame.toString());
    assertTrue(things.stream().anyMatch(each -> each.has("rejected") && each.has("reason")));
    JsonNode last = things.get(things.size() - 1);
    assertEquals(2, last.get("frames").asInt());
    assertEquals(2, last.get("rejected").asInt());
  }

  @Test
  void whatIsKeptCanBePlayedBackAndReadsTheSame() throws Exception {
    Path played = recording("manometer", MANOMETER);
    Path kept = temp.resolve("kept");
    Said first =
        run("listen", "--sheet", "two-channel-manometer", "--on", "play:" + played, "--keep", kept);
    Said again = run("listen", "--sheet", "two-channel-manometer", "--on", "play:" + kept);
    assertEquals(first.out(), again.out());
  }

  @Test
  void aSheetThatFitsNothingIsAnInstrumentFault() throws Exception {
    Path played = recording("manometer", MANOMETER);
    assertEquals(3, run("listen", "--sheet", "dial-indicator", "--on", "play:" + played).code());
    assertEquals(2, run("listen", "--sheet", "dial-indicator").code());
    assertEquals(2, run("listen").code());
    assertEquals(2, run("listen", "--bench", "b.json", "--on", "x").code());
    assertEquals(4, run("listen", "--sheet", "no-such-sheet", "--on", "play:" + played).code());
  }

  @Test
  void theSheetThatFitsIsFoundFromAFewLines() throws Exception {
    Path folder = Files.createDirectory(temp.resolve("sheets"));
    Files.writeString(
        folder.resolve("my-gauge.json"),
        "{\"meniscus\": \"sheet/1\", \"name\": \"My gauge\", \"driver\": \"text-stream\","
            + " \"separator\": \" \", \"fields\": 3, \"expect\": [{\"field\": 1, \"text\": \"DP\"}],"
            + " \"channels\": [{\"name\": \"element_drop\", \"unit\": \"mbar\", \"field\": 2}]}");
    Files.writeString(folder.resolve("not-a-sheet.json"), "{\"meniscus\": \"bench/1\"}");
    Path gauge =
        recording("gauge", "1 < 1 mbar\\r\\n\n2 < DP 12.31 mbar\\r\\nDP 12.32 mbar\\r\\nDP 12.3\n");
    Path odd = recording("odd", "1 < hello\\r\\nhello\\r\\n\n");
    Path silent = recording("silent", "1 ! nothing\n");
    Said said =
        run(
            "look",
            "--guess",
            "--json",
            "--sheets",
            folder,
            "--on",
            "play:" + gauge,
            "--on",
            "play:" + odd,
            "--on",
            "play:" + silent);
    assertEquals(0, said.code(), said.err());
    JsonNode guesses = json(said.out()).get(0).get("guesses");
    JsonNode best = guesses.get(0).get("sheets").get(0);
    assertTrue(best.get("sheet").asText().endsWith("my-gauge.json"), best.toString());
    assertTrue(best.get("fits").asBoolean(), best.toString());
    assertEquals(2, best.get("frames").asInt());
    JsonNode second = guesses.get(0).get("sheets").get(1);
    assertEquals("label-and-number", second.get("sheet").asText(), "the catalogue has it too");
    assertFalse(guesses.get(0).get("sheets").get(2).get("fits").asBoolean());
    assertEquals("hello\\r\\nhello\\r\\n", guesses.get(1).get("heard").asText());
    assertFalse(guesses.get(1).get("sheets").get(0).get("fits").asBoolean());
    assertEquals("", guesses.get(2).get("heard").asText());
    String text = run("look", "--guess", "--on", "play:" + odd).out();
    assertTrue(text.contains("no sheet fits; what came was like \"hello"), text);
  }

  @Test
  void aSheetWithAFaultIsNamedAndOtherFilesAreNot() throws Exception {
    Path folder = Files.createDirectory(temp.resolve("sheets"));
    String sheet =
        "{\"meniscus\": \"sheet/1\", \"name\": \"x\", \"driver\": \"text-stream\", \"channels\":"
            + " [{\"name\": \"a\", \"unit\": \"Pa\", \"field\": 1}, {\"name\": \"b\", \"unit\":"
            + " \"bananas\", \"field\": 2}]}";
    Files.writeString(folder.resolve("wrong-unit.json"), sheet);
    Files.writeString(folder.resolve("half.json"), sheet.substring(0, 40));
    Files.writeString(folder.resolve("no-driver.json"), sheet.replace("text-stream", "mine"));
    Files.writeString(folder.resolve("bench.json"), "{\"meniscus\": \"bench/1\"}");
    Path odd = recording("odd", "1 < hello\\r\\n\n");
    Said said = run("look", "--guess", "--sheets", folder, "--on", "play:" + odd);
    assertTrue(
        said.err().contains("wrong-unit.json, \"channels\" no. 2: no unit \"bananas\""),
        said.err());
    assertTrue(said.err().contains("half.json, line 1"), said.err());
    assertTrue(said.err().contains("no-driver.json: no driver \"mine\""), said.err());
    assertFalse(said.err().contains("bench.json"), said.err());
    assertFalse(said.err().contains("wrong-unit.json: wrong-unit.json"), said.err());
  }

  @Test
  void aSheetOfOnesOwnFolderIsFoundByItsNameAndComesAlong() throws Exception {
    Path folder = Files.createDirectories(UserFolders.here().config().resolve("sheets"));
    Path own = folder.resolve("my-logger.json");
    try {
      Files.writeString(
          own,
          "{\"meniscus\": \"sheet/1\", \"name\": \"My logger\", \"driver\": \"text-stream\","
              + " \"separator\": \" \", \"fields\": 2, \"channels\": [{\"name\":"
              + " \"test_pressure\", \"unit\": \"mbar\", \"field\": 1}, {\"name\":"
              + " \"element_drop\", \"unit\": \"mbar\", \"field\": 2}]}");
      Path played = recording("logger", "1 < 1\\n69.7 30.6\\n69.8 30.7\\n69.7 30.6\\n\n");
      Said said = run("listen", "--sheet", "my-logger", "--on", "play:" + played);
      assertTrue(said.out().contains("test_pressure 69.7 mbar"), said.out() + said.err());
      assertTrue(run("look").out().contains("  my-logger"));
      Path bench = Files.createDirectory(temp.resolve("home")).resolve("bench.json");
      Said guessed = run("look", "--guess", "--on", "play:" + played, "--write", bench);
      assertEquals(0, guessed.code(), guessed.err());
      assertEquals("my-logger.json", BenchFile.read(bench).instruments().get(0).sheet());
      assertEquals(0, run("listen", "--bench", bench, "--seconds", "3").code());
      Files.writeString(
          bench, Files.readString(bench).replace("\"my-logger.json\"", "\"my-logger\""));
      assertEquals(0, run("listen", "--bench", bench, "--seconds", "3").code());
    } finally {
      Files.deleteIfExists(own);
    }
  }

  @Test
  void howEvenAndHowLateLinesAreIsToldByTheirCounter() throws Exception {
    StringBuilder lines = new StringBuilder();
    for (int i = 0; i < 100; i++) {
      long late = i % 10 == 7 ? 4_000_000 : 0;
      String covered = String.format("P1,+27.984,P2,+12.310,L,+11.430,D,ERR,T,ERR,H,ERR,N,%05d", i);
      int check = covered.chars().reduce(0, (a, b) -> a ^ b);
      if (i % 25 != 24) {
        lines.append(20_000_000L * i + late).append(" < ");
        lines.append(covered).append(String.format("*%02X", check)).append("\\r\\n\n");
      }
    }
    Path played = recording("board", lines.toString());
    Said said = run("listen", "--sheet", "board-lines", "--on", "play:" + played);
    assertTrue(said.out().contains("96 frames read, 3 rejected"), said.out());
    assertTrue(said.out().contains("1 lost on the way: the count went from 73 to 75"), said.out());
    assertTrue(said.out().contains("a sample every 20.00 ms"), said.out());
    assertTrue(said.out().contains("latest line came 4."), said.out());
  }

  @Test
  void aStartingBenchFileNamesWhatWasRecognisedAndTrustsNothing() throws Exception {
    StringBuilder lift = new StringBuilder();
    for (int i = 1; i < 6; i++) {
      lift.append(i * 100).append(" < L +1").append(i).append(".430 mm\\r\n");
    }
    Path manometer = recording("manometer", MANOMETER.replace("28.003", "28.002"));
    Path dial = recording("dial", lift.toString());
    Path bench = temp.resolve("bench.json");
    Said said =
        run(
            "look",
            "--guess",
            "--on",
            "play:" + manometer,
            "--on",
            "play:" + dial,
            "--write",
            bench);
    assertEquals(0, said.code(), said.err());
    Bench written = BenchFile.read(bench);
    assertEquals("two-channel-manometer", written.instruments().get(0).sheet());
    assertEquals("play:" + dial, "play:" + written.instruments().get(1).line().get("file"));
    assertEquals(
        "two-channel-manometer.test_pressure",
        ((Source.Measured) written.channels().get(Use.TEST_PRESSURE)).key());
    assertEquals("two-channel-manometer.element_drop", written.ranges().get(0).drop().key());
    assertEquals("dial-indicator.lift", ((Source.Measured) written.channels().get(Use.LIFT)).key());
    assertTrue(written.channels().get(Use.ROOM_TEMPERATURE) instanceof Source.Typed);
    Said heard = run("listen", "--bench", bench, "--seconds", "5");
    assertEquals(0, heard.code(), heard.err());
    assertEquals(
        2, run("look", "--guess", "--on", "play:" + dial, "--write", bench).code(), "overwrites");
  }

  @Test
  void whereNothingIsRecognisedNoBenchFileIsWritten() throws Exception {
    Path bench = temp.resolve("bench.json");
    Path odd = recording("odd", "1 < hello\\r\\n\n");
    Said said = run("look", "--guess", "--on", "play:" + odd, "--write", bench);
    assertEquals(3, said.code(), said.err());
    assertTrue(said.err().contains("no instrument was recognised"), said.err());
    assertFalse(Files.exists(bench));
  }

  @Test
  @EnabledOnOs(value = OS.LINUX, disabledReason = "pseudo-terminals are made the Linux way here")
  void anInstrumentIsAskedOnlyWhenThatIsWanted() throws Exception {
    try (PseudoTerminal port = PseudoTerminal.open()) {
      List<String> asked = new CopyOnWriteArrayList<>();
      AtomicBoolean over = new AtomicBoolean();
      Thread station =
          new Thread(
              () -> {
                while (!over.get()) {
                  String heard = port.read(50);
                  if (!heard.isEmpty()) {
                    asked.add(heard);
                    port.write("T=22.84;P=1008.62;H=41.3*1C99\r\n");
                  }
                }
              });
      station.start();
      Said silent = run("look", "--guess", "--seconds", "0.3", "--on", port.path());
      assertEquals(List.of(), asked, "it was asked without having been told to");
      assertTrue(silent.out().contains("says nothing"), silent.out());
      Said answered = run("look", "--guess", "--ask", "--seconds", "3", "--on", port.path());
      over.set(true);
      station.join();
      assertTrue(asked.stream().allMatch("AIR?\r\n"::equals), asked.toString());
      assertTrue(answered.out().contains("room-air-station  "), answered.out());
    }
  }

  /** IEEE 488.2, 10.14: the answer to *IDN? has four fields parted by commas. */
  @Test
  void aMeterThatNoSheetFitsSaysWhoItIsWhenItIsAskedAndOnlyThen() throws Exception {
    try (Far pressure = new Far("Invented,Meter 7,0,1.0\n");
        Far drop = new Far("Invented\u001b[2J,<b>\u001b]0;x\u0007,0,1.0\n");
        Far other = new Far("ERROR\n")) {
      List<Object> words = new ArrayList<>(List.of("look", "--guess", "--seconds", "1"));
      List.of(pressure, drop, other).forEach(far -> words.addAll(List.of("--on", far.place())));
      Said silent = run(words.toArray());
      assertEquals("", pressure.heard() + drop.heard() + other.heard(), "asked without being told");
      assertTrue(silent.out().contains("says nothing"), silent.out());

      Path bench = temp.resolve("bench.json");
      words.addAll(List.of("--ask", "--write", bench));
      Said said = run(words.toArray());
      assertEquals(0, said.code(), said.err());
      assertTrue(pressure.heard().contains("*IDN?\n"), pressure.heard());
      assertTrue(
          said.out().contains("speaks SCPI and says it is \"Invented,Meter 7,0,1.0\""), said.out());
      assertTrue(
          said.out().chars().allMatch(c -> c >= ' ' || c == '\n'), "it paints: " + said.out());
      Bench written = BenchFile.read(bench);
      assertEquals(
          List.of("scpi-meter-7.json", "scpi.json"),
          written.instruments().stream().map(Instrument::sheet).toList());
      String sheet = Files.readString(temp.resolve("scpi-meter-7.json"));
      assertTrue(sheet.contains("\"driver\": \"scpi\""), sheet);
      assertTrue(sheet.contains("\"identity\": \"Meter 7\""), sheet);
      assertFalse(Files.readString(temp.resolve("scpi.json")).contains("\"identity\""));
      List<JsonNode> heard =
          json(run("listen", "--bench", bench, "--seconds", "3", "--json").out());
      assertTrue(
          heard.stream()
              .anyMatch(each -> each.at("/channels/scpi-meter-7.reading/mean").asDouble() == 12),
          heard.toString());
    }
  }

  /** A meter at the far end of a TCP line: it says its name and 12. */
  private static final class Far implements AutoCloseable {
    private final ServerSocket server = new ServerSocket(0, 4, InetAddress.getLoopbackAddress());
    private final StringBuffer heard = new StringBuffer();

    Far(String name) throws IOException {
      Thread thread = new Thread(() -> serve(name), "far end");
      thread.setDaemon(true);
      thread.start();
    }

    private void serve(String name) {
      while (!server.isClosed()) {
        try (Socket socket = server.accept()) {
          for (int b = socket.getInputStream().read(); b >= 0; b = socket.getInputStream().read()) {
            heard.append((char) b);
            if (heard.toString().endsWith("?\n")) {
              socket.getOutputStream().write(answer(name).getBytes(StandardCharsets.ISO_8859_1));
            }
          }
        } catch (IOException gone) {
          // The next one is waited for, or the test is over.
        }
      }
    }

    private String answer(String name) {
      String all = heard.toString().stripTrailing();
      return all.endsWith("READ?") ? "12\n" : all.endsWith("ERR?") ? "0,\"No error\"\n" : name;
    }

    String place() {
      return "tcp:127.0.0.1:" + server.getLocalPort();
    }

    String heard() {
      return heard.toString();
    }

    @Override
    public void close() throws IOException {
      server.close();
    }
  }
}
