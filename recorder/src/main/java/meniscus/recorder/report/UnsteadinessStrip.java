package meniscus.recorder.report;

import java.util.List;
import meniscus.core.finding.InUnits;
import meniscus.core.lift.LiftPoint;
import meniscus.core.lift.TestCurve;
import meniscus.core.quantity.Unit;
import meniscus.core.steadiness.Verdict;

/** A row of boxes along the lifts: how rough the air was, in height, number and word. */
final class UnsteadinessStrip {

  private static final double ROW = 66;
  private static final double TALLEST = 32;
  private static final double WIDEST = 24;

  /** Narrower bars stand nearer than "10.8 ⇅" is wide. */
  private static final double CROWDED = 22;

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
    List<LiftPoint> all = known.stream().flatMap(t -> t.curve().stream()).toList();
    double highest = all.stream().mapToDouble(p -> p.unsteadiness().orElse(0)).max().orElse(1);
    double widest = all.stream().mapToDouble(LiftPoint::liftM).max().orElse(1);
    Unit lift = known.get(0).plan().units().lift();
    double height = ROW * known.size() + 26;
    Canvas canvas =
        new Canvas(
            out,
            new Axis(0, lift.fromSi(widest) * 1.04, Canvas.LEFT, Canvas.WIDTH - Canvas.RIGHT),
            new Axis(0, 1, height, 0));
    out.open("div", "class", "together");
    out.leaf("h2", "How calm the air was");
    out.leaf(
        "p",
        "Fluctuation of the flow against this bench's own on an orifice plate at the same flow: 1"
            + " is as calm as a plate, a healthy port is rougher than that. What matters is a rise"
            + " against the neighbouring lifts or the earlier test. Marked: ~ unsteady against this"
            + " port itself, ⇅ jumps between levels.");
    Canvas.open(out, height, "unsteadiness along the lifts");
    for (int row = 0; row < known.size(); row++) {
      row(canvas, known.get(row), lift, ROW * (row + 1), highest);
    }
    for (double tick : canvas.x().ticks()) {
      canvas.label(canvas.x().label(tick), canvas.x().at(tick), height - 6, "middle");
    }
    canvas.label(lift.symbol(), Canvas.LEFT - 24, height - 6, "end");
    out.close().close().line();
  }

  private static void row(Canvas canvas, TestCurve test, Unit lift, double base, double highest) {
    canvas.label(test.name(), Canvas.LEFT, base - ROW + 14, "start");
    double wide = Math.min(WIDEST, 0.7 * spacing(canvas, test, lift));
    int index = 0;
    for (LiftPoint point : test.curve()) {
      double value = point.unsteadiness().orElse(0);
      double at = canvas.x().at(lift.fromSi(point.liftM()));
      double tall = highest > 0 ? Math.max(1, TALLEST * value / highest) : 1;
      boolean odd = point.verdict() == Verdict.UNSTEADY || point.verdict() == Verdict.SWITCHING;
      canvas.box(
          at - wide / 2,
          base - tall,
          wide,
          tall,
          odd ? "#d55e00" : "#bcd3e3",
          odd ? "#d55e00" : "#0072b2");
      String number = point.unsteadiness().isPresent() ? InUnits.number(value, 1) : "–";
      // Neighbours too near for their numbers take two heights by turns.
      double up = wide < CROWDED && index++ % 2 == 1 ? 15 : 3;
      canvas.label(number + sign(point), at, base - tall - up, "middle");
    }
  }

  /** The second code beside colour. */
  private static String sign(LiftPoint point) {
    return switch (point.verdict()) {
      case SWITCHING -> " ⇅";
      case UNSTEADY -> " ~";
      default -> "";
    };
  }

  private static double spacing(Canvas canvas, TestCurve test, Unit lift) {
    List<LiftPoint> curve = test.curve();
    double nearest = Canvas.WIDTH / 8;
    for (int i = 1; i < curve.size(); i++) {
      double gap = lift.fromSi(curve.get(i).liftM()) - lift.fromSi(curve.get(i - 1).liftM());
      nearest = Math.min(nearest, canvas.x().at(gap) - canvas.x().at(0));
    }
    return nearest;
  }
}
