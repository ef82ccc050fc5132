package meniscus.recorder.outlet;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.BufferedReader;
import java.io.IOException;
import java.io.InputStreamReader;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Random;
import java.util.concurrent.TimeUnit;
import java.util.function.BooleanSupplier;
import java.util.stream.LongStream;
import meniscus.core.lift.LiftPoint;
import meniscus.core.outlet.Fact;
import meniscus.drivers.hash.Sha256;
import meniscus.drivers.mqtt.MqttOutlet;
import meniscus.drivers.simulated.Mounted;
import meniscus.drivers.simulated.Scenario;
import meniscus.recorder.feed.Drivers;
import meniscus.recorder.feed.Feeds;
import meniscus.recorder.folder.TestFolder;
import meniscus.recorder.record.Recorder;
import meniscus.recorder.session.TestRecorder;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Tag;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** Facts by a broker that is not ours, to the receiver of the docs, through kills of all three. */
@Tag("long")
class MqttTest {

  private static final long PATIENCE_SECONDS = Long.getLong("meniscus.patience", 180);
  private static final long SEED = 20310507;
  private static final OutletRun.Pauses SHORT = new OutletRun.Pauses(50, 500, 1_000);

  @TempDir Path temp;

  private Path files;
  private Path bench;

  @BeforeEach
  void describe() throws Exception {
    files = Recorder.files(temp);
    bench = files.resolve("bench.json");
  }

  /** Writes an outlet into the bench file, in the place of one that is there. */
  private void outlet(String address, String more) throws IOException {
    Files.writeString(
        bench,
        Files.readString(bench)
            .replaceFirst(
                "\"bench/1(\\.1)?\",(\\s*\"outlets\": \\[[^\\]]*\\],)?",
                "\"bench/1.1\", \"outlets\": [{\"name\": \"shop\", \"plugin\": \"mqtt\", \"address\": \""
                    + address
                    + "\", \"topic\": \""
                    + ExampleReceiver.TOPIC
                    + "\""
                    + more
                    + "}],"));
  }

  private Outlets started() {
    return Outlets.start(
        bench,
        List.of(new MqttOutlet()),
        new Secrets(temp.resolve("secrets"), Map.of("MENISCUS_SECRET_SHOP", Broker.PASSWORD)),
        SHORT);
  }

  private static void await(String what, BooleanSupplier come) throws InterruptedException {
    long until = System.nanoTime() + TimeUnit.SECONDS.toNanos(PATIENCE_SECONDS);
    while (!come.getAsBoolean()) {
      assertTrue(System.nanoTime() < until, what);
      Thread.sleep(10);
    }
  }

  private static long waiting(Outlets outlets) {
    return outlets.states().get(0).waiting();
  }

  private void spool(long from, int count) throws IOException {
    Path folder = Files.createDirectories(bench.resolveSibling(Outlets.FOLDER));
    try (FactSpool spool = FactSpool.open(folder)) {
      spool.append(MadeUpFacts.of(from, count));
    }
  }

  private static void assertAllInOrder(long count, List<Fact> stored) {
    assertEquals(
        LongStream.rangeClosed(1, count).boxed().toList(),
        stored.stream().map(Fact::place).toList());
    assertEquals(count, stored.stream().map(Fact::key).distinct().count());
  }

  // ------------------------------------------------------------------ kills

  @Test
  void aTestWhoseProgramIsKilledTwiceIsStoredAsItIsKept() throws Exception {
    Recorder.change(files.resolve("plan.json"), "[0.1, 0.2, 0.3]", "[0.1, 0.15, 0.2, 0.25]");
    Path out = temp.resolve("out");
    try (Broker broker = new Broker(temp);
        ExampleReceiver receiver = new ExampleReceiver(broker.plain, temp)) {
      outlet("mqtt://127.0.0.1:" + broker.plain, "");
      killAfterKept(recording(out), 2);
      killAfterKept(recording(out, "--resume"), 1);
      Process last = recording(out, "--resume");
      last.getInputStream().readAllBytes();
      assertTrue(last.waitFor() == 0 || last.exitValue() == 5, said());
      try (Outlets outlets = started()) {
        await("the rest", () -> waiting(outlets) == 0 && outlets.states().get(0).facts() > 5);
      }
      List<Fact> stored = receiver.stored();
      assertAllInOrder(stored.size(), stored);
      assertStoredIsKept(TestFolder.open(out), stored);
    }
  }

