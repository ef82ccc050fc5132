package meniscus.core.settle;

import meniscus.core.refusal.Refusal;

/**
 * What a gauge does to what it shows: the moving mean that it gives, and the first-order lag of
 * gauge and tubing.
 *
 * @param meanSeconds length of the moving mean; 0 for none, or not known [s]
 * @param lagSeconds time constant of the lag; 0 for none, or not known [s]
 */
public record GaugeTransfer(double meanSeconds, double lagSeconds) {

  public static final GaugeTransfer NONE = new GaugeTransfer(0, 0);

  public GaugeTransfer {
    if (!(meanSeconds >= 0)) {
      throw new Refusal("a gauge's own mean is no shorter than 0 s");
    }
    if (!(lagSeconds >= 0)) {
      throw new Refusal("a gauge's lag cannot be negative");
    }
  }

  /** How long a change takes to show [s]. */
  public double seconds() {
    return meanSeconds + lagSeconds;
  }
}
