package meniscus.recorder.demo;

import com.fasterxml.jackson.databind.node.ObjectNode;
import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Instant;
import java.util.List;
import java.util.Optional;
import java.util.function.BiConsumer;
import java.util.function.Consumer;
import meniscus.core.compare.Comparison;
import meniscus.core.flow.Direction;
import meniscus.drivers.simulated.DemoChange;
import meniscus.drivers.simulated.Mounted;
import meniscus.drivers.simulated.Scenario;
import meniscus.recorder.file.PlanFile;
import meniscus.recorder.file.WholeFile;
import meniscus.recorder.journal.Header;
import meniscus.recorder.report.Report;
import meniscus.recorder.report.TestRead;
import meniscus.recorder.session.TestRecorder;
import meniscus.recorder.session.TestSession;

/**
 * A whole before/after job: zero, leakage, calibration with calm record, repeatability, a test as
 * received, a test after the change, comparison, report.
 */
public final class DemoJob {

  private static final String BEFORE = "before";
  private static final String AFTER = "after";

  private final DemoStand stand;
  private final DemoChange change;

  /**
   * @param out folder to write into; must not hold a demo already
   * @param quick in simulated time
   * @param seed of noise, weather and fitting
   * @param change what became of the head between the tests
   * @param progress is told each step
   */
  public DemoJob(
      Path out, boolean quick, long seed, DemoChange change, DemoStep.Progress progress) {
    this.stand = new DemoStand(out, quick, seed, progress);
    this.change = change;
  }

  /**
   * Runs it all, one step after the other, for whoever watches.
   *
   * @param ready is given each test's session before it runs
   * @return the comparison of the two tests
   */
  public Comparison run(Consumer<TestSession> ready) throws IOException, InterruptedException {
    Scenario scenario = begun();
    begins(DemoStep.BEFORE, "test \"before\": the head as received");
    test(BEFORE, new Mounted.Head(scenario.before()), 11).record(ready);
    begins(DemoStep.AFTER, "test \"after\": " + change.done());
    test(AFTER, change.mounted(), 12).record(ready);
    return compared(scenario);
  }

  /**
   * The same in less time: the two tests know nothing of each other, and are worked out beside each
   * other.
   *
   * @param ready is given each test's name and its session before it runs, on the test's thread
   */
  public Comparison runBeside(BiConsumer<String, TestSession> ready)
      throws IOException, InterruptedException {
    Scenario scenario = begun();
    begins(
        DemoStep.BEFORE,
        "tests beside each other: \"before\", the head as received, and \"after\", "
            + change.done());
    TestRecorder before = test(BEFORE, new Mounted.Head(scenario.before()), 11);
    TestRecorder after = test(AFTER, change.mounted(), 12);
    DemoStand.beside(
        List.of(
            () -> before.record(session -> ready.accept(BEFORE, session)),
            () -> after.record(session -> ready.accept(AFTER, session))));
    return compared(scenario);
  }

  private Scenario begun() throws IOException, InterruptedException {
    stand.writeBench();
    WholeFile.write(planFile(), DemoFiles.text(Header.PLAN));
    stand.prepare(List.of(Direction.SUCTION), planFile(), Instant.now());
    return change.scenario();
  }

  private Comparison compared(Scenario scenario) throws IOException, InterruptedException {
    begins(DemoStep.COMPARING, "comparing, report");
    ObjectNode truth = DemoTruth.object();
    DemoTruth.put(truth, PlanFile.read(planFile()), scenario);
    DemoTruth.write(stand.out(), truth);
    List<TestRead> before = List.of(TestRead.open(stand.out().resolve(BEFORE)));
    List<TestRead> after = List.of(TestRead.open(stand.out().resolve(AFTER)));
    Comparison comparison =
        Comparison.of(
            before.stream().map(TestRead::curve).toList(),
            after.stream().map(TestRead::curve).toList(),
            DemoStand.question());
    Files.writeString(
        stand.out().resolve("report.html"),
        Report.of(List.of(), Optional.of(new Report.Compared(before, after, comparison))),
        StandardCharsets.UTF_8);
    return comparison;
  }

  private Path planFile() {
    return stand.out().resolve(Header.PLAN);
  }

  private void begins(DemoStep step, String sentence) throws InterruptedException {
    stand.progress().begins(step, sentence);
  }

  private TestRecorder test(String name, Mounted head, int day) {
    return stand.recorder(planFile(), stand.out().resolve(name), head, day);
  }
}