  /** What is told as kept, less what is told as undone, is what stands in the folder. */
  private static void assertStoredIsKept(TestFolder folder, List<Fact> stored) throws IOException {
    List<String> standing = new ArrayList<>();
    for (Fact fact : stored) {
      String point = fact.numbers().get("rung") + "/" + fact.numbers().get("attempt");
      if (fact.kind() == Fact.Kind.POINT_KEPT) {
        standing.add(point);
      } else if (fact.kind() == Fact.Kind.POINT_UNDONE) {
        assertTrue(standing.remove(point), "undone and never kept: " + point);
      }
    }
    List<LiftPoint> points = folder.points();
    assertEquals(
        points.stream().map(p -> (double) p.rung() + "/" + (double) p.attempt()).sorted().toList(),
        standing.stream().sorted().toList());
    Fact last = stored.get(stored.size() - 1);
    assertEquals(Fact.Kind.TEST_FINISHED, last.kind());
    assertEquals(
        points.stream().map(LiftPoint::flowM3PerS).toList(),
        last.points().stream().map(point -> point.get("flow_m3_per_s")).toList());
  }

  private Process recording(Path out, String... more) throws Exception {
    List<String> words =
        new ArrayList<>(
            List.of(
                "record",
                "--bench",
                bench.toString(),
                "--plan",
                files.resolve("plan.json").toString(),
                "--out",
                out.toString(),
                "--hands-free",
                "--quick",
                "--json"));
    words.addAll(List.of(more));
    return program(words);
  }

  /** The program in a process of its own, with the plugin in a jar that it is told to trust. */
  private Process program(List<String> words) throws Exception {
    Path plugins = temp.resolve("plugins");
    if (!Files.exists(plugins)) {
      PluginJar.in(Files.createDirectory(plugins));
    }
    Path jar = plugins.resolve("meniscus-mqtt.jar");
    List<String> command =
        new ArrayList<>(
            List.of(
                Path.of(System.getProperty("java.home"), "bin", "java").toString(),
                "-Xmx256m",
                "-XX:TieredStopAtLevel=1",
                "-XX:+UseSerialGC",
                "--enable-native-access=ALL-UNNAMED",
                "-cp",
                System.getProperty("java.class.path"),
                "meniscus.recorder.Main"));
    command.addAll(words);
    command.addAll(
        List.of(
            "--plugins",
            plugins.toString(),
            "--trust",
            Sha256.hex(jar),
            "--trusted-jars",
            temp.resolve("trusted").toString()));
    return new ProcessBuilder(command)
        .redirectError(ProcessBuilder.Redirect.appendTo(temp.resolve("said").toFile()))
        .start();
  }

  private String said() throws IOException {
    return Files.readString(temp.resolve("said"));
  }

  private void killAfterKept(Process process, int wanted) throws Exception {
    int kept = 0;
    try (BufferedReader lines =
        new BufferedReader(
            new InputStreamReader(process.getInputStream(), StandardCharsets.UTF_8))) {
      for (String line = lines.readLine(); line != null && kept < wanted; ) {
        kept += line.contains("\"event\":\"kept\"") ? 1 : 0;
        line = kept < wanted ? lines.readLine() : line;
      }
      process.toHandle().destroyForcibly();
    }
    process.waitFor();
    assertEquals(wanted, kept, said());
  }

  @Test
  void brokerAndReceiverAreKilledAndNothingIsLostOrDoubled() throws Exception {
    spool(1, 300);
    Random random = new Random(SEED);
    try (Broker broker = new Broker(temp);
        ExampleReceiver receiver = new ExampleReceiver(broker.plain, temp)) {
      outlet("mqtt://127.0.0.1:" + broker.plain, "");
      try (Outlets outlets = started()) {
        for (int kill = 0; kill < 4; kill++) {
          long to = Math.max(1, 300 - 70L * (4 - kill) + random.nextInt(20));
          await("seed " + SEED + ": up to " + to, () -> 300 - waiting(outlets) >= to);
          if (kill % 2 == 0) {
            broker.killAndStart();
          } else {
            receiver.killAndStart();
          }
        }
        await("all 300", () -> waiting(outlets) == 0);
      }
      assertAllInOrder(300, receiver.stored());
    }
  }

  /** A hundred kills of each, over ten thousand facts. */
  @Test
  @Tag("bench")
  void aHundredKillsOfEach() throws Exception {
    int facts = Integer.getInteger("meniscus.facts", 10_000);
    int kills = Integer.getInteger("meniscus.kills", 100);
    spool(1, facts);
    Random random = new Random(SEED);
    List<Integer> order = new ArrayList<>();
    for (int who = 0; who < 3 * kills; who++) {
      order.add(who % 3);
    }
    java.util.Collections.shuffle(order, random);
    try (Broker broker = new Broker(temp);
        ExampleReceiver receiver = new ExampleReceiver(broker.plain, temp)) {
      outlet("mqtt://127.0.0.1:" + broker.plain, "");
      List<String> words =
          List.of("page", "--at", "0", "--data", files.toString(), "--bench", bench.toString());
      Process program = program(words);
      int done = 0;
      long began = System.nanoTime();
      for (int who : order) {
        long to = (long) facts * done++ / order.size() + random.nextInt(10);
        await(
            "seed " + SEED + ", kill " + done + ": up to " + to,
            () -> Outlets.onDisk(bench).get(0).storedUpTo() >= to);
        if (who == 0) {
          broker.killAndStart();
        } else if (who == 1) {
          receiver.killAndStart();
        } else {
          program.destroyForcibly().waitFor();
          program = program(words);
        }
        receiver.startWhereItEnded();
      }
      await("all", () -> Outlets.onDisk(bench).get(0).waiting() == 0);
      program.destroyForcibly().waitFor();
      assertAllInOrder(facts, receiver.stored());
      System.out.printf(
          "%d kills of broker, receiver and program each over %d facts (seed %d): all stored, none"
              + " twice, in order; %d s%n",
          kills, facts, SEED, TimeUnit.NANOSECONDS.toSeconds(System.nanoTime() - began));
    }
  }

