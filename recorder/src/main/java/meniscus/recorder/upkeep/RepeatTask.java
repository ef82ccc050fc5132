package meniscus.recorder.upkeep;

import com.fasterxml.jackson.databind.node.ArrayNode;
import java.io.IOException;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.stream.Collectors;
import meniscus.core.bench.Bench;
import meniscus.core.bench.Repeatability;
import meniscus.core.compare.LearnedRepeatability;
import meniscus.core.compare.RepeatabilityOverBenches;
import meniscus.core.lift.Plan;
import meniscus.core.lift.TestCurve;
import meniscus.core.quantity.Text;
import meniscus.core.quantity.Unit;
import meniscus.core.quantity.Value;
import meniscus.core.refusal.Refusal;
import meniscus.recorder.file.PlanFile;
import meniscus.recorder.report.TestRead;

/**
 * Learns how well the bench gives the same flow again: the same head taken off and put back several
 * times, a short ladder each; or tests that were taken so anyway. What is learned goes together
 * with every earlier series of this bench's epoch.
 *
 * @param bench as it is known
 * @param named tests that are there already; empty to be led through fittings
 * @param fittings to be led through; without a plan where tests are named
 */
record RepeatTask(UpkeepPlace place, Bench bench, List<Path> named, Optional<Fittings> fittings)
    implements UpkeepTask {

  static final String WORD = "repeat";

  static RepeatTask of(UpkeepRequest request, UpkeepPlace place) throws WrongRequest, IOException {
    Bench bench = place.bench();
    List<Path> named = new ArrayList<>();
    for (String test : request.texts("from")) {
      named.add(place.library().test(test));
    }
    if (!named.isEmpty()) {
      if (named.size() < 2) {
        throw WrongRequest.notUnderstood(
            "from", "names two tests or more of one head that was off in between");
      }
      return new RepeatTask(place, bench, named, Optional.empty());
    }
    Optional<String> plan = request.text("plan");
    if (plan.isEmpty()) {
      throw WrongRequest.notUnderstood(
          "plan", "names the plan of your tests: its head, set-up and test pressure are taken");
    }
    return new RepeatTask(
        place,
        bench,
        List.of(),
        Optional.of(
            Fittings.of(place, bench, PlanFile.read(place.library().plan(plan.get())), request)));
  }

  @Override
  public String word() {
    return WORD;
  }

  @Override
  public String title() {
    return fittings
        .map(each -> "Repeatability, head " + each.head())
        .orElse("Repeatability from tests");
  }

  @Override
  public boolean simulated() {
    return place.simulated(bench);
  }

  @Override
  public String keptWhenStopped() {
    return "the bench file is as it was. Each fitting that was taken is kept in the folder repeats"
        + " beside it: begin again to go on from there";
  }

  @Override
  public UpkeepOutcome work(BenchOperator operator) throws IOException, InterruptedException {
    List<Path> tests = fittings.isPresent() ? fittings.get().taken(operator) : named;
    List<TestRead> read = tests.stream().map(TestRead::open).toList();
    Repeatability learned = learned(read);
    place.write(bench.with(upkeep -> upkeep.withRepeatability(learned)));
    if (fittings.isPresent()) {
      fittings.get().putAside();
    }
    return told(learned, read.get(0).curve().plan());
  }

  private Repeatability learned(List<TestRead> read) {
    for (TestRead test : read) {
      if (!test.bench().mayBe(bench)
          || test.bench().upkeep().epoch().number() != bench.upkeep().epoch().number()) {
        throw new Refusal(
            test.curve().name()
                + " was taken on another bench, or before this one was last changed: it says"
                + " nothing of how well this bench repeats");
      }
    }
    List<TestCurve> curves = read.stream().map(TestRead::curve).toList();
    List<String> heads =
        curves.stream().map(curve -> curve.plan().part().head()).distinct().toList();
    if (heads.size() > 1) {
      throw new Refusal(
          "these are tests of several heads ("
              + String.join(", ", heads)
              + "): how well a bench repeats shows in one that was not changed");
    }
    Repeatability own = LearnedRepeatability.of(curves);
    Repeatability.Series series =
        new Repeatability.Series(
            heads.get(0),
            read.stream().map(test -> test.curve().name() + " of " + test.at()).toList(),
            place.now(),
            bench.upkeep().epoch().number(),
            own.nodes(),
            own.correlation(),
            own.degreesOfFreedom());
    List<Repeatability.Series> all = new ArrayList<>();
    bench.upkeep().repeatability().stream()
        .flatMap(known -> known.from().stream())
        .filter(earlier -> earlier.epoch() == series.epoch() && !earlier.sameTests(series))
        .forEach(all::add);
    all.add(series);
    return RepeatabilityOverBenches.of(all);
  }

  private UpkeepOutcome told(Repeatability learned, Plan plan) {
    UpkeepOutcome.Telling telling = new UpkeepOutcome.Telling();
    Unit length = plan.units().lift();
    double[] within = RepeatabilityOverBenches.knownWithin(learned.degreesOfFreedom());
    ArrayNode nodes = telling.json.putArray("nodes");
    double largest = 0;
    for (Repeatability.Node node : learned.nodes()) {
      double sd = node.relativeStandardDeviation();
      largest = Math.max(largest, sd);
      nodes.addObject().put("lift_m", node.liftM()).put("standard_deviation", sd);
      telling.good(
          Text.of(
              "at %s the flow differs by %.2f %% from fitting to fitting (one standard deviation,"
                  + " known to within %.2f to %.2f %%)",
              Value.ofSi(node.liftM(), length).toString(length == Unit.INCH_LENGTH ? 3 : 2),
              100 * sd,
              100 * within[0] * sd,
              100 * within[1] * sd));
    }
    int tests = learned.from().stream().mapToInt(series -> series.tests().size()).sum();
    telling.good(
        learned.from().size() == 1
            ? "learned from " + tests + " fittings of head " + learned.from().get(0).head()
            : "learned from "
                + tests
                + " fittings of "
                + learned.from().size()
                + " series: "
                + learned.from().stream()
                    .map(Repeatability.Series::head)
                    .distinct()
                    .collect(Collectors.joining(", ")));
    double shown =
        learned.from().stream().mapToDouble(Repeatability.Series::degreesOfFreedom).sum();
    telling.good(
        learned.degreesOfFreedom() > shown
            ? Text.of(
                "it leans on what benches usually give (%.1f %%), as if that were worth %.0f more"
                    + " fittings",
                100 * RepeatabilityOverBenches.USUAL, RepeatabilityOverBenches.USUAL_DEGREES)
            : "more scatter than benches usually have: believed by itself");
    telling.good(
        Text.of(
            "one run a side now tells a change of about %.1f %% at a lift from chance; more repeats"
                + " make it smaller",
            100
                * RepeatabilityOverBenches.smallestChange(
                    largest, learned.degreesOfFreedom(), plan.ladder().size())));
    telling
        .json
        .put("correlation", learned.correlation())
        .put("degrees_of_freedom", learned.degreesOfFreedom())
        .put("series", learned.from().size());
    return telling.as(UpkeepOutcome.Kind.DONE);
  }
}
