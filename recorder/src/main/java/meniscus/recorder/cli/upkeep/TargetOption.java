package meniscus.recorder.cli.upkeep;

import meniscus.recorder.upkeep.UsualValues;
import picocli.CommandLine.Option;

/** How well the mean of a reading on a plate or of a leak is to be known. */
final class TargetOption {

  @Option(
      names = "--target",
      paramLabel = "PERCENT",
      description =
          "a reading ends when its mean is known to this, after 12 to 45 s (default "
              + UsualValues.TARGET
              + "%)")
  private String target;
}
