package meniscus.core.compare;

import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.stream.Stream;
import meniscus.core.lift.LiftPoint;
import meniscus.core.lift.Lifts;
import meniscus.core.lift.TestCurve;
import meniscus.core.refusal.Refusal;
import meniscus.core.uncertainty.SharedId;

/**
 * All runs at the lifts that they have in common, at the same reference conditions.
 *
 * @param lifts compared [m], rising
 * @param interpolated whether some run was interpolated to that lift
 * @param before runs
 * @param after runs
 * @param left lifts that are not compared
 */
record CommonLifts(
    double[] lifts,
    boolean[] interpolated,
    List<Run> before,
    List<Run> after,
    List<Comparison.LeftOut> left) {

  static CommonLifts of(
      List<TestCurve> before, List<TestCurve> after, boolean sharing, Question question) {
    List<TestCurve> all = Stream.concat(before.stream(), after.stream()).toList();
    List<RunCurve> curves = new ArrayList<>();
    for (TestCurve test : all) {
      curves.add(RunCurve.of(test, curves.size(), toReference(test, all.get(0)), sharing));
    }
    return of(curves, before.size(), question);
  }

  /** Tests of one thing on several benches; the first one stands as before. */
  static CommonLifts onBenches(List<TestCurve> all, Question question) {
    List<RunCurve> curves = new ArrayList<>();
    for (TestCurve test : all) {
      String run = "run " + curves.size();
      curves.add(
          RunCurve.of(
              test, toReference(test, all.get(0)), c -> SharedId.among(c, test.bench(), run)));
    }
    return of(curves, 1, question);
  }

  private static CommonLifts of(List<RunCurve> curves, int countBefore, Question question) {
    List<TestCurve> all = curves.stream().map(RunCurve::test).toList();
    List<Comparison.LeftOut> left = new ArrayList<>();
    Map<Double, List<RunCurve.At>> common = new LinkedHashMap<>();
    for (double lift : askedLifts(all)) {
      List<RunCurve.At> here = new ArrayList<>();
      for (RunCurve curve : curves) {
        Optional<RunCurve.At> measured = curve.measuredAt(lift);
        (measured.isEmpty() && question.interpolate() ? curve.interpolatedAt(lift) : measured)
            .ifPresent(here::add);
      }
      if (here.size() == all.size()) {
        common.put(lift, here);
      } else {
        left.add(leftOut(lift, all, countBefore));
      }
    }
    if (common.isEmpty()) {
      throw new Refusal(
          "the tests have no lift in common that can be compared; interpolate between lifts"
              + " (--interpolate), or test the same lifts");
    }
    return columns(common, all, countBefore, left);
  }

  private static CommonLifts columns(
      Map<Double, List<RunCurve.At>> common,
      List<TestCurve> all,
      int countBefore,
      List<Comparison.LeftOut> left) {
    double[] lifts = common.keySet().stream().mapToDouble(Double::doubleValue).toArray();
    boolean[] interpolated = new boolean[lifts.length];
    List<Run> runs = new ArrayList<>();
    for (int r = 0; r < all.size(); r++) {
      List<RunCurve.At> atLifts = new ArrayList<>();
      for (int i = 0; i < lifts.length; i++) {
        RunCurve.At at = common.get(lifts[i]).get(r);
        interpolated[i] |= at.interpolated();
        atLifts.add(at);
      }
      runs.add(Run.of(all.get(r), lifts, atLifts));
    }
    return new CommonLifts(
        lifts,
        interpolated,
        runs.subList(0, countBefore),
        runs.subList(countBefore, runs.size()),
        left);
  }

  /** Every lift of any curve, rising, lifts that are the same counted once. */
  private static List<Double> askedLifts(List<TestCurve> all) {
    List<Double> lifts = new ArrayList<>();
    all.stream()
        .flatMap(test -> test.curve().stream())
        .map(LiftPoint::liftM)
        .sorted()
        .filter(lift -> lifts.isEmpty() || !Lifts.same(lift, lifts.get(lifts.size() - 1)))
        .forEachOrdered(lifts::add);
    return lifts;
  }

  private static Comparison.LeftOut leftOut(double lift, List<TestCurve> all, int countBefore) {
    String reason = "";
    for (TestCurve test : all) {
      Optional<LiftPoint> point = test.at(lift);
      if (point.isEmpty()) {
        reason =
            test.shown().stream()
                .filter(p -> p.isSetAside() && Lifts.same(p.liftM(), lift))
                .findFirst()
                .map(aside -> "in \"" + test.name() + "\" " + aside.setAsideBecause())
                .orElse("\"" + test.name() + "\" has no value at this lift");
      } else if (!TestCurve.trusted(point.get())) {
        reason =
            "the value of \""
                + test.name()
                + "\" is not to be trusted: "
                + point.get().verdict().word();
      }
    }
    return new Comparison.LeftOut(
        lift, flow(all.get(0), lift), flow(all.get(countBefore), lift), reason);
  }

  private static OptionalDouble flow(TestCurve test, double lift) {
    return test.at(lift)
        .map(point -> OptionalDouble.of(point.flowM3PerS()))
        .orElse(OptionalDouble.empty());
  }

  /** From a test's reference conditions to another test's [1]. */
  static double toReference(TestCurve test, TestCurve other) {
    return test.plan().reference().equals(other.plan().reference())
        ? 1
        : referenceFlow(other) / referenceFlow(test);
  }

  /** Flow of one unit of effective area at the test's reference conditions [m/s]. */
  private static double referenceFlow(TestCurve test) {
    return test.curve().stream()
        .filter(point -> point.effectiveAreaM2() > 0)
        .mapToDouble(point -> point.flowM3PerS() / point.effectiveAreaM2())
        .findFirst()
        .orElse(1);
  }
}
