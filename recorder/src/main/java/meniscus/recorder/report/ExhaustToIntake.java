package meniscus.recorder.report;

import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import meniscus.core.compare.FlowRatio;
import meniscus.core.finding.InUnits;
import meniscus.core.lift.Plan;
import meniscus.core.lift.PortKind;
import meniscus.core.lift.TestCurve;
import meniscus.core.quantity.Digits;
import meniscus.core.refusal.Refusal;

/**
 * Exhaust to intake, chamber by chamber: the newest test of each of its ports, flows of a kind
 * added up.
 *
 * @param said of each chamber with both kinds
 * @param ratios those that could be worked out
 */
record ExhaustToIntake(List<String> said, List<FlowRatio> ratios) {

  private record Chamber(String head, String name) {}

  /**
   * @param tests in the order of time
   */
  static ExhaustToIntake of(List<TestRead> tests) {
    Map<Chamber, Map<String, TestRead>> chambers = new LinkedHashMap<>();
    for (TestRead test : tests) {
      Plan plan = test.curve().plan();
      Plan.Part part = plan.part();
      chambers
          .computeIfAbsent(new Chamber(part.head(), part.chamber()), c -> new LinkedHashMap<>())
          .put(plan.port().word() + " " + part.port(), test);
    }
    List<String> said = new ArrayList<>();
    List<FlowRatio> ratios = new ArrayList<>();
    chambers.forEach(
        (chamber, ports) -> {
          List<TestRead> out = of(PortKind.EXHAUST, ports);
          List<TestRead> in = of(PortKind.INTAKE, ports);
          if (!out.isEmpty() && !in.isEmpty()) {
            String where =
                (chamber.name().isBlank() ? "" : chamber.name() + ", ")
                    + names(out)
                    + " to "
                    + names(in)
                    + ": ";
            try {
              FlowRatio ratio = FlowRatio.of(curves(out), curves(in));
              ratios.add(ratio);
              said.add(where + said(ratio, out.size() + in.size() > 2));
            } catch (Refusal none) {
              said.add(where + "not given, for " + none.getMessage());
            }
          }
        });
    return new ExhaustToIntake(List.copyOf(said), List.copyOf(ratios));
  }

  private static List<TestRead> of(PortKind kind, Map<String, TestRead> ports) {
    return ports.values().stream().filter(test -> test.curve().plan().port() == kind).toList();
  }

  private static List<TestCurve> curves(List<TestRead> tests) {
    return tests.stream().map(TestRead::curve).toList();
  }

  private static String names(List<TestRead> tests) {
    return String.join(
        " and ",
        tests.stream()
            .map(test -> test.curve().plan())
            .map(plan -> plan.part().port().isBlank() ? plan.port().word() : plan.part().port())
            .toList());
  }

  private static String said(FlowRatio ratio, boolean several) {
    return Digits.value(100 * ratio.ratio().value(), 100 * ratio.ratio().u95())
        + " % ± "
        + InUnits.half(ratio.ratio().u95())
        + " over "
        + ratio.liftsM().size()
        + (ratio.liftsM().size() == 1 ? " lift" : " lifts")
        + (several ? " (sum over the ports of a kind, each measured by itself)" : "");
  }
}