  // ------------------------------------------------------------------ strange brokers

  @Test
  void aBrokerThatNeverAnswersTakesNothingFromTheTest() throws Exception {
    List<LiftPoint> alone = recorded(Outlets.none(), "alone");
    try (SilentBroker silent = new SilentBroker()) {
      outlet("mqtt://127.0.0.1:" + silent.port(), "");
      try (Outlets outlets = started()) {
        List<LiftPoint> beside = recorded(outlets, "beside");
        assertEquals(
            alone.stream().map(LiftPoint::flowM3PerS).toList(),
            beside.stream().map(LiftPoint::flowM3PerS).toList(),
            "the same readings were taken");
        await("sent", () -> silent.published.get() > 0);
        assertTrue(waiting(outlets) > 0);
      }
    }
  }

  private List<LiftPoint> recorded(Outlets outlets, String name) throws Exception {
    Path out = temp.resolve(name);
    return new TestRecorder(
            new TestRecorder.Request(
                bench,
                files.resolve("plan.json"),
                out,
                Optional.empty(),
                true,
                false,
                new Feeds.Simulation(true, 1, new Mounted.Head(Scenario.demo().before()))),
            Drivers.shipped())
        .record(session -> outlets.begins(out, session))
        .points();
  }

  @Test
  void onlyABrokerWhoProvesWhoHeIsGetsFactsAndOnlyWithThePassword() throws Exception {
    spool(1, 3);
    try (Broker broker = new Broker(temp);
        ExampleReceiver receiver = new ExampleReceiver(broker.plain, temp)) {
      String user = ", \"user\": \"" + Broker.USER + "\", \"password_secret\": ";
      String ca = ", \"ca\": \"" + broker.file("ca.pem") + "\"";
      String host = "mqtts://localhost:";
      assertStands(OutletState.How.WAITS, "certif", host + broker.encrypted, user + "\"shop\"");
      assertStands(
          OutletState.How.WAITS,
          "certif",
          host + broker.encrypted,
          user + "\"shop\", \"ca\": \"" + broker.file("other-ca.pem") + "\"");
      assertStands(OutletState.How.WAITS, "2020", host + broker.expired, user + "\"shop\"" + ca);
      assertStands(
          OutletState.How.WAITS,
          "alternative names",
          "mqtts://127.0.0.1:" + broker.encrypted,
          user + "\"shop\"" + ca);
      assertStands(
          OutletState.How.REFUSED, "not known", host + broker.encrypted, user + "\"unknown\"" + ca);
      assertStands(OutletState.How.REFUSED, "not encrypted", "mqtt://192.0.2.7", "");
      Files.writeString(temp.resolve("secrets"), "wrong = guessed\n");
      assertStands(
          OutletState.How.REFUSED, "chmod 600", host + broker.encrypted, user + "\"wrong\"" + ca);
      Files.setPosixFilePermissions(
          temp.resolve("secrets"),
          java.nio.file.attribute.PosixFilePermissions.fromString("rw-------"));
      assertStands(
          OutletState.How.WAITS,
          "Not authorized",
          host + broker.encrypted,
          user + "\"wrong\"" + ca);
      assertEquals(List.of(), receiver.stored());

      outlet(host + broker.encrypted, user + "\"shop\"" + ca);
      try (Outlets outlets = started()) {
        await("with all that is right", () -> waiting(outlets) == 0);
      }
      assertAllInOrder(3, receiver.stored());
    }
  }

  private void assertStands(OutletState.How how, String told, String address, String more)
      throws Exception {
    outlet(address, more);
    try (Outlets outlets = started()) {
      await(address + more, () -> !outlets.states().get(0).reason().isEmpty());
      OutletState state = outlets.states().get(0);
      assertEquals(how, state.how(), state.reason());
      assertTrue(state.reason().contains(told), state.reason());
      assertTrue(state.notice().orElseThrow().contains("3 facts"), state.sentence());
      assertEquals(0, state.storedUpTo());
    }
  }
}
