package meniscus.recorder.cli.upkeep;

import java.util.ArrayList;
import java.util.List;
import meniscus.recorder.cli.terminal.Console;
import meniscus.recorder.upkeep.UsualValues;
import picocli.CommandLine.Command;
import picocli.CommandLine.Option;

/** {@code repeat}: how well the bench gives the same flow again. */
@Command(
    name = "repeat",
    mixinStandardHelpOptions = true,
    description = {
      "Learns the bench's repeatability: the same head is taken off and put back several times, a",
      "short ladder each time. Without it one run before and one after a change decide nothing.",
      "Says first what it costs in minutes and what it buys. Tests that you have taken so anyway",
      "feed it with --from. Every later series makes it surer."
    },
    footer = {
      "",
      "Each fitting is a lift test in the folder repeats beside the bench file. When the command is",
      "interrupted, the next one goes on where it ended. Examples:",
      "  meniscus repeat --bench bench.json --plan plan.json",
      "  meniscus repeat --bench bench.json --from before-1 --from before-2 --from before-3"
    })
public final class RepeatCommand extends UpkeepCommand {

  @Option(
      names = "--plan",
      paramLabel = "FILE",
      description = "the plan of your tests: head, set-up and four of its lifts are taken")
  private String plan;

  @Option(
      names = "--fittings",
      paramLabel = "N",
      description = "how often it is put on (default " + UsualValues.FITTINGS + ")")
  private String fittings;

  @Option(
      names = "--from",
      paramLabel = "FOLDER",
      description = {
        "a test of one unchanged head that was off before it; given twice or more, instead of a",
        "plan"
      })
  private List<String> from = new ArrayList<>();

  public RepeatCommand(Console console) {
    super(console);
  }
}
