package meniscus.core.flow;

import meniscus.core.quantity.Coded;

/**
 * The two published forms of an orifice plate's expansibility factor. They differ by 0.3 % of flow
 * at 28 inH2O, so a result stores which one it used.
 */
public enum Expansibility implements Coded {
  /** ISO 5167-2:2003: 1 − (0.351 + 0.256β⁴ + 0.93β⁸)(1 − (p2/p1)^(1/κ)). */
  ISO_2003 {
    @Override
    public double factor(double ratio, double upstreamPa, double dropPa, double kappa) {
      double beta4 = ratio * ratio * ratio * ratio;
      double expansion = -Math.expm1(Math.log1p(-dropPa / upstreamPa) / kappa);
      return 1 - (0.351 + 0.256 * beta4 + 0.93 * beta4 * beta4) * expansion;
    }

    @Override
    public double u95(double upstreamPa, double dropPa, double kappa) {
      return 0.035 * dropPa / (kappa * upstreamPa);
    }
  },
  /** ISO 5167-1:1991 with amendment 1:1998: 1 − (0.41 + 0.35β⁴)Δp/(κ p1). */
  ISO_1991 {
    @Override
    public double factor(double ratio, double upstreamPa, double dropPa, double kappa) {
      double beta4 = ratio * ratio * ratio * ratio;
      return 1 - (0.41 + 0.35 * beta4) * dropPa / (kappa * upstreamPa);
    }

    @Override
    public double u95(double upstreamPa, double dropPa, double kappa) {
      return 0.04 * dropPa / upstreamPa;
    }
  };

  /**
   * @param ratio bore over pipe diameter, β; 0 between two large rooms
   * @param upstreamPa absolute pressure upstream
   * @param dropPa pressure drop, below {@code upstreamPa}
   * @param kappa ratio of specific heats; infinite for a liquid
   */
  public abstract double factor(double ratio, double upstreamPa, double dropPa, double kappa);

  /**
   * Relative expanded uncertainty (95 %) of the factor: 3.5 Δp/(κ p1) % for the 2003 form (ISO
   * 5167-2:2003, 5.3.3.2), 4 Δp/p1 % for the 1991 form (from memory).
   */
  public abstract double u95(double upstreamPa, double dropPa, double kappa);
}
