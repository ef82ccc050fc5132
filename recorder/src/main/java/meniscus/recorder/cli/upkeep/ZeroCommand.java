package meniscus.recorder.cli.upkeep;

import meniscus.recorder.cli.terminal.Console;
import meniscus.recorder.upkeep.UsualValues;
import picocli.CommandLine.Command;
import picocli.CommandLine.Option;

/** {@code zero}: what the gauges show when there is nothing to read. */
@Command(
    name = "zero",
    mixinStandardHelpOptions = true,
    description = {
      "Takes the zero of every pressure gauge, blower off, and writes it into the bench file. A",
      "gauge that moves is refused: nothing is stored for it, and the exit code is 3. Columns read",
      "by eye are asked for: set the scale to zero and type 0, or type what it shows at rest."
    },
    footer = {
      "",
      "Wait until the blower has run down and leave the hoses on. Example:",
      "  meniscus zero --bench bench.json"
    })
public final class ZeroCommand extends UpkeepCommand {

  @Option(
      names = "--seconds",
      paramLabel = "N",
      description = "how long to read (default " + UsualValues.ZERO_SECONDS + ")")
  private String seconds;

  @Option(names = "--lift", description = "zero the lift indicator as well: the valve is shut")
  private boolean lift;

  public ZeroCommand(Console console) {
    super(console);
  }
}
