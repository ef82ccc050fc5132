package meniscus.recorder.report;

import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import meniscus.core.compare.CurveSummary;
import meniscus.core.compare.FlowRatio;
import meniscus.core.finding.InUnits;
import meniscus.core.lift.Plan;

/**
 * What the trade says of such numbers. All of it is common practice without a source (from memory),
 * shown only when asked for, and never used to judge anything.
 */
final class RulesOfThumb {

  private RulesOfThumb() {}

  static void write(Markup out, List<TestRead> tests, Optional<FlowRatio> ratio) {
    List<String> rules = new ArrayList<>();
    ratio.ifPresent(
        r ->
            rules.add(
                "An exhaust port is often wanted at 75 to 80 % of its intake's flow; here it is "
                    + InUnits.percent(r.ratio().value())
                    + "."));
    for (TestRead test : tests) {
      Plan plan = test.curve().plan();
      InUnits in = new InUnits(plan.units());
      double quarter =
          plan.setUp().valveHeadsM().stream().mapToDouble(head -> head / 4).average().orElseThrow();
      rules.add(
          "\""
              + test.curve().name()
              + "\": beyond a lift of a quarter of the valve's head ("
              + in.lift(quarter)
              + ") the port rather than the valve is said to limit the flow.");
      CurveSummary.of(test.curve())
          .flatMap(CurveSummary::velocityAtHighestFlow)
          .ifPresent(
              velocity ->
                  rules.add(
                      "\""
                          + test.curve().name()
                          + "\": at 28 inH2O a mean velocity of some 90 to 105 m/s at the smallest"
                          + " area is said to be as much as a port takes well; here it is "
                          + InUnits.velocity(velocity.value())
                          + " at "
                          + in.pressure(plan.reference().testPressurePa())
                          + "."));
    }
    out.leaf("h2", "Rules of thumb");
    out.leaf("p", "Common practice, no source; nothing in this report rests on them.");
    out.open("ul");
    rules.forEach(rule -> out.leaf("li", rule));
    out.close().line();
  }
}
