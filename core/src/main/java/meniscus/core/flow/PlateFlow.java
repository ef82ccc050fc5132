package meniscus.core.flow;

import java.util.List;

/**
 * Flow through an orifice plate and what is known of it.
 *
 * @param massFlow kg/s
 * @param volumeFlow m³/s of the air upstream of the plate
 * @param coefficient discharge coefficient C
 * @param coefficientU95 relative expanded uncertainty of C (95 %)
 * @param expansibility expansibility factor ε
 * @param expansibilityU95 relative expanded uncertainty of ε (95 %)
 * @param form which expansibility equation was used
 * @param reynolds of the pipe; of the bore between two large rooms
 * @param extrapolation whether the plate is outside the standard by its kind
 * @param brokenLimits how many limits of use are broken
 * @param remarks limits that are broken and what to make of it, one sentence each
 */
public record PlateFlow(
    double massFlow,
    double volumeFlow,
    double coefficient,
    double coefficientU95,
    double expansibility,
    double expansibilityU95,
    Expansibility form,
    double reynolds,
    boolean extrapolation,
    int brokenLimits,
    List<String> remarks) {

  public PlateFlow {
    remarks = List.copyOf(remarks);
  }

  /**
   * Whether the stated uncertainties hold: no limit of use is broken. Between two large rooms,
   * where the standard does not reach, they are our own estimates and hold for the Reynolds numbers
   * of a bench.
   */
  public boolean withinLimits() {
    return brokenLimits == 0;
  }
}
