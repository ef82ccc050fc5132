package meniscus.core.compare;

import java.util.ArrayList;
import java.util.List;
import java.util.stream.Collectors;
import java.util.stream.Stream;
import meniscus.core.decide.Estimate;
import meniscus.core.lift.PortKind;
import meniscus.core.lift.TestCurve;
import meniscus.core.refusal.Refusal;
import meniscus.core.uncertainty.Budget;
import meniscus.core.uncertainty.Contribution;

/**
 * Flow of the exhaust ports of a chamber as a share of that of its intake ports, over the lifts
 * that all of them have: sum over sum. Ports that were measured one by one are added up, so what
 * two open valves do to each other is not in it. Errors that tests share cancel as far as they are
 * shared.
 *
 * @param ratio [1]
 * @param liftsM in common, rising [m]
 */
public record FlowRatio(Estimate ratio, List<Double> liftsM) {

  public FlowRatio {
    liftsM = List.copyOf(liftsM);
  }

  /**
   * @param exhausts one test of each exhaust port
   * @param intakes one test of each intake port
   * @throws Refusal when they are not exhausts and intakes, are given for other reference
   *     conditions, or have no lift in common
   */
  public static FlowRatio of(List<TestCurve> exhausts, List<TestCurve> intakes) {
    if (!all(exhausts, PortKind.EXHAUST) || !all(intakes, PortKind.INTAKE)) {
      throw new Refusal("a ratio needs tests of exhaust ports and of intake ports");
    }
    List<TestCurve> tests = Stream.concat(exhausts.stream(), intakes.stream()).toList();
    if (tests.stream().map(test -> test.plan().reference()).distinct().count() > 1) {
      throw new Refusal(names(tests) + " are given for different reference conditions");
    }
    boolean sameBench = tests.stream().map(TestCurve::bench).distinct().count() == 1;
    List<RunCurve> curves = new ArrayList<>();
    tests.forEach(test -> curves.add(RunCurve.of(test, curves.size(), 1, sameBench)));
    List<Double> lifts =
        tests.get(0).curve().stream()
            .map(point -> point.liftM())
            .filter(lift -> curves.stream().allMatch(curve -> curve.measuredAt(lift).isPresent()))
            .toList();
    if (lifts.isEmpty()) {
      throw new Refusal(names(tests) + " have no lift in common");
    }
    List<RunCurve.At> out = at(curves.subList(0, exhausts.size()), lifts);
    List<RunCurve.At> in = at(curves.subList(exhausts.size(), curves.size()), lifts);
    double sumIn = in.stream().mapToDouble(RunCurve.At::flow).sum();
    double ratio = out.stream().mapToDouble(RunCurve.At::flow).sum() / sumIn;
    List<Contribution> all = new ArrayList<>();
    out.forEach(at -> all.addAll(at.budget().times(1 / sumIn).contributions()));
    in.forEach(at -> all.addAll(at.budget().times(-ratio / sumIn).contributions()));
    Budget budget = new Budget(all);
    return new FlowRatio(
        new Estimate(ratio, budget.standardUncertainty(), budget.effectiveDegreesOfFreedom()),
        lifts);
  }

  private static boolean all(List<TestCurve> tests, PortKind kind) {
    return !tests.isEmpty() && tests.stream().allMatch(test -> test.plan().port() == kind);
  }

  private static List<RunCurve.At> at(List<RunCurve> curves, List<Double> lifts) {
    return curves.stream()
        .flatMap(curve -> lifts.stream().map(lift -> curve.measuredAt(lift).orElseThrow()))
        .toList();
  }

  private static String names(List<TestCurve> tests) {
    return tests.stream()
        .map(test -> "\"" + test.name() + "\"")
        .collect(Collectors.joining(" and "));
  }
}
