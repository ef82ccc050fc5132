package meniscus.recorder.look;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertNotEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import com.fasterxml.jackson.databind.ObjectMapper;
import com.fasterxml.jackson.databind.node.ObjectNode;
import java.io.ByteArrayInputStream;
import java.io.ByteArrayOutputStream;
import java.io.IOException;
import java.io.PrintStream;
import java.io.UncheckedIOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.function.Predicate;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import java.util.stream.Stream;
import meniscus.core.Needed;
import meniscus.core.bench.Bench;
import meniscus.core.bench.Instrument;
import meniscus.core.instrument.Channel;
import meniscus.drivers.line.serial.PseudoTerminal;
import meniscus.drivers.sheet.ShippedSheets;
import meniscus.recorder.cli.MeniscusCommand;
import meniscus.recorder.feed.Drivers;
import meniscus.recorder.file.BenchFile;
import org.junit.jupiter.api.Tag;
import org.junit.jupiter.api.condition.EnabledOnOs;
import org.junit.jupiter.api.condition.OS;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.api.parallel.Execution;
import org.junit.jupiter.api.parallel.ExecutionMode;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.MethodSource;

/**
 * "From the cable to a reading" in docs/instrument-sheets.md, followed word by word for each sheet
 * of the catalogue, from an empty folder to the first reading: the commands are read out of that
 * page. An instrument on a pseudo-terminal sends (or answers) what the sheet's recording holds of
 * good lines. Only this differs from the page: the port's name, {@code --on} for the third command
 * (a pseudo-terminal is not among the ports that are listed), and {@code --seconds} for Ctrl-C.
 */
@EnabledOnOs(value = OS.LINUX, disabledReason = "pseudo-terminals are made the Linux way here")
@Tag("long")
@Execution(ExecutionMode.CONCURRENT) // it waits for instruments
class SheetsFollowedTest {

  private static final Path DOCS = Path.of("..", "docs");
  private static final int LONGEST_SECONDS = 6;

  @TempDir private Path folder;

  private record Said(int code, String out, String err) {}

  /** The sheets by how their instrument is read. */
  private static Stream<String> sheets(Predicate<KnownSheet> which) {
    return ShippedSheets.names().stream()
        .filter(name -> which.test(KnownSheet.named(name, Drivers.shipped())));
  }

  static Stream<String> onACable() {
    return sheets(
        sheet ->
            sheet.file().line().text("kind", "").equals("serial")
                && sheet.channels().stream().noneMatch(SheetsFollowedTest::isCounter));
  }

  /**
   * A short recording over and over is no instrument that counts; docs/boards is followed with the
   * firmware itself, in ReferenceBoardTest.
   */
  private static boolean isCounter(Channel channel) {
    return channel.name().equals("sample_index");
  }

  static Stream<String> byEye() {
    return sheets(sheet -> sheet.driver().id().equals("by-hand"));
  }

  static Stream<String> byAProgram() {
    return sheets(sheet -> sheet.file().line().text("kind", "").equals("command"));
  }

  /** The commands of the page, with this sheet's name. */
  private static List<String> commands(String sheet) throws IOException {
    String page = Files.readString(DOCS.resolve("instrument-sheets.md"));
    String section = page.substring(page.indexOf("## From the cable to a reading"));
    String block = section.substring(section.indexOf("```\n") + 4);
    List<String> commands =
        block
            .substring(0, block.indexOf("```"))
            .lines()
            .map(line -> line.replace("NAME", sheet))
            .toList();
    assertEquals(4, commands.size());
    return commands;
  }

  private Said run(String typed, String command, String... more) {
    List<String> words = new ArrayList<>(Arrays.asList(command.split(" ")));
    assertEquals("meniscus", words.remove(0));
    words.replaceAll(
        word -> word.equals("bench.json") ? folder.resolve("bench.json").toString() : word);
    words.addAll(List.of(more));
    ByteArrayOutputStream out = new ByteArrayOutputStream();
    ByteArrayOutputStream err = new ByteArrayOutputStream();
    int code =
        MeniscusCommand.run(
            new PrintStream(out, true, StandardCharsets.UTF_8),
            new PrintStream(err, true, StandardCharsets.UTF_8),
            new ByteArrayInputStream(typed.getBytes(StandardCharsets.UTF_8)),
            words.toArray(String[]::new));
    return new Said(
        code, out.toString(StandardCharsets.UTF_8), err.toString(StandardCharsets.UTF_8));
  }

  /** Ever longer, where a busy machine has not heard enough. */
  private Said runUntil(
      Predicate<Said> enough, double seconds, String typed, String command, String... more) {
    for (double each = seconds; ; each *= 2) {
      String[] words = Arrays.copyOf(more, more.length + 2);
      words[more.length] = "--seconds";
      words[more.length + 1] = Double.toString(each);
      Said said = run(typed, command, words);
      if (enough.test(said) || each > LONGEST_SECONDS) {
        return said;
      }
    }
  }

