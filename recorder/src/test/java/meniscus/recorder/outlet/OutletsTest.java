package meniscus.recorder.outlet;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.StandardOpenOption;
import java.util.HashSet;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.concurrent.TimeUnit;
import java.util.function.BooleanSupplier;
import java.util.stream.LongStream;
import java.util.stream.Stream;
import meniscus.core.lift.LiftPoint;
import meniscus.core.outlet.Fact;
import meniscus.core.outlet.OutletPlugin;
import meniscus.drivers.simulated.Mounted;
import meniscus.drivers.simulated.Scenario;
import meniscus.recorder.feed.Drivers;
import meniscus.recorder.feed.Feeds;
import meniscus.recorder.file.Schema;
import meniscus.recorder.folder.TestFolder;
import meniscus.recorder.journal.Journal;
import meniscus.recorder.record.Recorder;
import meniscus.recorder.session.Leftover;
import meniscus.recorder.session.TestRecorder;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** Facts of whole simulated tests on their way to a receiver in this process. */
class OutletsTest {

  private static final long PATIENCE_SECONDS = 60;
  private static final OutletRun.Pauses SHORT = new OutletRun.Pauses(20, 200, 200);

  @TempDir Path temp;

  private Path bench;
  private Path files;
  private Path out;

  @BeforeEach
  void describe() throws Exception {
    files = Recorder.files(temp);
    bench = files.resolve("bench.json");
    out = temp.resolve("out");
    give("{\"name\": \"shop\", \"plugin\": \"remembering\"}");
  }

  private void give(String outlet) throws Exception {
    Recorder.change(bench, "\"bench/1\"", "\"bench/1.1\", \"outlets\": [" + outlet + "]");
  }

  private Outlets started(OutletPlugin... plugins) {
    return Outlets.start(
        bench, List.of(plugins), new Secrets(temp.resolve("secrets"), Map.of()), SHORT);
  }

  private TestRecorder.Outcome record(Outlets outlets) throws Exception {
    return record(outlets, Optional.empty());
  }

  private TestRecorder.Outcome record(Outlets outlets, Optional<Path> mirror) throws Exception {
    return new TestRecorder(
            new TestRecorder.Request(
                bench,
                files.resolve("plan.json"),
                out,
                mirror,
                true,
                false,
                new Feeds.Simulation(true, 1, new Mounted.Head(Scenario.demo().before()))),
            Drivers.shipped())
        .record(session -> outlets.begins(out, session));
  }

  private static void await(String what, BooleanSupplier come) throws InterruptedException {
    long until = System.nanoTime() + TimeUnit.SECONDS.toNanos(PATIENCE_SECONDS);
    while (!come.getAsBoolean()) {
      assertTrue(System.nanoTime() < until, what);
      Thread.sleep(10);
    }
  }

  /** Facts that are there already. */
  private void spool(List<Fact> facts) throws IOException {
    Path folder = Files.createDirectories(bench.resolveSibling(Outlets.FOLDER));
    try (FactSpool spool = FactSpool.open(folder)) {
      spool.append(facts);
    }
  }

  private static List<String> keys(List<Fact> facts) {
    return facts.stream().map(Fact::key).toList();
  }

  @Test
  void aTestArrivesInItsOrderAndAsItWasKept() throws Exception {
    RememberingOutlet receiver = RememberingOutlet.storing();
    TestRecorder.Outcome outcome;
    try (Outlets outlets = started(receiver)) {
      outcome = record(outlets);
      assertTrue(outcome.points().size() >= 3);
    }
    List<Fact> facts = receiver.sent();
    assertEquals(
        LongStream.rangeClosed(1, facts.size()).boxed().toList(),
        facts.stream().map(Fact::place).toList());
    assertEquals(facts.size(), new HashSet<>(keys(facts)).size());
    assertEquals(Fact.Kind.TEST_BEGUN, facts.get(0).kind());
    Fact last = facts.get(facts.size() - 1);
    assertEquals(Fact.Kind.TEST_FINISHED, last.kind());
    List<LiftPoint> inFolder = TestFolder.open(out).points();
    assertEquals(
        inFolder.stream().map(LiftPoint::flowM3PerS).toList(),
        facts.stream()
            .filter(fact -> fact.kind() == Fact.Kind.POINT_KEPT)
            .map(fact -> fact.numbers().get("flow_m3_per_s"))
            .toList());
    assertEquals(
        inFolder.stream().map(point -> point.flowU95().orElseThrow()).toList(),
        last.points().stream().map(point -> point.get("flow_u95_m3_per_s")).toList());
    assertTrue(receiver.shown() > 0, "live values");
    for (int i = 0; i < facts.size(); i++) {
      String json = receiver.json().get(i);
      assertEquals(facts.get(i), FactJson.read(json));
      assertEquals(List.of(), Schema.of("fact-1").complaints(json), json);
    }
    assertEquals(TestFolder.stated(out).id(), last.testId().orElseThrow(), "the test's own id");
    assertEquals(List.of(), new FollowedTests(bench.resolveSibling("outlet")).all());
    assertEquals(0, Outlets.onDisk(bench).get(0).waiting());
  }

