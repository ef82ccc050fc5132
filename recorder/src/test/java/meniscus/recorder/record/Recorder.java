package meniscus.recorder.record;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import java.io.ByteArrayInputStream;
import java.io.ByteArrayOutputStream;
import java.io.IOException;
import java.io.InputStream;
import java.io.PrintStream;
import java.io.UncheckedIOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.TreeMap;
import java.util.function.Function;
import java.util.stream.Stream;
import meniscus.recorder.cli.MeniscusCommand;

/** The command line as a user or another program calls it, and the files it is called with. */
public final class Recorder {

  private static final ObjectMapper JSON = new ObjectMapper();

  private Recorder() {}

  /** What one call gave. */
  public record Ran(int exitCode, String out, String err) {

    /** Standard output as JSON lines. */
    List<JsonNode> events() {
      return out.lines().map(Recorder::json).toList();
    }

    List<JsonNode> events(String kind) {
      return events().stream().filter(event -> event.path("event").asText().equals(kind)).toList();
    }

    List<Integer> keptRungs() {
      return events("kept").stream().map(event -> event.get("rung").asInt()).toList();
    }
  }

  public static JsonNode json(String line) {
    try {
      return JSON.readTree(line);
    } catch (IOException e) {
      throw new UncheckedIOException("not JSON: " + line, e);
    }
  }

  /** A fresh folder with bench.json and plan.json of the simulated bench. */
  public static Path files(Path parent) throws IOException {
    Path folder = Files.createTempDirectory(parent, "bench");
    for (String name : List.of("bench.json", "plan.json")) {
      Files.writeString(folder.resolve(name), resource(name));
    }
    return folder;
  }

  static String resource(String name) throws IOException {
    try (InputStream in = Recorder.class.getResourceAsStream(name)) {
      return new String(in.readAllBytes(), StandardCharsets.UTF_8);
    }
  }

  public static void change(Path file, String from, String to) throws IOException {
    String text = Files.readString(file);
    if (!text.contains(from)) {
      throw new IllegalArgumentException(file + " has no " + from);
    }
    Files.writeString(file, text.replace(from, to));
  }

  /** Runs in this process, with a text for standard input. */
  public static Ran run(String stdin, Object... arguments) {
    ByteArrayOutputStream out = new ByteArrayOutputStream();
    ByteArrayOutputStream err = new ByteArrayOutputStream();
    int code =
        MeniscusCommand.run(
            new PrintStream(out, true, StandardCharsets.UTF_8),
            new PrintStream(err, true, StandardCharsets.UTF_8),
            new ByteArrayInputStream(stdin.getBytes(StandardCharsets.UTF_8)),
            Stream.of(arguments).map(Object::toString).toArray(String[]::new));
    return new Ran(
        code, out.toString(StandardCharsets.UTF_8), err.toString(StandardCharsets.UTF_8));
  }

  /** {@code record} with the files of a folder, in simulated time, events as JSON. */
  public static Ran record(Path files, Path out, String stdin, Object... more) {
    List<Object> arguments =
        new ArrayList<>(
            List.of(
                "record",
                "--bench",
                files.resolve("bench.json"),
                "--plan",
                files.resolve("plan.json"),
                "--out",
                out,
                "--quick",
                "--json"));
    arguments.addAll(List.of(more));
    return run(stdin, arguments.toArray());
  }

  /** Starts the program as a process of its own. */
  static Process start(Path folder, Object... arguments) throws IOException {
    return start(List.of(), folder, arguments);
  }

  /**
   * @param prefix before the command
   */
  static Process start(List<String> prefix, Path folder, Object... arguments) throws IOException {
    List<String> command = new ArrayList<>(prefix);
    command.addAll(
        List.of(
            Path.of(System.getProperty("java.home"), "bin", "java").toString(),
            "-Xmx256m",
            "-XX:TieredStopAtLevel=1",
            "-XX:+UseSerialGC",
            "--enable-native-access=ALL-UNNAMED", // as the jar's manifest says
            "-cp",
            System.getProperty("java.class.path"),
            "meniscus.recorder.Main"));
    Stream.of(arguments).map(Object::toString).forEach(command::add);
    return new ProcessBuilder(command)
        .directory(folder.toFile())
        .redirectError(folder.resolve("stderr.txt").toFile())
        .start();
  }

  /** Points of a finished folder by rung: the flow as written. */
  public static Map<Integer, Double> flows(Path testFolder) throws IOException {
    return column(testFolder, "flow", Double::valueOf);
  }

  static Map<Integer, Double> liftIntervals(Path testFolder) throws IOException {
    return column(testFolder, "lift_u95", Double::valueOf);
  }

  public static Map<Integer, Integer> attempts(Path testFolder) throws IOException {
    return column(testFolder, "attempt", Integer::valueOf);
  }

  /** A column of points.csv by rung; no cell before it holds a comma. */
  private static <T> Map<Integer, T> column(
      Path testFolder, String column, Function<String, T> reader) throws IOException {
    List<String> lines = Files.readAllLines(testFolder.resolve("points.csv"));
    List<String> columns = List.of(lines.get(0).split(","));
    Map<Integer, T> values = new TreeMap<>();
    for (String line : lines.subList(1, lines.size())) {
      String[] cells = line.split(",");
      values.put(
          Integer.valueOf(cells[columns.indexOf("rung")]),
          reader.apply(cells[columns.indexOf(column)]));
    }
    return values;
  }
}
