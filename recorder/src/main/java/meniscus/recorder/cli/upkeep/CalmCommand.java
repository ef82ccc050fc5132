package meniscus.recorder.cli.upkeep;

import java.nio.file.Path;
import java.util.Optional;
import java.util.Set;
import meniscus.recorder.cli.terminal.Console;
import meniscus.recorder.upkeep.UsualValues;
import picocli.CommandLine.Command;
import picocli.CommandLine.Mixin;
import picocli.CommandLine.Option;

/** {@code calm}: takes the calm record on plates. */
@Command(
    name = "calm",
    mixinStandardHelpOptions = true,
    description = {
      "Records how the flow moves on orifice plates, where nothing can separate: the bench's own",
      "fluctuation, which a port is judged against and which makes averages shorter. Each range and",
      "direction apart, at the test pressure of your tests. The runs go into the folder calm beside",
      "the bench file; earlier runs at another range, direction or test pressure stay, and the",
      "folder as it was is put aside. Columns read by eye show no fluctuation: refused (exit code 3)."
    },
    footer = {
      "",
      "Each run is kept at once beside the bench file. When the command is interrupted, the next one",
      "offers them: nobody has to mount those plates again.",
      "",
      "Use plates from the smallest to the largest flow of your tests. Examples:",
      "  meniscus calm --bench bench.json --plates plates.json --direction suction --range large",
      "  meniscus calm --bench bench.json --plates plates.json --plate 20 --plate 44 \\",
      "      --direction blowing --at \"10 inH2O, 28 inH2O\""
    })
public final class CalmCommand extends UpkeepCommand {

  @Mixin private PlatesOptions plates;

  @Option(
      names = "--plate",
      paramLabel = "NAME",
      description = "one of its plates; may be given again (default: all of them)")
  private Set<String> names = Set.of();

  @Option(
      names = "--at",
      paramLabel = "P,P,…",
      description = "test pressures of each plate (default " + UsualValues.CALM_AT + ")")
  private String at;

  @Option(
      names = "--seconds",
      paramLabel = "N",
      description = "length of each run (default " + UsualValues.CALM_SECONDS + ")")
  private String seconds;

  public CalmCommand(Console console) {
    super(console);
  }

  @Override
  Optional<Path> platesFile() {
    return Optional.of(plates.file);
  }
}
