package meniscus.recorder.report;

import java.util.List;
import java.util.OptionalDouble;
import meniscus.core.compare.ExternalCurve;
import meniscus.core.compare.ExternalCurve.Beside;
import meniscus.core.finding.InUnits;
import meniscus.core.lift.Plan;
import meniscus.core.lift.TestCurve;

/** A curve from elsewhere in a report: drawn, set beside the newest test, and not judged. */
final class ExternalCurveSection {

  private ExternalCurveSection() {}

  static CurveChart.Curve drawn(ExternalCurve curve, TestCurve test) {
    Plan.Units units = test.plan().units();
    double factor = curve.toReference(test);
    List<CurveChart.Point> points =
        curve.points().stream()
            .map(
                p ->
                    new CurveChart.Point(
                        units.lift().fromSi(p.liftM()),
                        units.flow().fromSi(factor * p.flowM3PerS()),
                        curve.within().isPresent()
                            ? OptionalDouble.of(
                                curve.within().getAsDouble()
                                    * units.flow().fromSi(factor * p.flowM3PerS()))
                            : OptionalDouble.empty()))
            .toList();
    return new CurveChart.Curve("elsewhere: " + curve.name(), Canvas.Look.FOURTH, points);
  }

  static void write(Markup out, ExternalCurve curve, TestCurve test) {
    InUnits in = new InUnits(test.plan().units());
    out.leaf("h2", "Beside a curve from elsewhere");
    ExternalCurveText.said(test, curve).forEach(line -> out.leaf("p", line));
    out.table(List.of("lift", test.name(), curve.name(), "difference"));
    for (Beside one : curve.beside(test)) {
      out.row(
          List.of(
              in.lift(one.liftM()),
              in.flow(one.here(), 0.002 * one.here()),
              in.flow(one.elsewhere(), 0.01 * one.elsewhere()),
              ExternalCurveText.difference(one)));
    }
    out.endTable();
  }
}
