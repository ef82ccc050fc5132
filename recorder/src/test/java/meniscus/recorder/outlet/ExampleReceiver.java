package meniscus.recorder.outlet;

import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.concurrent.TimeUnit;
import meniscus.core.Needed;
import meniscus.core.outlet.Fact;

/** The receiver in docs/example-receiver, as a process of its own. */
final class ExampleReceiver implements AutoCloseable {

  static final String TOPIC = "shop/north";

  private static final String PYTHON = "/usr/bin/python3";
  private static final Path SCRIPT = Path.of("../docs/example-receiver/receiver.py");

  private final int port;
  private final Path store;
  private final Path log;
  private Process process;

  ExampleReceiver(int port, Path parent) throws Exception {
    Needed.that(
        Files.isExecutable(Path.of(PYTHON)) && python("import paho.mqtt").waitFor() == 0,
        "no python3 with paho-mqtt, the example receiver did not store anything");
    this.port = port;
    this.store = parent.resolve("stored.sqlite");
    this.log = parent.resolve("receiver.log");
    start();
  }

  private static Process python(String code, String... words) throws IOException {
    List<String> all = new ArrayList<>(List.of(PYTHON, "-c", code));
    all.addAll(List.of(words));
    return new ProcessBuilder(all).redirectError(ProcessBuilder.Redirect.DISCARD).start();
  }

  void start() throws IOException {
    process =
        new ProcessBuilder(
                PYTHON, SCRIPT.toString(), "127.0.0.1", "" + port, TOPIC, store.toString())
            .redirectErrorStream(true)
            .redirectOutput(ProcessBuilder.Redirect.appendTo(log.toFile()))
            .start();
  }

  /** One that began while there was no broker has ended by itself. */
  void startWhereItEnded() throws IOException {
    if (!process.isAlive()) {
      start();
    }
  }

  /** Without any warning, and again. */
  void killAndStart() throws Exception {
    close();
    start();
  }

  /** All that it has stored, in the order in which it did. */
  List<Fact> stored() throws Exception {
    Process process =
        python(
            "import sqlite3, sys\n"
                + "for row in sqlite3.connect(sys.argv[1]).execute("
                + "'SELECT fact FROM facts ORDER BY rowid'): print(row[0])",
            store.toString());
    List<Fact> facts = new ArrayList<>();
    String text = new String(process.getInputStream().readAllBytes(), StandardCharsets.UTF_8);
    for (String line : text.lines().toList()) {
      facts.add(FactJson.read(line));
    }
    if (!process.waitFor(60, TimeUnit.SECONDS) || process.exitValue() != 0) {
      throw new AssertionError("its store cannot be read; it says " + Files.readString(log));
    }
    return facts;
  }

  @Override
  public void close() {
    process.destroyForcibly().onExit().join();
  }
}