  private static boolean reads(Said said) {
    return said.out().lines().anyMatch(line -> line.matches(" *[0-9.]+ = .*"));
  }

  @ParameterizedTest
  @MethodSource("onACable")
  void aGaugeOnACableIsReadByFourCommands(String name) throws Exception {
    KnownSheet sheet = KnownSheet.named(name, Drivers.shipped());
    List<String> commands = commands(name);
    assertTrue(run("", commands.get(0)).out().contains(sheet.file().example()), "listed by look");
    try (Gauge gauge = new Gauge(name)) {
      String port = gauge.path();
      Said heard =
          runUntil(
              SheetsFollowedTest::reads, 0.5, "", commands.get(1).replace("/dev/ttyUSB0", port));
      assertTrue(reads(heard), heard.out() + heard.err());

      List<String> words = new ArrayList<>(List.of("--on", port));
      if (gauge.isAsked()) {
        words.add("--ask");
      }
      if (isModbus(sheet)) {
        Path own = Files.createDirectories(folder.resolve("sheets"));
        Files.copy(DOCS.resolve("sheets").resolve(name + ".json"), own.resolve(name + ".json"));
        words.addAll(List.of("--sheets", own.toString()));
      }
      Said written =
          runUntil(
              said -> isWrittenOf(sheet),
              gauge.isAsked() ? 1.2 : 0.5,
              "",
              commands.get(2),
              words.toArray(String[]::new));
      assertTrue(Files.exists(folder.resolve("bench.json")), written.out() + written.err());
      Bench bench = BenchFile.read(folder.resolve("bench.json"));
      Instrument first = bench.instruments().get(0);
      assertEquals(written(sheet), first.sheet(), written.out());
      // The wiring check asks to suck at each gauge's hose, and says which pressure is read by eye.
      boolean both = sheet.channels().stream().filter(SheetsFollowedTest::isPressure).count() > 1;
      for (String use : List.of("test_pressure", "element_drop")) {
        boolean speaks = sheet.channels().stream().anyMatch(channel -> channel.name().equals(use));
        String expected =
            speaks ? "Suck gently at the hose of " + use : use + " is read by eye: not looked at";
        assertTrue(written.out().contains(expected), expected + " in\n" + written.out());
        assertEquals(!speaks, written.err().contains(use), written.err());
      }
      assertEquals(!both, written.err().contains("read by eye"), written.err());

      String channel = first.id() + "." + (isScpi(sheet) ? "reading" : channelOf(sheet));
      Said reading = runUntil(said -> said.out().contains(channel), 1, "", commands.get(3));
      assertTrue(reading.out().contains(channel), reading.out() + reading.err());
    }
  }

  /**
   * What a meter that speaks SCPI measures nobody knows: it gets a sheet of its own. A Modbus
   * transmitter's registers are known to its owner: it is asked by the owner's sheet alone.
   */
  private static String written(KnownSheet sheet) {
    if (isModbus(sheet)) {
      return "sheets/" + sheet.name() + ".json";
    }
    return isScpi(sheet) ? "scpi-bench-meter.json" : sheet.name();
  }

  private static boolean isScpi(KnownSheet sheet) {
    return sheet.driver().id().equals("scpi");
  }

  private static boolean isModbus(KnownSheet sheet) {
    return sheet.driver().id().equals("modbus-rtu");
  }

  private static String channelOf(KnownSheet sheet) {
    return sheet.channels().get(0).name();
  }

  /** A bench file of what was heard too shortly is thrown away. */
  private boolean isWrittenOf(KnownSheet sheet) {
    Path bench = folder.resolve("bench.json");
    if (!Files.exists(bench)) {
      return false;
    }
    if (BenchFile.read(bench).instruments().get(0).sheet().equals(written(sheet))) {
      return true;
    }
    try {
      Files.delete(bench);
    } catch (IOException e) {
      throw new UncheckedIOException(e);
    }
    return false;
  }

  private static boolean isPressure(Channel channel) {
    return channel.name().equals("test_pressure") || channel.name().equals("element_drop");
  }

  @ParameterizedTest
  @MethodSource("byEye")
  void whatIsReadByEyeIsTyped(String name) throws Exception {
    KnownSheet sheet = KnownSheet.named(name, Drivers.shipped());
    String example = sheet.file().example();
    String channel = sheet.channels().get(0).name();
    benchByEyeWith(name, List.of(channel));
    String reading = example.startsWith(channel) ? example : channel + " " + example;
    Said first =
        runUntil(
            said -> said.out().contains("instrument." + channel),
            1,
            reading + "\n",
            commands(name).get(3));
    assertTrue(first.out().contains("instrument." + channel), first.out() + first.err());
  }

