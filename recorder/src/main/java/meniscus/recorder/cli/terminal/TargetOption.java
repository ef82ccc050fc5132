package meniscus.recorder.cli.terminal;

import meniscus.core.quantity.Value;
import picocli.CommandLine.Option;

/** How well the mean of a reading on a plate or of a leak is to be known. */
public final class TargetOption {

  @Option(
      names = "--target",
      paramLabel = "PERCENT",
      defaultValue = "0.1 %",
      converter = QuantityOption.Ratio.class,
      description =
          "a reading ends when its mean is known to this, after 12 to 45 s (default"
              + " ${DEFAULT-VALUE})")
  private Value target;

  /** Half width of the 95 % interval over the mean [1]. */
  public double si() {
    return target.si();
  }
}
