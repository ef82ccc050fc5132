package meniscus.recorder.record;

import com.fasterxml.jackson.databind.JsonNode;
import java.io.BufferedReader;
import java.io.IOException;
import java.io.InputStreamReader;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.concurrent.BlockingQueue;
import java.util.concurrent.LinkedBlockingQueue;
import java.util.concurrent.TimeUnit;
import meniscus.core.Needed;

/** The program in a process of its own while it runs: told things, and listened to. */
final class RunningProgram implements AutoCloseable {

  /** Without a word from it; the longest reading of the bench profile tells nothing for long. */
  private static final long PATIENCE_SECONDS = Long.getLong("meniscus.patience", 180);

  final List<JsonNode> seen = new ArrayList<>();
  private final Process process;
  private final Path said;
  private final BlockingQueue<JsonNode> events = new LinkedBlockingQueue<>();
  private final Thread listener;

  /**
   * @param prefix before the command
   * @param folder to start it in; its standard error goes to a file there
   */
  RunningProgram(List<String> prefix, Path folder, Object... words) throws IOException {
    process = Recorder.start(prefix, folder, words);
    said = folder.resolve("stderr.txt");
    listener = new Thread(this::listen, "events of the program");
    listener.setDaemon(true);
    listener.start();
  }

  private void listen() {
    try (BufferedReader out =
        new BufferedReader(
            new InputStreamReader(process.getInputStream(), StandardCharsets.UTF_8))) {
      for (String line = out.readLine(); line != null; line = out.readLine()) {
        events.add(Recorder.json(line));
      }
    } catch (IOException gone) {
      // As its end.
    }
  }

  void type(String line) throws IOException {
    process.getOutputStream().write((line + "\n").getBytes(StandardCharsets.UTF_8));
    process.getOutputStream().flush();
  }

  void signal(String name) throws Exception {
    Needed.that(Files.isExecutable(Path.of("/bin/kill")), "no kill program");
    new ProcessBuilder("/bin/kill", "-" + name, Long.toString(process.pid())).start().waitFor();
  }

  /** The next event of a kind that holds a text. */
  JsonNode await(String kind, String holds) throws Exception {
    long until = System.nanoTime() + TimeUnit.SECONDS.toNanos(PATIENCE_SECONDS);
    while (System.nanoTime() < until && (process.isAlive() || !events.isEmpty())) {
      JsonNode event = events.poll(200, TimeUnit.MILLISECONDS);
      if (event != null) {
        seen.add(event);
        if (event.path("event").asText().equals(kind) && event.toString().contains(holds)) {
          return event;
        }
      }
    }
    throw new AssertionError("no " + kind + " with \"" + holds + "\": " + seen + said());
  }

  /** Of a kind, seen so far. */
  List<JsonNode> seen(String kind) {
    return seen.stream().filter(event -> event.path("event").asText().equals(kind)).toList();
  }

  int end() throws Exception {
    if (!process.waitFor(PATIENCE_SECONDS, TimeUnit.SECONDS)) {
      throw new AssertionError("it does not end: " + seen + said());
    }
    listener.join(TimeUnit.SECONDS.toMillis(PATIENCE_SECONDS));
    events.drainTo(seen);
    return process.exitValue();
  }

  String said() throws IOException {
    return Files.readString(said);
  }

  @Override
  public void close() {
    process.destroyForcibly();
  }
}
