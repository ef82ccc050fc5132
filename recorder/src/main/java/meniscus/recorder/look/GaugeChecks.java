package meniscus.recorder.look;

import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import meniscus.core.bench.Bench;
import meniscus.core.bench.Range;
import meniscus.core.bench.Source;
import meniscus.core.bench.Use;
import meniscus.core.lift.Plan;
import meniscus.core.quantity.Text;
import meniscus.core.settle.GaugeTransfer;
import meniscus.core.steadiness.JudgeSettings;
import meniscus.recorder.look.Check.Area;
import meniscus.recorder.look.Check.State;

/** What the gauges of drop and test pressure cannot show, by what the bench file says of them. */
final class GaugeChecks {

  /** Quicker than what a plenum lets pass: not worth a word. Our own choice [s]. */
  private static final double QUICK_SECONDS = 0.3;

  private GaugeChecks() {}

  static List<Check> of(Bench bench, Plan plan, Range range) {
    List<Check> checks = new ArrayList<>();
    slow(range.drop()).ifPresent(checks::add);
    if (bench.channels().get(Use.TEST_PRESSURE) instanceof Source.Measured gauge) {
      coarse(gauge, plan).ifPresent(checks::add);
    }
    return checks;
  }

  private static Optional<Check> slow(Source.Measured drop) {
    GaugeTransfer gauge = drop.transfer();
    if (gauge.seconds() < QUICK_SECONDS) {
      return Optional.empty();
    }
    List<String> parts = new ArrayList<>();
    if (gauge.meanSeconds() > 0) {
      parts.add(Text.of("a moving mean of %.2g s", gauge.meanSeconds()));
    }
    if (gauge.lagSeconds() > 0) {
      parts.add(Text.of("a lag of %.2g s", gauge.lagSeconds()));
    }
    return Optional.of(
        new Check(
            Area.RANGES,
            State.DOUBT,
            Text.of(
                "%s has %s: air that jumps and stays for less than %.2g s shows as roughness, not"
                    + " as switching; a quicker gauge would show it",
                drop.key(), String.join(" and ", parts), gauge.seconds())));
  }

  private static Optional<Check> coarse(Source.Measured gauge, Plan plan) {
    double aim = plan.testPressurePa();
    double step = gauge.accuracy().quantumSi();
    if (step < JudgeSettings.STILLEST_AIR * aim) {
      return Optional.empty();
    }
    return Optional.of(
        new Check(
            Area.RANGES,
            State.DOUBT,
            Text.of(
                "%s counts in steps of %s, more than still air moves at %s: should it have frozen"
                    + " before the test, nobody could tell it from a pressure that is held well. See"
                    + " that it moves as the blower is switched on",
                gauge.key(),
                PlanChecks.shown(step, plan.units().pressure()),
                PlanChecks.shown(aim, plan.units().pressure()))));
  }
}
