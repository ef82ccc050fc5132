package meniscus.recorder.upkeep;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.TreeSet;
import meniscus.core.bench.Bench;
import meniscus.core.bench.Range;
import meniscus.core.compare.RepeatabilityOverBenches;
import meniscus.core.lift.LiftPoint;
import meniscus.core.lift.Plan;
import meniscus.core.lift.Rung;
import meniscus.core.lift.Sweep;
import meniscus.core.refusal.Refusal;
import meniscus.drivers.simulated.Mounted;
import meniscus.drivers.simulated.Scenario;
import meniscus.recorder.disk.Renaming;
import meniscus.recorder.feed.ByEye;
import meniscus.recorder.feed.Feeds;
import meniscus.recorder.file.PlanFile;
import meniscus.recorder.folder.TestFolder;
import meniscus.recorder.session.Leftover;
import meniscus.recorder.session.TestRecorder;

/**
 * Leads through the fittings of one head: off, on again, a short ladder, each a lift test of its
 * own in the folder {@code repeats} beside the bench file. What was broken off is taken up again.
 *
 * @param place where it is done
 * @param bench as it is known
 * @param plan of one fitting
 * @param count how many
 * @param simulation of the simulated bench: each fitting a seed of its own
 */
record Fittings(UpkeepPlace place, Bench bench, Plan plan, int count, Feeds.Simulation simulation) {

  private static final String FOLDER = "repeats";
  private static final String PLAN = "plan.json";

  /**
   * Lifts of a fitting: the fewest that the model of the scatter (a part that moves the whole curve
   * and one that goes as 1/lift, see {@code core.compare}) is fitted through, so that few fittings
   * are pooled over lifts.
   */
  private static final int LIFTS = 4;

  /** To take a head off and put it back, for the estimate that is told (our own choice) [min]. */
  private static final double FITTING_MINUTES = 3;

  /** To set a lift and average there, for the same [min]. */
  private static final double LIFT_MINUTES = 0.75;

  static Fittings of(UpkeepPlace place, Bench bench, Plan whole, UpkeepRequest request)
      throws WrongRequest {
    int count = (int) request.number("fittings", 3, 20, bench);
    Plan brief = brief(whole);
    Range range = brief.range().map(bench::range).orElseGet(() -> bench.ranges().get(0));
    Feeds.Simulation simulation = request.simulation(new Mounted.Head(Scenario.demo().before()));
    BenchAt at =
        new BenchAt(bench, place.benchFile(), place.drivers(), simulation, BenchAt.Pace.CAREFUL);
    List<ByEye> byEye = at.pressuresByEye(range);
    if (!byEye.isEmpty()) {
      throw WrongRequest.notNow(
          "drop or test pressure are read by eye here: record the head as usual, each time after"
              + " it was off, and name those tests instead");
    }
    return new Fittings(place, bench, brief, count, simulation);
  }

  /** The lowest and the highest lift of the opening sweep, and some between. */
  private static Plan brief(Plan whole) {
    TreeSet<Double> lifts = new TreeSet<>();
    whole.ladder().stream()
        .filter(rung -> rung.sweep() == Sweep.OPENING && rung.testPressurePa().isEmpty())
        .map(Rung::liftM)
        .filter(lift -> lift > 0)
        .forEach(lifts::add);
    List<Double> all = lifts.isEmpty() ? List.of() : List.copyOf(lifts);
    if (all.size() < 2) {
      throw new Refusal(
          "the plan has fewer than two lifts on the way up: take the plan of your tests");
    }
    int size = Math.min(LIFTS, all.size());
    List<Rung> rungs = new ArrayList<>();
    for (int i = 0; i < size; i++) {
      int index = Math.round((float) i * (all.size() - 1) / (size - 1));
      rungs.add(new Rung(i + 1, all.get(index), Sweep.OPENING, OptionalDouble.empty(), false));
    }
    return whole.with(rungs).with(new Plan.Subject(whole.part(), whole.port(), List.of()));
  }

  String head() {
    return plan.part().head();
  }

  private Path folder() {
    return place.folder().resolve(FOLDER).resolve(safe(head()));
  }

