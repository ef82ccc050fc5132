package meniscus.drivers.simulated;

import meniscus.core.flow.Direction;

/**
 * The tight turn of a port. Above a critical velocity the flow comes off it and on again at random.
 *
 * <p>The velocity is that of attached flow at the port's smallest section, times 1 + lift/head
 * diameter, since the short side carries more of the flow as the valve opens (our own model). It is
 * taken in air of 1.2 kg/m³, so that the weather does not move the threshold.
 *
 * <p>Share of time separated = 1/(1 + exp(−(v − critical)/width)). Mean dwell attached =
 * relaxation/share, mean dwell separated = relaxation/(1 − share), both exponentially distributed.
 *
 * @param direction in which the flow takes the turn
 * @param criticalMPerS velocity at which half of the time is separated [m/s]
 * @param widthMPerS of the transition [m/s]
 * @param depth share of the effective area lost while separated [1]
 * @param relaxationS see above [s]
 * @param roughness turbulence while separated over turbulence while attached [1]
 * @param recovery by how much lower the critical velocity is after long separation [1]; 0 makes
 *     opening and closing sweeps alike
 */
public record SimulatedShortSide(
    Direction direction,
    double criticalMPerS,
    double widthMPerS,
    double depth,
    double relaxationS,
    double roughness,
    double recovery) {

  public SimulatedShortSide {
    if (!(criticalMPerS > 0) || !(widthMPerS > 0) || !(relaxationS > 0)) {
      throw new IllegalArgumentException(
          "a short side needs a positive critical velocity, width and relaxation time");
    }
    if (!(depth >= 0 && depth < 1) || !(recovery >= 0 && recovery < 1)) {
      throw new IllegalArgumentException("depth and recovery of a short side are shares below 1");
    }
  }

  /**
   * Share of time separated in the long run.
   *
   * @param velocityMPerS of attached flow at the short side [m/s]
   * @param separatedBefore share of the recent past that was separated [1]
   */
  double share(double velocityMPerS, double separatedBefore) {
    double critical = criticalMPerS * (1 - recovery * separatedBefore);
    return 1 / (1 + Math.exp((critical - velocityMPerS) / widthMPerS));
  }
}
