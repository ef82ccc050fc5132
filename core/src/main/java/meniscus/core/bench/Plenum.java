package meniscus.core.bench;

import meniscus.core.refusal.Refusal;

/**
 * The box between head and flow element: it stores air when its pressure moves.
 *
 * @param volumeM3 effective volume [m³]
 * @param standardUncertaintyM3 of the volume [m³]
 */
public record Plenum(double volumeM3, double standardUncertaintyM3) {
  public Plenum {
    if (!(volumeM3 > 0) || !(standardUncertaintyM3 >= 0)) {
      throw new Refusal("a plenum has a positive volume");
    }
  }
}
