package meniscus.recorder.cli.terminal;

import java.util.Optional;
import meniscus.core.lift.Plan;
import meniscus.core.quantity.Dimension;
import meniscus.core.quantity.Unit;
import meniscus.core.quantity.UnitSystem;
import meniscus.core.refusal.Refusal;
import picocli.CommandLine.Option;

/** In which units numbers are written. */
public final class UnitsOption {

  @Option(
      names = "--units",
      paramLabel = "inch|metric",
      description = {
        "in, cfm and inH2O; or mm, L/s and Pa.",
        "Left out: those of the newest test's plan, for all tests."
      })
  private UnitSystem system;

  @Option(names = "--lift-unit", paramLabel = "UNIT", description = "Another unit for lifts.")
  private Optional<String> lift = Optional.empty();

  @Option(names = "--flow-unit", paramLabel = "UNIT", description = "Another unit for flows.")
  private Optional<String> flow = Optional.empty();

  @Option(
      names = "--pressure-unit",
      paramLabel = "UNIT",
      description = "Another unit for pressures.")
  private Optional<String> pressure = Optional.empty();

  /**
   * @param otherwise when nothing is asked for
   */
  public Plan.Units units(Plan.Units otherwise) {
    try {
      return new Plan.Units(
          unit(lift, Dimension.LENGTH, otherwise.lift()),
          unit(flow, Dimension.VOLUME_FLOW, otherwise.flow()),
          unit(pressure, Dimension.PRESSURE, otherwise.pressure()));
    } catch (Refusal e) {
      throw CommandFailed.usage(e.getMessage());
    }
  }

  private Unit unit(Optional<String> asked, Dimension dimension, Unit otherwise) {
    return asked
        .map(name -> Unit.named(name, dimension))
        .orElseGet(() -> system == null ? otherwise : system.unit(dimension));
  }
}