  @ParameterizedTest
  @MethodSource("byAProgram")
  void aProgramThatBridgesIsRunOnceItIsAgreedTo(String name) throws Exception {
    boolean there =
        Stream.of(System.getenv("PATH").split(":"))
            .anyMatch(path -> Files.isExecutable(Path.of(path, "sigrok-cli")));
    Needed.that(there, "sigrok-cli is not installed");
    List<String> commands = commands(name);
    String listen = commands.get(1).replace(" --on /dev/ttyUSB0", "");
    String trusted = folder.resolve("trusted").toString();
    Said refused = run("", listen, "--trusted-jars", trusted, "--seconds", "1");
    Matcher hash = Pattern.compile("--trust ([0-9a-f]{64})").matcher(refused.err());
    assertNotEquals(0, refused.code());
    assertTrue(hash.find(), refused.err());
    Said heard =
        runUntil(
            SheetsFollowedTest::reads,
            2,
            "",
            listen,
            "--trusted-jars",
            trusted,
            "--trust",
            hash.group(1));
    assertTrue(reads(heard), heard.out() + heard.err());

    benchByEyeWith(name, List.of("test_pressure", "element_drop"));
    Said first =
        runUntil(
            said -> said.out().contains("instrument.test_pressure"),
            2,
            "",
            commands.get(3),
            "--trusted-jars",
            trusted);
    assertTrue(first.out().contains("instrument.test_pressure"), first.out() + first.err());
  }

  /** The bench file of docs/first-test.md, with a further instrument for these channels. */
  private void benchByEyeWith(String sheet, List<String> channels) throws IOException {
    String page = Files.readString(DOCS.resolve("first-test.md"));
    String block = page.substring(page.indexOf("```json\n") + 8);
    ObjectNode bench =
        (ObjectNode) new ObjectMapper().readTree(block.substring(0, block.indexOf("```")));
    bench.withArray("/instruments").addObject().put("id", "instrument").put("sheet", sheet);
    for (String channel : channels) {
      ObjectNode gauge =
          (ObjectNode)
              (channel.equals("element_drop")
                  ? bench.at("/ranges/0/drop")
                  : bench.at("/channels/" + channel));
      gauge.put("instrument", "instrument");
    }
    Files.writeString(folder.resolve("bench.json"), bench.toPrettyString());
  }

  /** An instrument in good health: the recording's good lines, over and over or when asked. */
  private static final class Gauge implements AutoCloseable {

    private final PseudoTerminal port = PseudoTerminal.open();
    private final List<String> sends = new ArrayList<>();
    private final Map<String, List<String>> answers = new LinkedHashMap<>();
    private final Thread thread;
    private volatile boolean over;

    Gauge(String sheet) throws IOException {
      read(Files.readAllLines(DOCS.resolve("sheets/recordings").resolve(sheet + ".txt")));
      thread = new Thread(isAsked() ? this::answer : this::send, sheet);
      thread.start();
    }

    String path() {
      return port.path();
    }

    boolean isAsked() {
      return !answers.isEmpty();
    }

    private void read(List<String> lines) {
      String question = "";
      for (int at = 0; at < lines.size(); at++) {
        String[] parts = lines.get(at).split(" ", 3);
        if (parts.length < 3 || !parts[0].matches("[0-9]+")) {
          continue;
        }
        if (parts[1].equals(">")) {
          question = bytes(parts[2]);
          answers.computeIfAbsent(question, none -> new ArrayList<>()).add("");
          continue;
        }
        boolean bad = at + 1 < lines.size() && lines.get(at + 1).matches("# ! .+");
        if (question.isEmpty()) {
          sends.add(bad ? "" : bytes(parts[2]));
        } else {
          List<String> told = answers.get(question);
          String whole = told.remove(told.size() - 1);
          if (!bad) {
            told.add(whole + bytes(parts[2]));
          }
        }
      }
      // The first of a stream is the rest of a line whose beginning nobody heard.
      if (sends.size() > 1) {
        sends.remove(0);
      }
    }

    private void send() {
      for (int at = 0; !over; at = (at + 1) % sends.size()) {
        port.spill(sends.get(at));
        port.read(20);
      }
    }

    private void answer() {
      StringBuilder heard = new StringBuilder();
      for (int count = 0; !over; count++) {
        heard.append(port.read(20));
        for (String each : answers.keySet()) {
          int at = heard.indexOf(each);
          if (at >= 0) {
            heard.delete(0, at + each.length());
            port.spill(answers.get(each).get(count % answers.get(each).size()));
          }
        }
      }
    }

    /** The recording's own writing of bytes, as ISO 8859-1. */
    private static String bytes(String text) {
      Matcher escape = Pattern.compile("\\\\(x[0-9a-f]{2}|.)").matcher(text);
      return escape.replaceAll(
          found -> {
            String code = found.group(1);
            char letter =
                switch (code.charAt(0)) {
                  case 'r' -> '\r';
                  case 'n' -> '\n';
                  case 'x' -> (char) Integer.parseInt(code.substring(1), 16);
                  default -> code.charAt(0);
                };
            return Matcher.quoteReplacement(String.valueOf(letter));
          });
    }

    @Override
    public void close() {
      over = true;
      try {
        thread.join();
      } catch (InterruptedException e) {
        Thread.currentThread().interrupt();
      }
      port.close();
    }
  }
}
