package meniscus.recorder.report;

import java.util.ArrayList;
import java.util.List;
import meniscus.core.compare.CurveSummary;
import meniscus.core.compare.FlowRatio;
import meniscus.core.finding.InUnits;
import meniscus.core.lift.Plan;
import meniscus.core.quantity.Unit;

/**
 * What the trade says of such numbers. All of it is common practice without a source (from memory),
 * shown only when asked for, and never used to judge anything.
 */
final class RulesOfThumb {

  private static final double LOW_M_PER_S = 90;
  private static final double HIGH_M_PER_S = 105;

  /** The test pressure that the rule is told for: 28 inH2O [Pa]. */
  private static final double RULE_PA = Unit.INCH_OF_WATER.toSi(28);

  private RulesOfThumb() {}

  private static double scaled(double metresPerSecond, Plan plan) {
    return metresPerSecond * Math.sqrt(plan.reference().testPressurePa() / RULE_PA);
  }

  static void write(Markup out, List<TestRead> tests, List<FlowRatio> ratios) {
    List<String> rules = new ArrayList<>();
    ratios.forEach(
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
                          + "\": at 28 inH2O a mean velocity of some 90 to 105 m/s in the smallest"
                          + " section is said to be as much as a port takes well; at "
                          + in.pressure(plan.reference().testPressurePa())
                          + " that would be "
                          + in.velocity(scaled(LOW_M_PER_S, plan))
                          + " to "
                          + in.velocity(scaled(HIGH_M_PER_S, plan))
                          + " (speed goes with the root of the pressure); here it is "
                          + in.velocity(velocity.value())
                          + "."));
    }
    out.leaf("h2", "Rules of thumb");
    out.leaf("p", "Common practice, no source; nothing in this report rests on them.");
    out.open("ul");
    rules.forEach(rule -> out.leaf("li", rule));
    out.close().line();
  }
}