  @Test
  void whatWasNotAnsweredForIsSentAgainAndAFinishedFolderTellsTheSameFacts() throws Exception {
    RememberingOutlet silent = new RememberingOutlet(place -> "hello");
    try (Outlets outlets = started(silent)) {
      record(outlets);
      await("sent again when no answer comes", () -> silent.sent().size() > 8);
    }
    assertTrue(
        Outlets.onDisk(bench).get(0).waiting() > 4, "a PUBACK, as it were, counts for nothing");
    RememberingOutlet receiver = RememberingOutlet.storing();
    try (Outlets outlets = started(receiver)) {
      await("all", () -> ends(receiver) && allStored(outlets));
    }
    // As after a kill before anything was in the spool.
    Path spool = bench.resolveSibling("outlet");
    Files.delete(spool.resolve(FactSpool.FILE));
    new FollowedTests(spool).add(out);
    RememberingOutlet other = RememberingOutlet.storing();
    try (Outlets outlets = started(other)) {
      await("all of the folder", () -> ends(other) && allStored(outlets));
    }
    assertEquals(keys(receiver.sent()), keys(other.sent()));
  }

  /** Of a program that was killed right after its test was finished. */
  @Test
  void aTestWhoseJournalIsLeftBesideItsFolderIsToldAsFinishedOnce() throws Exception {
    Path mirror = Files.createDirectory(temp.resolve("mirror"));
    record(Outlets.none(), Optional.of(mirror));
    try (Stream<Path> kept = Files.list(mirror)) {
      Path finished =
          kept.filter(file -> file.toString().endsWith(".journal")).findFirst().orElseThrow();
      Files.copy(finished, out.resolve(Journal.NAME));
    }
    Path spool = bench.resolveSibling(Outlets.FOLDER);
    RememberingOutlet receiver = RememberingOutlet.storing();
    for (int start = 0; start < 2; start++) {
      new FollowedTests(spool).add(out);
      try (Outlets outlets = started(receiver)) {
        await("all", () -> ends(receiver) && allStored(outlets) && nothingFollowed(spool));
      }
      assertEquals(start == 0, Leftover.cleared(out, Optional.empty(), why -> {}).isPresent());
    }
    assertEquals(keys(receiver.sent()).stream().distinct().toList(), keys(receiver.sent()));
    assertTrue(receiver.sent().size() > 4);
  }

  private static boolean nothingFollowed(Path spool) {
    try {
      return new FollowedTests(spool).all().isEmpty();
    } catch (IOException goneMeanwhile) {
      return false;
    }
  }

  private static boolean allStored(Outlets outlets) {
    return outlets.states().stream().allMatch(state -> state.waiting() == 0);
  }

  private static boolean ends(RememberingOutlet receiver) {
    return receiver.sent().stream().anyMatch(fact -> fact.kind() == Fact.Kind.TEST_FINISHED);
  }

  @Test
  void aReceiverThatIsAheadIsRefusedAloudAndMovesNothing() throws Exception {
    RememberingOutlet ahead = new RememberingOutlet(place -> "{\"stored_up_to\": 4711}");
    spool(MadeUpFacts.of(1, 3));
    try (Outlets outlets = started(ahead)) {
      await("refused", () -> outlets.states().get(0).how() == OutletState.How.REFUSED);
      assertTrue(outlets.states().get(0).reason().contains("4711"));
    }
    assertEquals(0, Outlets.onDisk(bench).get(0).storedUpTo());
  }

  @Test
  void halfALineIsCutOffAndPlacesGoOn() throws Exception {
    spool(MadeUpFacts.of(1, 3));
    Path spool = bench.resolveSibling("outlet").resolve(FactSpool.FILE);
    List<String> before = Files.readAllLines(spool);
    Files.writeString(spool, before.get(0).substring(0, 40), StandardOpenOption.APPEND);
    spool(MadeUpFacts.of(4, 2));
    List<String> after = Files.readAllLines(spool, StandardCharsets.UTF_8);
    assertEquals(before, after.subList(0, before.size()));
    RememberingOutlet receiver = RememberingOutlet.storing();
    try (Outlets outlets = started(receiver)) {
      await("all", () -> outlets.states().get(0).storedUpTo() == 5);
    }
    assertEquals(
        LongStream.rangeClosed(1, 5).boxed().toList(),
        receiver.sent().stream().map(Fact::place).toList());
  }

  @Test
  void aPluginThatIsNotThereOrRefusesItsSettingsIsSaidWithWhatToDo() throws Exception {
    try (Outlets outlets = started()) {
      await("refused", () -> outlets.states().get(0).how() == OutletState.How.REFUSED);
      assertTrue(outlets.states().get(0).reason().contains("--plugins"));
    }
    Recorder.change(bench, "\"remembering\"", "\"remembering\", \"adress\": \"here\"");
    try (Outlets outlets = started(RememberingOutlet.storing())) {
      await("refused", () -> outlets.states().get(0).how() == OutletState.How.REFUSED);
      assertTrue(outlets.states().get(0).reason().contains("adress"));
    }
  }
}
