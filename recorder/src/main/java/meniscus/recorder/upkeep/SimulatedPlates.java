package meniscus.recorder.upkeep;

import meniscus.core.calibrate.Plate;
import meniscus.core.refusal.Refusal;
import meniscus.drivers.simulated.Mounted;
import meniscus.drivers.simulated.Scenario;

/** Finds the plate of the simulated bench that a plates file means. */
final class SimulatedPlates {

  private static final double SAME_BORE_M = 0.2e-3;

  private SimulatedPlates() {}

  /**
   * @throws Refusal when the simulated bench has no plate of that bore
   */
  static Mounted.Plate like(Plate plate) {
    double bore = plate.orifice().boreM();
    return Scenario.demo().plates().stream()
        .filter(each -> Math.abs(each.boreM() - bore) < SAME_BORE_M)
        .findFirst()
        .orElseThrow(
            () ->
                new Refusal(
                    "the simulated bench has no plate of "
                        + bore * 1e3
                        + " mm, as plate "
                        + plate.name()
                        + " is; its plates are listed in docs/simulated-bench.md"));
  }
}
