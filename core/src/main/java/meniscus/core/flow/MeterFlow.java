package meniscus.core.flow;

import java.util.List;

/**
 * Flow through a plate, a nozzle or a Venturi tube, and what is known of it.
 *
 * @param massFlow kg/s
 * @param coefficient discharge coefficient C
 * @param expansibility expansibility factor ε
 * @param reynolds of the pipe; of the bore between two large rooms
 * @param kind what to make of a meter that is outside the standard by its kind; empty inside
 * @param broken limits of use that are broken, one sentence each
 */
public record MeterFlow(
    double massFlow,
    Factor coefficient,
    Factor expansibility,
    double reynolds,
    List<String> kind,
    List<String> broken) {

  /**
   * A factor of the flow equation.
   *
   * @param u95 its relative expanded uncertainty (95 %)
   */
  public record Factor(double value, double u95) {}

  public MeterFlow {
    kind = List.copyOf(kind);
    broken = List.copyOf(broken);
  }

  /** Whether the meter is outside the standard by its kind. */
  public boolean extrapolation() {
    return !kind.isEmpty();
  }

  /**
   * Whether the stated uncertainties hold: no limit of use is broken. Between two large rooms,
   * where the standard does not reach, they are our own estimates and hold for the Reynolds numbers
   * of a bench.
   */
  public boolean withinLimits() {
    return broken.isEmpty();
  }
}
