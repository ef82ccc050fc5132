package meniscus.recorder.report;

import java.util.List;
import meniscus.core.finding.InUnits;
import meniscus.core.lift.LiftPoint;
import meniscus.core.lift.TestCurve;
import meniscus.core.quantity.Unit;
import meniscus.core.steadiness.Verdict;

/** A row of boxes along the lifts: how rough the air was, in height, number and word. */
final class UnsteadinessStrip {

  private static final double WIDTH = 720;
  private static final double LEFT = 64;
  private static final double RIGHT = 16;
  private static final double ROW = 64;
  private static final double TALLEST = 34;

  private UnsteadinessStrip() {}

  /** One row for each test, drawn on the same scale; tests without a calm record are left out. */
  static void draw(Markup out, List<TestCurve> tests) {
    List<TestCurve> known =
        tests.stream()
            .filter(t -> t.curve().stream().anyMatch(p -> p.unsteadiness().isPresent()))
            .toList();
    if (known.isEmpty()) {
      return;
    }
    double highest =
        known.stream()
            .flatMap(t -> t.curve().stream())
            .mapToDouble(p -> p.unsteadiness().orElse(0))
            .max()
            .orElse(1);
    double widest =
        known.stream()
            .flatMap(t -> t.curve().stream())
            .mapToDouble(LiftPoint::liftM)
            .max()
            .orElse(1);
    Unit lift = known.get(0).plan().units().lift();
    Axis x = Axis.round(0, lift.fromSi(widest), LEFT, WIDTH - RIGHT);
    double height = ROW * known.size() + 24;
    out.leaf("h2", "How calm the air was");
    out.leaf(
        "p",
        "Fluctuation of the flow against this bench's own on an orifice plate at the same flow: 1"
            + " is as calm as a plate, a healthy port is rougher than that. What matters is a rise"
            + " against the neighbouring lifts or the earlier test.");
    out.open(
        "svg",
        "class",
        "chart",
        "viewBox",
        "0 0 " + CurveChart.number(WIDTH) + " " + CurveChart.number(height),
        "role",
        "img",
        "aria-label",
        "unsteadiness along the lifts");
    for (int row = 0; row < known.size(); row++) {
      row(out, known.get(row), x, lift, ROW * (row + 1), highest);
    }
    for (double tick : x.ticks()) {
      label(out, x.label(tick), x.at(tick), height - 6, "middle");
    }
    out.close().line();
  }

  private static void row(
      Markup out, TestCurve test, Axis x, Unit lift, double base, double highest) {
    label(out, test.name(), LEFT, base - ROW + 12, "start");
    double wide = Math.min(24, 0.7 * spacing(test, x, lift));
    for (LiftPoint point : test.curve()) {
      double value = point.unsteadiness().orElse(0);
      double at = x.at(lift.fromSi(point.liftM()));
      double tall = Math.max(1, TALLEST * value / highest);
      boolean odd = point.verdict() == Verdict.UNSTEADY || point.verdict() == Verdict.SWITCHING;
      out.empty(
          "rect",
          "x",
          CurveChart.number(at - wide / 2),
          "y",
          CurveChart.number(base - tall),
          "width",
          CurveChart.number(wide),
          "height",
          CurveChart.number(tall),
          "fill",
          odd ? "#d55e00" : "#bcd3e3",
          "stroke",
          odd ? "#d55e00" : "#0072b2");
      label(
          out,
          (point.unsteadiness().isPresent() ? InUnits.number(value, 1) : "–") + sign(point),
          at,
          base - tall - 3,
          "middle");
    }
    out.empty(
        "line",
        "x1",
        CurveChart.number(LEFT),
        "y1",
        CurveChart.number(base),
        "x2",
        CurveChart.number(WIDTH - RIGHT),
        "y2",
        CurveChart.number(base),
        "stroke",
        "#444444");
  }

  /** The second code beside colour. */
  private static String sign(LiftPoint point) {
    return switch (point.verdict()) {
      case SWITCHING -> " ⇅";
      case UNSTEADY -> " ~";
      default -> "";
    };
  }

  private static double spacing(TestCurve test, Axis x, Unit lift) {
    List<LiftPoint> curve = test.curve();
    double nearest = WIDTH / 8;
    for (int i = 1; i < curve.size(); i++) {
      double gap = lift.fromSi(curve.get(i).liftM()) - lift.fromSi(curve.get(i - 1).liftM());
      nearest = Math.min(nearest, x.at(gap) - x.at(0));
    }
    return nearest;
  }

  private static void label(Markup out, String text, double atX, double atY, String anchor) {
    out.leaf(
        "text",
        text,
        "x",
        CurveChart.number(atX),
        "y",
        CurveChart.number(atY),
        "text-anchor",
        anchor,
        "class",
        "small");
  }
}
