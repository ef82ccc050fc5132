package meniscus.recorder.cli.upkeep;

import meniscus.recorder.cli.terminal.Console;
import picocli.CommandLine.Command;
import picocli.CommandLine.Option;

/** {@code gauges}: both pressure gauges on one pressure. */
@Command(
    name = "gauges",
    mixinStandardHelpOptions = true,
    description = {
      "Compares the gauge of the test pressure with that of a range's drop while both stand on one",
      "pressure, at three pressures or more, and notes it in the bench's health log. A wrong gain",
      "cannot be seen from orifice plates: it makes all of them wrong alike. More than both",
      "accuracies allow is said (exit code 5). Do it at set-up and when a gauge was changed."
    },
    footer = {
      "",
      "Take both zeros first. Tee both gauges on one hose with a syringe; blow into none of them:",
      "breath overloads a gauge. For gauges that are read by eye see figure gauges. Example:",
      "  meniscus gauges --bench bench.json --range large"
    })
public final class GaugesCommand extends UpkeepCommand {

  @Option(
      names = "--range",
      paramLabel = "NAME",
      description = "range whose drop gauge is compared (default: the bench's first)")
  private String range;

  @Option(
      names = "--at",
      paramLabel = "P,P,P,…",
      description =
          "pressures that are held (default: a fifth, half and four fifths of what both reach)")
  private String at;

  public GaugesCommand(Console console) {
    super(console);
  }
}
