package meniscus.recorder.demo;

import com.fasterxml.jackson.databind.ObjectMapper;
import com.fasterxml.jackson.databind.node.ArrayNode;
import com.fasterxml.jackson.databind.node.ObjectNode;
import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Instant;
import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.SortedMap;
import java.util.function.Consumer;
import meniscus.core.air.AirState;
import meniscus.core.bench.Bench;
import meniscus.core.bench.Repeatability;
import meniscus.core.compare.Comparison;
import meniscus.core.compare.Question;
import meniscus.core.lift.Plan;
import meniscus.core.lift.Rung;
import meniscus.core.time.Moment;
import meniscus.drivers.simulated.DemoChange;
import meniscus.drivers.simulated.Mounted;
import meniscus.drivers.simulated.Scenario;
import meniscus.drivers.simulated.TrueLift;
import meniscus.recorder.feed.Drivers;
import meniscus.recorder.feed.Feeds;
import meniscus.recorder.file.BenchFile;
import meniscus.recorder.file.PlanFile;
import meniscus.recorder.file.PlatesFile;
import meniscus.recorder.file.WholeFile;
import meniscus.recorder.journal.Header;
import meniscus.recorder.report.Report;
import meniscus.recorder.report.TestRead;
import meniscus.recorder.session.FolderFiles;
import meniscus.recorder.session.TestRecorder;
import meniscus.recorder.session.TestSession;
import meniscus.recorder.upkeep.BenchAt;

/**
 * A whole before/after job: zero, leakage, calibration with calm record, repeatability, a test as
 * received, a test after the change, comparison, report.
 */
public final class DemoJob {

  /**
   * A change smaller than this is none when the simulation's truth is put into a word [1]: about
   * what one run a side can decide on a good bench.
   */
  private static final double NO_CHANGE = 0.01;

  private static final String PLATES = "plates.json";

  private static final ObjectMapper JSON = new ObjectMapper();

  private final Path out;
  private final boolean quick;
  private final long seed;
  private final DemoChange change;
  private final Consumer<String> progress;

  /** The demo's usual change, see the constructor below. */
  public DemoJob(Path out, boolean quick, long seed, Consumer<String> progress) {
    this(out, quick, seed, DemoChange.SHORT_SIDE, progress);
  }

  /**
   * @param out folder to write into; must not hold a demo already
   * @param quick in simulated time
   * @param seed of noise, weather and fitting
   * @param change what became of the head between the tests
   * @param progress is told each step
   */
  public DemoJob(Path out, boolean quick, long seed, DemoChange change, Consumer<String> progress) {
    this.change = change;
    this.out = out;
    this.quick = quick;
    this.seed = seed;
    this.progress = progress;
  }

  /**
   * Runs it all.
   *
   * @param ready is given each test's session before it runs
   * @return the comparison of the two tests
   */
  public Comparison run(Consumer<TestSession> ready) throws IOException, InterruptedException {
    Files.createDirectories(out);
    WholeFile.write(planFile(), DemoFiles.text(Header.PLAN));
    WholeFile.write(benchFile(), DemoFiles.text(Header.BENCH));
    WholeFile.write(out.resolve(PLATES), DemoFiles.text(PLATES));
    prepareBench();
    Scenario scenario = change.scenario();
    record("before", "the head as received", new Mounted.Head(scenario.before()), 11, ready);
    record("after", change.done(), change.mounted(), 12, ready);
    progress.accept("comparing, report");
    writeTruth(scenario);
    List<TestRead> before = List.of(TestRead.open(out.resolve("before")));
    List<TestRead> after = List.of(TestRead.open(out.resolve("after")));
    Comparison comparison =
        Comparison.of(
            before.stream().map(TestRead::curve).toList(),
            after.stream().map(TestRead::curve).toList(),
            question());
    Files.writeString(
        out.resolve("report.html"),
        Report.of(List.of(), Optional.of(new Report.Compared(before, after, comparison))),
        StandardCharsets.UTF_8);
    return comparison;
  }

  private static Question question() {
    return new Question(OptionalDouble.empty(), Question.USUAL_RESOLUTION, Optional.empty(), false);
  }

  private Path benchFile() {
    return out.resolve(Header.BENCH);
  }

  private Path planFile() {
    return out.resolve(Header.PLAN);
  }

  // ------------------------------------------------------------------ the bench

  private void prepareBench() throws IOException, InterruptedException {
    BenchAt at =
        new BenchAt(
            BenchFile.read(benchFile()),
            benchFile(),
            Drivers.shipped(),
            new Feeds.Simulation(quick, seed, new Mounted.Blank()),
            BenchAt.Pace.BRISK);
    Bench bench =
        new DemoBench(at, PlatesFile.read(out.resolve(PLATES)), Instant.now(), progress)
            .prepared(at.bench());
    BenchFile.write(benchFile(), bench);
    progress.accept(
        "repeatability: the head put on " + DemoRepeats.FITTINGS + " times (in simulated time)");
    Repeatability learned = repeatability();
    BenchFile.write(benchFile(), bench.with(known -> known.withRepeatability(learned)));
  }

  /** Short averages: the calm record is not needed, only what the fitting does. */
  private Repeatability repeatability() {
    SortedMap<String, byte[]> files = FolderFiles.gather(benchFile(), planFile());
    return DemoRepeats.learned(
        files,
        seed * 1000 + 100,
        (assembly, bench, simulation) ->
            Feeds.simulated(
                assembly.bench(),
                Feeds.wire(assembly.bench(), benchFile(), Drivers.shipped()),
                bench,
                simulation,
                Moment.START));
  }

  // ------------------------------------------------------------------ the tests

  private void record(
      String folder, String what, Mounted head, int day, Consumer<TestSession> ready)
      throws IOException, InterruptedException {
    progress.accept("test \"" + folder + "\": " + what);
    new TestRecorder(
            new TestRecorder.Request(
                benchFile(),
                planFile(),
                out.resolve(folder),
                Optional.empty(),
                true,
                false,
                new Feeds.Simulation(quick, seed * 1000 + day, head)),
            Drivers.shipped())
        .record(ready);
  }

  // ------------------------------------------------------------------ the truth

  private void writeTruth(Scenario scenario) throws IOException {
    Plan plan = PlanFile.read(planFile());
    List<Double> lifts = plan.ladder().stream().map(Rung::liftM).toList();
    Plan.Reference reference = plan.reference();
    ObjectNode truth = JSON.createObjectNode();
    truth.put("lift_unit", plan.units().lift().symbol());
    truth.put("flow_unit", plan.units().flow().symbol());
    ArrayNode rows = truth.putArray("lifts");
    for (TrueLift lift :
        TrueLift.ladder(
            scenario,
            lifts,
            plan.direction(),
            reference.testPressurePa(),
            new AirState(
                reference.temperatureK(), reference.pressurePa(), reference.relativeHumidity()))) {
      double change = lift.relativeDifference();
      rows.addObject()
          .put("lift", plan.units().lift().fromSi(lift.liftM()))
          .put("before", plan.units().flow().fromSi(lift.beforeM3PerS()))
          .put("after", plan.units().flow().fromSi(lift.afterM3PerS()))
          .put(
              "outcome",
              change > NO_CHANGE ? "gain" : change < -NO_CHANGE ? "loss" : "no real change");
    }
    WholeFile.write(
        out.resolve("truth.json"),
        JSON.writerWithDefaultPrettyPrinter().writeValueAsString(truth) + "\n");
  }
}
