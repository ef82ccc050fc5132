package meniscus.recorder.cli.upkeep;

import java.io.IOException;
import java.nio.file.Path;
import java.util.Optional;
import java.util.Set;
import meniscus.core.bench.Bench;
import meniscus.core.bench.Calibration;
import meniscus.recorder.cli.terminal.Console;
import meniscus.recorder.feed.ByEye;
import meniscus.recorder.file.BenchFile;
import meniscus.recorder.file.CalibrationFile;
import meniscus.recorder.file.WholeFile;
import meniscus.recorder.report.CalibrationPage;
import meniscus.recorder.upkeep.UpkeepOutcome;
import meniscus.recorder.upkeep.UsualValues;
import picocli.CommandLine.Command;
import picocli.CommandLine.Mixin;
import picocli.CommandLine.Option;

/** {@code calibrate}: fits the flow element through orifice plates. */
@Command(
    name = "calibrate",
    mixinStandardHelpOptions = true,
    description = {
      "Reads orifice plates in the head's place, one after the other, at several test pressures,",
      "and fits the flow element through them. Suction and blowing are calibrated apart, and so is",
      "each range. The result is a new file in calibrations/ beside the bench file; older ones",
      "stay. Plates are asked for in mixed order and the first one again at the end, so that a drift",
      "shows. What is wrong is named: a plate, a leak, a zero (exit code 5). Columns read by eye are",
      "asked for."
    },
    footer = {
      "",
      "Each reading is kept at once in a file beside the bench file. When the command is",
      "interrupted, the next one offers them: nobody has to mount those plates again.",
      "",
      "Take zero and leakage first. The sharp edge meets the air: the bevel looks downstream.",
      "Example:",
      "  meniscus calibrate --bench bench.json --plates plates.json --direction suction \\",
      "      --range large --report calibration.html"
    })
public final class CalibrateCommand extends UpkeepCommand {

  @Mixin private PlatesOptions plates;

  @Option(
      names = "--at",
      paramLabel = "P,P,…",
      description = "test pressures of each plate (default " + UsualValues.CALIBRATION_AT + ")")
  private String at;

  @Option(
      names = "--leave-out",
      paramLabel = "NAME",
      description = "a plate that is not to be used; may be given again")
  private Set<String> leaveOut = Set.of();

  @Option(
      names = "--use-anyway",
      paramLabel = "WHY",
      description = {
        "use the result even where nothing makes its readings agree, and why; without it such a",
        "calibration is kept, and the one before stays in use"
      })
  private String useAnyway;

  @Option(names = "--report", paramLabel = "FILE", description = "write a page for printing here")
  private Optional<Path> report = Optional.empty();

  @Mixin private TargetOption target;

  public CalibrateCommand(Console console) {
    super(console);
  }

  @Override
  Optional<Path> platesFile() {
    return Optional.of(plates.file);
  }

  @Override
  void after(UpkeepOutcome outcome) throws IOException {
    String sha256 = outcome.json().path("sha256").asText();
    if (report.isPresent() && !sha256.isEmpty()) {
      Bench bench = BenchFile.read(options.bench);
      Calibration kept = CalibrationFile.beside(options.bench, sha256);
      WholeFile.write(
          report.get(),
          CalibrationPage.html(bench, kept, ByEye.calmCanBeTaken(bench, options.bench)));
    }
  }
}
