package meniscus.recorder.cli.upkeep;

import meniscus.recorder.cli.terminal.Console;
import meniscus.recorder.upkeep.LeakTest;
import meniscus.recorder.upkeep.UsualValues;
import picocli.CommandLine.Command;
import picocli.CommandLine.Mixin;
import picocli.CommandLine.Option;

/** {@code leakage}: air that does not pass the port. */
@Command(
    name = "leakage",
    mixinStandardHelpOptions = true,
    description = {
      "Measures what leaks at several test pressures, with the bench blanked, or with the head on,",
      "its valves shut and its other openings plugged, and writes it into the bench file. It is",
      "subtracted from then on in that direction. A leak above the limit is refused (exit code 3).",
      "It is read on the smallest range, or with --decay from the fall of the pressure once the",
      "blower is valved off; that needs the plenum's volume in the bench file. Columns read by eye",
      "are asked for."
    },
    footer = {
      "",
      "Choose the bench's smallest range. Examples:",
      "  meniscus leakage --bench bench.json --direction suction --set-up \"bench blanked\"",
      "  meniscus leakage --bench bench.json --direction suction --set-up \"head on, valves shut\"",
      "  meniscus leakage --bench bench.json --direction suction --decay"
    })
public final class LeakageCommand extends UpkeepCommand {

  @Option(names = "--direction", required = true, paramLabel = "suction|blowing")
  private String direction;

  @Option(
      names = "--set-up",
      paramLabel = "TEXT",
      description = "what is mounted (default " + LeakTest.BLANKED + ")")
  private String setUp;

  @Option(
      names = "--range",
      paramLabel = "NAME",
      description = "range that is switched on (default: the one with the smallest bore)")
  private String range;

  @Option(
      names = "--at",
      paramLabel = "P,P,…",
      description = "test pressures (default " + UsualValues.LEAK_AT + ")")
  private String at;

  @Option(
      names = "--limit",
      paramLabel = "Q",
      description =
          "largest leak to accept (default " + UsualValues.LEAK_LIMIT + ", common practice)")
  private String limit;

  @Option(
      names = "--decay",
      description = "from the fall of the pressure, with the blower valved off")
  private boolean decay;

  @Option(
      names = "--seconds",
      paramLabel = "N",
      description =
          "with --decay: how long the fall is watched (default " + UsualValues.DECAY_SECONDS + ")")
  private String seconds;

  @Mixin private TargetOption target;

  public LeakageCommand(Console console) {
    super(console);
  }
}
