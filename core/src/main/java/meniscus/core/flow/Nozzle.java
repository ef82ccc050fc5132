package meniscus.core.flow;

/**
 * Isentropic flow from rest through a smooth contraction; what an ideal port would pass. Relations
 * of NACA Report 1135 for a perfect gas.
 */
public final class Nozzle {

  /** 1 − e^(−1/2), rounded down: no gas with κ above 1 chokes at a smaller drop over pressure. */
  private static final double NEVER_CHOKED = 0.393;

  private Nozzle() {}

  /** Pressure ratio p2/p1 at which the throat reaches the speed of sound: (2/(κ+1))^(κ/(κ−1)). */
  public static double criticalRatio(double kappa) {
    return Math.pow(2 / (kappa + 1), kappa / (kappa - 1));
  }

  /**
   * Expansion factor Y in qm = A·Y·√(2 ρ1 Δp): √(κ/(κ−1) · r^(2/κ) · (1−r^((κ−1)/κ))/(1−r)), with r
   * = p2/p1. Beyond the critical drop the flow stays what it is there, and Y falls as 1/√Δp.
   *
   * @param upstreamPa absolute pressure upstream, at rest
   * @param dropPa pressure drop, 0 to {@code upstreamPa}
   * @param kappa ratio of specific heats, above 1
   */
  public static double expansionFactor(double upstreamPa, double dropPa, double kappa) {
    double drop = dropPa / upstreamPa;
    if (drop == 0) {
      return 1;
    }
    double flowing = drop < NEVER_CHOKED ? drop : Math.min(drop, 1 - criticalRatio(kappa));
    double log = Math.log1p(-flowing);
    double exponent = (kappa - 1) / kappa;
    return Math.sqrt(Math.exp(2 / kappa * log) * -Math.expm1(exponent * log) / (exponent * drop));
  }

  /**
   * Mass flow per area, kg/(s m²).
   *
   * @param density upstream, kg/m³
   */
  public static double massFlux(double density, double upstreamPa, double dropPa, double kappa) {
    return expansionFactor(upstreamPa, dropPa, kappa) * Math.sqrt(2 * density * dropPa);
  }
}
