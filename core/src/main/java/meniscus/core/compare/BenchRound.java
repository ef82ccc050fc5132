package meniscus.core.compare;

import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Objects;
import java.util.Optional;
import java.util.stream.Stream;
import meniscus.core.decide.Estimate;
import meniscus.core.finding.Finding;
import meniscus.core.lift.LiftPoint;
import meniscus.core.lift.Plan;
import meniscus.core.lift.TestCurve;
import meniscus.core.quantity.Worded;
import meniscus.core.refusal.Refusal;
import meniscus.core.roundrobin.Reading;
import meniscus.core.roundrobin.RoundRobin;
import meniscus.core.uncertainty.Budget;
import meniscus.core.uncertainty.Contribution;
import meniscus.core.uncertainty.Contribution.Kind;

/**
 * One head, tested on several benches: lift by lift, and for the mean flow over the lifts. Or one
 * plate, for its mean flow over the test pressures.
 *
 * @param units of the first test's plan
 * @param lifts that all tests have, rising; none of a plate
 * @param mean of the mean flow over these lifts, or over a plate's test pressures
 * @param look benches that stand out somewhere, and where to look
 * @param unknownRefit benches of which nobody knows how well a head can be put back on them
 * @param findings about the tests and how far they may be held together
 */
public record BenchRound(
    Plan.Units units,
    List<AtLift> lifts,
    RoundRobin mean,
    List<Look> look,
    List<String> unknownRefit,
    List<Finding> findings) {

  /** How much better one pattern must fit to be named: e^(-6/2) = 1 : 20 (our own choice). */
  private static final double NAMED_WHERE_BETTER_BY = 6;

  /** Sources named of a bench that stands out (our own choice: what one looks at in an hour). */
  private static final int SOURCES = 2;

  /** Test pressures this near are one: asked for in other units (our own choice). */
  private static final double ONE_PRESSURE = 0.01;

  /**
   * A test and when it was taken.
   *
   * @param bench what people call the bench
   */
  public record Taken(String bench, Instant at, TestCurve test) {}

  /**
   * @param liftM asked [m]
   */
  public record AtLift(double liftM, RoundRobin found) {}

  /** How a bench's difference goes with lift. */
  public enum Goes implements Worded {
    /** The same share of the flow at every lift: its calibration, its plates, a gauge's gain. */
    SAME_SHARE,
    /** The same flow at every lift: a leak, a zero. */
    SAME_FLOW,
    /** Neither, or it cannot be told. */
    NOT_TOLD;
  }

  /**
   * Who should look at what.
   *
   * @param bench that stands out
   * @param liftsM where [m]; empty when only the mean does
   * @param sources the largest of its bench's own errors, as its budget names them
   */
  public record Look(String bench, List<Double> liftsM, Goes goes, List<String> sources) {
    public Look {
      liftsM = List.copyOf(liftsM);
      sources = List.copyOf(sources);
    }
  }

  public BenchRound {
    Objects.requireNonNull(units);
    lifts = List.copyOf(lifts);
    look = List.copyOf(look);
    unknownRefit = List.copyOf(unknownRefit);
    findings = List.copyOf(findings);
  }

  /**
   * @param unsorted tests of one head, two benches or more; the bench of the earliest is the pilot
   * @throws Refusal with one bench alone, or without a lift in common
   */
  public static BenchRound of(List<Taken> unsorted, Question question) {
    List<Taken> taken = unsorted.stream().sorted(Comparator.comparing(Taken::at)).toList();
    Map<String, String> names = names(taken);
    if (names.size() < 2) {
      throw new Refusal(
          "these tests are of one bench: a round robin needs one head tested on two benches or"
              + " more");
    }
    List<TestCurve> tests = taken.stream().map(Taken::test).toList();
    CommonLifts common = CommonLifts.onBenches(tests, question);
    List<Run> runs = Stream.concat(common.before().stream(), common.after().stream()).toList();
    List<List<Reading>> columns = columns(taken, runs, names);
    int size = common.lifts().length;
    // One false claim or more over all lifts and the mean.
    double falseClaim = question.falseClaim() / (size + 1);
    List<AtLift> lifts = new ArrayList<>();
    for (int i = 0; i < size; i++) {
      lifts.add(new AtLift(common.lifts()[i], RoundRobin.of(columns.get(i), falseClaim)));
    }
    RoundRobin mean = RoundRobin.of(columns.get(size), falseClaim);
    return new BenchRound(
        tests.get(0).plan().units(),
        lifts,
        mean,
        look(lifts, mean, columns),
        unknown(taken, names),
        findings(tests));
  }

  /**
   * The same of one plate's readings.
   *
   * @param unsorted readings of one plate, two benches or more
   * @throws Refusal with one bench alone, or without a test pressure in common
   */
  public static BenchRound ofPlate(List<Taken> unsorted, Question question) {
    List<Taken> taken = unsorted.stream().sorted(Comparator.comparing(Taken::at)).toList();
    Map<String, String> names = names(taken);
    if (names.size() < 2) {
      throw new Refusal(
          "these readings are of one bench: a round robin needs one plate read on two benches or"
              + " more");
    }
    List<TestCurve> tests = taken.stream().map(Taken::test).toList();
    List<Double> pressures =
        tests.get(0).points().stream()
            .map(point -> askedPa(tests.get(0), point))
            .filter(pressure -> tests.stream().allMatch(test -> at(test, pressure).isPresent()))
            .toList();
    if (pressures.isEmpty()) {
      throw new Refusal(
          "the plate was read at no test pressure that all benches have in common: read it at one"
              + " and the same");
    }
    List<Run> runs = tests.stream().map(test -> run(test, pressures)).toList();
    List<List<Reading>> columns = columns(taken, runs, names);
    RoundRobin mean = RoundRobin.of(columns.get(0), question.falseClaim());
    return new BenchRound(
        tests.get(0).plan().units(),
        List.of(),
        mean,
        look(List.of(), mean, columns),
        List.of(),
        List.of());
  }

  /** Flows are of one reference test pressure, so their mean is one more flow. */
  private static Run run(TestCurve test, List<Double> pressuresPa) {
    double flow = 0;
    List<Contribution> all = new ArrayList<>();
    for (double pressure : pressuresPa) {
      LiftPoint point = at(test, pressure).orElseThrow();
      flow += point.flowM3PerS() / pressuresPa.size();
      all.addAll(TestCurve.budget(point).times(1.0 / pressuresPa.size()).contributions());
    }
    return new Run(test, new double[0], new double[] {flow}, List.of(new Budget(all)));
  }

  private static Optional<LiftPoint> at(TestCurve test, double pressurePa) {
    return test.points().stream()
        .filter(point -> Math.abs(askedPa(test, point) - pressurePa) <= ONE_PRESSURE * pressurePa)
        .findFirst();
  }

  private static double askedPa(TestCurve test, LiftPoint point) {
    return test.plan().ladder().stream()
        .filter(rung -> rung.number() == point.rung())
        .mapToDouble(test.plan()::aimPa)
        .findFirst()
        .orElseThrow();
  }

  /** True of a plate's readings. */
  public boolean ofPlate() {
    return lifts.isEmpty();
  }

  private static List<Look> look(List<AtLift> lifts, RoundRobin mean, List<List<Reading>> columns) {
    List<Look> look = new ArrayList<>();
    for (RoundRobin.Equivalence bench : mean.benches()) {
      List<Double> where =
          lifts.stream()
              .filter(at -> at.found().bench(bench.bench()).standsOut())
              .map(AtLift::liftM)
              .toList();
      if (bench.standsOut() || !where.isEmpty()) {
        look.add(
            new Look(
                bench.bench(),
                where,
                goes(lifts, bench.bench(), columns),
                sources(columns.get(columns.size() - 1), bench.bench())));
      }
    }
    return look;
  }

  /** Benches of one name are told apart by a number. */
  private static Map<String, String> names(List<Taken> taken) {
    Map<String, String> names = new LinkedHashMap<>();
    for (Taken one : taken) {
      String name = one.bench();
      for (int n = 2; names.containsValue(name) && !names.containsKey(one.test().bench()); n++) {
        name = one.bench() + " (" + n + ")";
      }
      names.putIfAbsent(one.test().bench(), name);
    }
    return names;
  }

  private static List<List<Reading>> columns(
      List<Taken> taken, List<Run> runs, Map<String, String> names) {
    List<List<Scatter.OneRun>> scatter = runs.stream().map(Scatter::ofRun).toList();
    Instant first = taken.get(0).at();
    List<List<Reading>> columns = new ArrayList<>();
    for (int c = 0; c < runs.get(0).columns(); c++) {
      List<Reading> readings = new ArrayList<>();
      for (int r = 0; r < runs.size(); r++) {
        Scatter.OneRun own = scatter.get(r).get(c);
        Estimate sum = Estimate.of(0, List.of(own.between(), own.within()));
        double variance = sum.standardUncertainty() * sum.standardUncertainty();
        readings.add(
            new Reading(
                names.get(runs.get(r).test().bench()),
                Duration.between(first, taken.get(r).at()).toSeconds(),
                runs.get(r).values()[c],
                runs.get(r).budget(c, Kind.SYSTEMATIC),
                new Estimate.Part(variance, sum.degreesOfFreedom())));
      }
      columns.add(readings);
    }
    return columns;
  }

  /** Which of two patterns fits the differences clearly better, weighed by the bench's scatter. */
  private static Goes goes(List<AtLift> lifts, String bench, List<List<Reading>> columns) {
    double[] off = new double[lifts.size()];
    double[] flow = new double[lifts.size()];
    double[] weight = new double[lifts.size()];
    double[] one = new double[lifts.size()];
    for (int i = 0; i < lifts.size(); i++) {
      off[i] = lifts.get(i).found().bench(bench).difference().value();
      flow[i] = lifts.get(i).found().reference().value();
      one[i] = 1;
      weight[i] =
          1
              / columns.get(i).stream()
                  .filter(reading -> reading.bench().equals(bench))
                  .mapToDouble(reading -> reading.own().variance())
                  .average()
                  .orElseThrow();
    }
    double share = left(off, flow, weight);
    double amount = left(off, one, weight);
    return share + NAMED_WHERE_BETTER_BY < amount
        ? Goes.SAME_SHARE
        : amount + NAMED_WHERE_BETTER_BY < share ? Goes.SAME_FLOW : Goes.NOT_TOLD;
  }

  /** Weighted squares that are left when a multiple of a form is taken off. */
  private static double left(double[] off, double[] form, double[] weight) {
    double yy = 0;
    double xy = 0;
    double xx = 0;
    for (int i = 0; i < off.length; i++) {
      yy += weight[i] * off[i] * off[i];
      xy += weight[i] * off[i] * form[i];
      xx += weight[i] * form[i] * form[i];
    }
    return yy - xy * xy / xx;
  }

  private static List<String> sources(List<Reading> mean, String bench) {
    Budget budget =
        mean.stream()
            .filter(reading -> reading.bench().equals(bench))
            .findFirst()
            .orElseThrow()
            .shared();
    return budget.largestFirst().stream()
        .map(Budget.Part::source)
        .distinct()
        .limit(SOURCES)
        .toList();
  }

  private static List<String> unknown(List<Taken> taken, Map<String, String> names) {
    return taken.stream()
        .map(Taken::test)
        .filter(test -> test.repeatability().isEmpty())
        .map(test -> names.get(test.bench()))
        .distinct()
        .toList();
  }

  /** That the benches are several is what was asked. */
  private static List<Finding> findings(List<TestCurve> tests) {
    return Comparability.of(tests.subList(0, 1), tests.subList(1, tests.size())).findings().stream()
        .filter(finding -> finding.kind() != Finding.Kind.OTHER_BENCH_OR_CALIBRATION)
        .toList();
  }
}
