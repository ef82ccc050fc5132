package meniscus.core.flow;

/**
 * How flow changes with test pressure, upstream air unchanged. The plain square root takes air for
 * incompressible: from 10 to 28 inH2O it is 2.5 % high for a port, which acts as a nozzle.
 */
public enum PressureScaling {
  /** √(Δp2/Δp1), the trade's rule (common practice, no source). */
  ROOT {
    @Override
    double expansion(double ratio, double upstreamPa, double dropPa, double kappa) {
      return 1;
    }
  },
  /** With the isentropic expansion factor of {@link Nozzle}. */
  NOZZLE {
    @Override
    double expansion(double ratio, double upstreamPa, double dropPa, double kappa) {
      return Nozzle.expansionFactor(upstreamPa, dropPa, kappa);
    }
  },
  /** With the expansibility factor of ISO 5167-2:2003, as a sharp plate does. */
  PLATE {
    @Override
    double expansion(double ratio, double upstreamPa, double dropPa, double kappa) {
      return Expansibility.ISO_2003.factor(ratio, upstreamPa, dropPa, kappa);
    }
  };

  /**
   * Flow at {@code toPa} over flow at {@code fromPa}, mass or volume of upstream air alike.
   *
   * @param fromPa test pressure the flow is known at
   * @param toPa test pressure it is wanted at
   * @param upstreamPa absolute pressure upstream, above both
   * @param kappa ratio of specific heats
   * @param ratio bore ratio of a plate, 0 between two large rooms; of no effect on the others
   */
  public double factor(double fromPa, double toPa, double upstreamPa, double kappa, double ratio) {
    return Math.sqrt(toPa / fromPa)
        * expansion(ratio, upstreamPa, toPa, kappa)
        / expansion(ratio, upstreamPa, fromPa, kappa);
  }

  /** By how much the plain root is above this form: 0.02 for 2 %. */
  public double plainRootError(
      double fromPa, double toPa, double upstreamPa, double kappa, double ratio) {
    return Math.sqrt(toPa / fromPa) / factor(fromPa, toPa, upstreamPa, kappa, ratio) - 1;
  }

  abstract double expansion(double ratio, double upstreamPa, double dropPa, double kappa);
}
