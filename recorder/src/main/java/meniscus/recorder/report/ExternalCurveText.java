package meniscus.recorder.report;

import com.fasterxml.jackson.databind.node.ObjectNode;
import java.util.ArrayList;
import java.util.List;
import meniscus.core.compare.ExternalCurve;
import meniscus.core.compare.ExternalCurve.Beside;
import meniscus.core.finding.InUnits;
import meniscus.core.lift.Plan;
import meniscus.core.lift.TestCurve;
import meniscus.core.quantity.Text;
import meniscus.recorder.json.JsonOut;

/** A test beside a curve from elsewhere: numbers, and why there is no outcome. */
public final class ExternalCurveText {

  private ExternalCurveText() {}

  public static List<String> lines(TestCurve test, ExternalCurve curve) {
    InUnits in = new InUnits(test.plan().units());
    List<String> lines = new ArrayList<>();
    lines.add("\"" + test.name() + "\" beside \"" + curve.name() + "\"");
    lines.add(Text.of("%10s %12s %12s  %s", "lift", "here", "elsewhere", "difference"));
    for (Beside one : curve.beside(test)) {
      lines.add(
          Text.of(
              "%10s %12s %12s  %s%s",
              in.lift(one.liftM()),
              in.flow(one.here(), 0.002 * one.here()),
              in.flow(one.elsewhere(), 0.01 * one.elsewhere()),
              difference(one),
              one.near() && one.interpolated() ? " (straight between two of its points)" : ""));
    }
    lines.addAll(said(test, curve));
    return lines;
  }

  /** {@code +2.1 % ± 3.0 %}; far from its own points no number, but why. */
  static String difference(Beside one) {
    if (one.relative().isEmpty()) {
      return "not said: its nearest points are further off than one step of lift";
    }
    return InUnits.signedPercent(one.relative().getAsDouble())
        + (one.u95().isPresent()
            ? " ± " + InUnits.half(one.u95().getAsDouble() / one.elsewhere())
            : "");
  }

  /** What to know of such a curve. */
  static List<String> said(TestCurve test, ExternalCurve curve) {
    InUnits in = new InUnits(test.plan().units());
    List<String> lines = new ArrayList<>();
    lines.add(Report.capital(ExternalCurve.NO_OUTCOME) + ".");
    lines.add(
        curve.testPressurePa().isPresent()
            ? "Its flows were moved from "
                + in.pressure(curve.testPressurePa().getAsDouble())
                + " to "
                + in.pressure(test.plan().reference().testPressurePa())
                + " by the plain root of the pressures."
            : "Its test pressure is not known; its flows stand as they were typed in.");
    if (curve.within().isPresent()) {
      lines.add(
          "Its source says that its flows are good to "
              + InUnits.percent(curve.within().getAsDouble())
              + "; the intervals believe that.");
    }
    return lines;
  }

  public static ObjectNode json(TestCurve test, ExternalCurve curve) {
    Plan.Units units = test.plan().units();
    ObjectNode tree = JsonOut.object();
    tree.put("test", test.name()).put("elsewhere", curve.name());
    tree.putObject("unit").put("lift", units.lift().symbol()).put("flow", units.flow().symbol());
    JsonOut.list(
        tree,
        "lifts",
        curve.beside(test),
        (node, one) -> {
          node.put("lift", units.lift().fromSi(one.liftM()));
          node.put("here", units.flow().fromSi(one.here()));
          node.put("elsewhere", units.flow().fromSi(one.elsewhere()));
          JsonOut.exact(
              node, "difference_percent", one.relative().stream().map(x -> 100 * x).findFirst());
          if (one.near() && one.u95().isPresent()) {
            node.put("u95_percent", 100 * one.u95().getAsDouble() / one.elsewhere());
          } else {
            node.putNull("u95_percent");
          }
          node.put("interpolated", one.interpolated()).putNull("outcome");
        });
    JsonOut.array(tree, "remarks", said(test, curve));
    return tree;
  }
}
