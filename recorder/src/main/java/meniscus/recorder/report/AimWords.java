package meniscus.recorder.report;

import java.util.List;
import meniscus.core.compare.Aims;
import meniscus.core.finding.InUnits;
import meniscus.core.lift.TestCurve;

/** Flows that were aimed at, against what a test shows. */
final class AimWords {

  private AimWords() {}

  static List<String> of(Aims aims, TestCurve test) {
    InUnits in = new InUnits(test.plan().units());
    return aims.against(test).stream().map(held -> said(held, in)).toList();
  }

  /** {@code 245.0 cfm at 0.600 in: reached, with 247.6 cfm (+2.6 ± 1.4 cfm)}. */
  private static String said(Aims.Held held, InUnits in) {
    String aim = in.flow(held.aimed(), 0.002 * held.aimed()) + " at " + in.lift(held.liftM());
    if (held.here().isEmpty()) {
      return aim + ": cannot tell, not tested at that lift";
    }
    double over = held.here().get().value();
    return aim
        + ": "
        + held.stands().word()
        + (held.interpolated() ? ", between two lifts with " : ", with ")
        + in.flow(held.flow().orElseThrow(), held.half())
        + " ("
        + (over < 0 ? "-" : "+")
        + in.flowNumber(Math.abs(over), held.half())
        + " ± "
        + in.flow(held.half(), held.half())
        + " from the aim)";
  }

  static String heading(Aims aims) {
    return aims.name().isEmpty() ? "Aims" : "Target: " + aims.name();
  }
}