  /** A folder's name out of what people chose. */
  private static String safe(String name) {
    String safe = name.strip().replaceAll("[^A-Za-z0-9-]+", "_");
    return safe.isEmpty() ? "head" : safe;
  }

  /** What it costs, and what it buys. */
  private UpkeepMessage offer() {
    int lifts = plan.ladder().size();
    return new UpkeepMessage.FittingsAhead(
        count,
        lifts,
        count * (FITTING_MINUTES + LIFT_MINUTES * lifts),
        RepeatabilityOverBenches.USUAL,
        RepeatabilityOverBenches.smallestChange(
            RepeatabilityOverBenches.USUAL, count - 1 + RepeatabilityOverBenches.USUAL_DEGREES, 8));
  }

  /** The finished test folders of all fittings. */
  List<Path> taken(BenchOperator operator) throws IOException, InterruptedException {
    operator.told(offer());
    takeUp(operator);
    Path planFile = folder().resolve(PLAN);
    if (!Files.exists(planFile)) {
      Files.createDirectories(folder());
      PlanFile.write(planFile, plan);
    }
    List<Path> folders = new ArrayList<>();
    for (int i = 1; i <= count; i++) {
      Path fitting = folder().resolve("fitting-" + i);
      if (TestFolder.state(fitting) != TestFolder.State.FINISHED) {
        operator.step(new BenchOperator.Step("fitting", i, count, 1, 1));
        take(fitting, i, planFile, operator);
      }
      Leftover.cleared(fitting, Optional.empty(), ofMirror -> {});
      folders.add(fitting);
    }
    return folders;
  }

  /** Fittings that were left by a break are used, or put aside. */
  private void takeUp(BenchOperator operator) throws IOException, InterruptedException {
    int left = 0;
    while (TestFolder.state(folder().resolve("fitting-" + (left + 1)))
        == TestFolder.State.FINISHED) {
      left++;
    }
    boolean any =
        left > 0 || TestFolder.state(folder().resolve("fitting-1")) != TestFolder.State.NONE;
    if (any
        && !operator.takesOver(
            left
                + (left == 1 ? " fitting" : " fittings")
                + " of head "
                + head()
                + ", left by a"
                + " repeat that was interrupted,")) {
      putAside();
    }
  }

  /** The series is learned, or not wanted: its folder makes room for the next one. */
  void putAside() throws IOException {
    String day = place.now().toString().substring(0, 10);
    Path aside = folder().resolveSibling(safe(head()) + "-" + day);
    for (int more = 2; Files.exists(aside); more++) {
      aside = folder().resolveSibling(safe(head()) + "-" + day + "-" + more);
    }
    Renaming.move(folder(), aside);
  }

  private void take(Path fitting, int number, Path planFile, BenchOperator operator)
      throws IOException, InterruptedException {
    operator.ready(
        "Fitting "
            + number
            + " of "
            + count
            + ". Blower off, head "
            + head()
            + " off with everything around it; put it back as for a test. Blower on.");
    boolean resume = TestFolder.state(fitting) == TestFolder.State.UNFINISHED;
    TestRecorder recorder =
        new TestRecorder(
            new TestRecorder.Request(
                place.benchFile(),
                planFile,
                fitting,
                Optional.empty(),
                handsFree(),
                resume,
                new Feeds.Simulation(
                    simulation.quick(),
                    simulation.seed() * 1000 + 100 + number,
                    simulation.mounted())),
            place.drivers());
    TestRecorder.Outcome outcome = new LedTest(operator, plan, handsFree()).run(recorder);
    if (outcome.folder().isEmpty() || outcome.openRungs() > 0) {
      throw new Refusal(
          "fitting "
              + number
              + " was not taken whole ("
              + words(outcome.points())
              + "): begin again to go on with it");
    }
  }

  private static String words(List<LiftPoint> points) {
    return points.size() + (points.size() == 1 ? " lift is" : " lifts are") + " kept";
  }

  /** Where a gauge reads the lift nobody need say keep. */
  private boolean handsFree() {
    return LedTest.liftIsHeard(bench);
  }
}
