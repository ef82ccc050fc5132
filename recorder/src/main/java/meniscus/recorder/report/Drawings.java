package meniscus.recorder.report;

import java.util.ArrayList;
import java.util.List;
import java.util.OptionalDouble;
import meniscus.core.compare.Comparison;
import meniscus.core.compare.Difference;
import meniscus.core.compare.LiftDifference;
import meniscus.core.lift.LiftPoint;
import meniscus.core.lift.Plan;
import meniscus.core.lift.TestCurve;
import meniscus.recorder.report.CurveChart.Curve;
import meniscus.recorder.report.CurveChart.Drawing;
import meniscus.recorder.report.CurveChart.Point;

/** What is drawn of tests and comparisons; on paper, as files and on the page alike. */
final class Drawings {

  private static final double FLOW_HEIGHT = 400;
  private static final double CHANGE_HEIGHT = 250;

  private Drawings() {}

  /** Flow before and after, with the band of no real change. */
  static Drawing flow(Report.Compared compared, List<Curve> more) {
    Comparison comparison = compared.comparison();
    Plan.Units units = comparison.units();
    List<Point> before = new ArrayList<>();
    List<Point> after = new ArrayList<>();
    List<Point> band = new ArrayList<>();
    for (LiftDifference lift : comparison.lifts()) {
      Difference d = lift.difference();
      double x = units.lift().fromSi(lift.liftM());
      double y = units.flow().fromSi(d.before());
      double factor = units.flow().factor();
      before.add(new Point(x, y, OptionalDouble.empty()));
      band.add(new Point(x, y, OptionalDouble.of(d.margin() / factor)));
      after.add(
          new Point(
              x, units.flow().fromSi(d.after()), OptionalDouble.of(d.decided().half() / factor)));
    }
    List<Curve> curves = new ArrayList<>();
    curves.add(new Curve("before: " + names(compared.before()), Canvas.Look.EARLIER, before));
    curves.add(new Curve("after: " + names(compared.after()), Canvas.Look.LATER, after));
    curves.addAll(more);
    return drawing("flow against valve lift, before and after", FLOW_HEIGHT, units, curves, band);
  }

  /** Change in percent with the intervals that decided. */
  static Drawing change(Comparison comparison) {
    Plan.Units units = comparison.units();
    List<Point> share = new ArrayList<>();
    List<Point> band = new ArrayList<>();
    for (LiftDifference lift : comparison.lifts()) {
      Difference d = lift.difference();
      double x = units.lift().fromSi(lift.liftM());
      share.add(new Point(x, 100 * d.relative(), OptionalDouble.of(100 * d.relativeHalf())));
      band.add(new Point(x, 0, OptionalDouble.of(100 * d.margin() / d.before())));
    }
    return new Drawing(
        "change of flow in percent at each lift",
        CHANGE_HEIGHT,
        nameX(units),
        "change, %",
        List.of(new Curve("change", Canvas.Look.LATER, share)),
        band);
  }

  /** The curves of tests by themselves, the newest in the first look. */
  static Drawing flow(List<TestRead> tests, List<Curve> more) {
    Plan.Units units = tests.get(0).curve().plan().units();
    List<Curve> curves = new ArrayList<>();
    for (int i = 0; i < tests.size(); i++) {
      TestCurve test = tests.get(i).curve();
      curves.add(
          new Curve(
              test.name(),
              Canvas.Look.of(tests.size() - 1 - i),
              test.curve().stream()
                  .filter(TestCurve::standing)
                  .map(p -> point(p, units))
                  .toList()));
    }
    curves.addAll(more);
    return drawing("flow against valve lift", FLOW_HEIGHT, units, curves, List.of());
  }

  static Point point(LiftPoint p, Plan.Units units) {
    return new Point(
        units.lift().fromSi(p.liftM()),
        units.flow().fromSi(p.flowM3PerS()),
        p.flowU95().isPresent()
            ? OptionalDouble.of(p.flowU95().getAsDouble() / units.flow().factor())
            : OptionalDouble.empty());
  }

  private static Drawing drawing(
      String title, double height, Plan.Units units, List<Curve> curves, List<Point> band) {
    return new Drawing(title, height, nameX(units), "flow, " + units.flow().symbol(), curves, band);
  }

  private static String nameX(Plan.Units units) {
    return "valve lift, " + units.lift().symbol();
  }

  private static String names(List<TestRead> side) {
    return side.size() == 1 ? side.get(0).curve().name() : "mean of " + side.size() + " runs";
  }
}
