package meniscus.recorder.cli.upkeep;

import java.nio.file.Path;
import java.util.Optional;
import meniscus.recorder.cli.terminal.Console;
import meniscus.recorder.upkeep.UsualValues;
import picocli.CommandLine.Command;
import picocli.CommandLine.Mixin;
import picocli.CommandLine.Option;

/** {@code check}: one plate against the calibration, added to bench health. */
@Command(
    name = "check",
    mixinStandardHelpOptions = true,
    description = {
      "Reads one plate and holds it against the bench's calibration. The result is added to the",
      "bench's health log; its control chart says when the bench begins to wander (exit code 5).",
      "Columns read by eye are asked for."
    },
    footer = {
      "",
      "Use the same plate at the same test pressure each time. Example:",
      "  meniscus check --bench bench.json --plates plates.json --plate 44 --direction suction"
    })
public final class CheckCommand extends UpkeepCommand {

  @Mixin private PlatesOptions plates;

  @Option(
      names = "--plate",
      paramLabel = "NAME",
      description = "which plate (default: the one whose check sees most)")
  private String plate;

  @Option(
      names = "--at",
      paramLabel = "P",
      description = "test pressure (default " + UsualValues.CHECK_AT + ")")
  private String at;

  @Option(names = "--remark", paramLabel = "TEXT", description = "kept with it")
  private String remark;

  @Mixin private TargetOption target;

  public CheckCommand(Console console) {
    super(console);
  }

  @Override
  Optional<Path> platesFile() {
    return Optional.of(plates.file);
  }
}
