package meniscus.recorder.cli.upkeep;

import com.fasterxml.jackson.databind.node.JsonNodeFactory;
import java.io.IOException;
import java.nio.file.Path;
import java.time.Instant;
import java.util.List;
import java.util.Optional;
import java.util.Set;
import java.util.concurrent.Callable;
import meniscus.core.bench.Bench;
import meniscus.core.bench.Calibration;
import meniscus.core.bench.Range;
import meniscus.core.calibrate.EpochTasks;
import meniscus.core.calibrate.HealthChart;
import meniscus.core.calibrate.Plate;
import meniscus.core.calibrate.PlateCheck;
import meniscus.core.calibrate.PlateReading;
import meniscus.core.flow.Direction;
import meniscus.core.refusal.Refusal;
import meniscus.recorder.cli.terminal.CommandFailed;
import meniscus.recorder.cli.terminal.Console;
import meniscus.recorder.cli.terminal.ExitCode;
import meniscus.recorder.cli.terminal.TargetOption;
import meniscus.recorder.feed.BenchFault;
import meniscus.recorder.feed.ByEye;
import meniscus.recorder.file.BenchFile;
import meniscus.recorder.file.FileNotAccepted;
import meniscus.recorder.file.PlatesFile;
import meniscus.recorder.upkeep.BenchAt;
import meniscus.recorder.upkeep.LeakTest;
import meniscus.recorder.upkeep.PlateRun;
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
public final class CheckCommand implements Callable<Integer> {

  private final Console console;

  @Mixin private UpkeepOptions options;

  @Option(names = "--plates", required = true, paramLabel = "FILE", description = "the plates file")
  private Path plates;

  @Option(names = "--plate", required = true, paramLabel = "NAME", description = "which plate")
  private String plate;

  @Option(names = "--direction", required = true, paramLabel = "suction|blowing")
  private String direction;

  @Option(names = "--range", paramLabel = "NAME", description = "range to check")
  private Optional<String> range = Optional.empty();

  @Option(
      names = "--at",
      paramLabel = "P",
      defaultValue = "28 inH2O",
      description = "test pressure (default ${DEFAULT-VALUE})")
  private String at;

  @Option(names = "--remark", paramLabel = "TEXT", defaultValue = "", description = "kept with it")
  private String remark;

  @Mixin private TargetOption target;

  public CheckCommand(Console console) {
    this.console = console;
  }

  @Override
  public Integer call() throws IOException {
    Direction way = UpkeepOptions.direction(direction);
    try {
      Bench bench = options.read();
      Range chosen = UpkeepOptions.range(bench, range);
      Plate named = UpkeepOptions.plates(PlatesFile.read(plates), Set.of(plate), plates).get(0);
      Calibration calibration = CurrentCalibration.of(bench, options.bench, way, chosen);
      BenchAt reached = options.at(bench, console).withTarget(target.si());
      List<PlateReading> readings =
          new PlateRun(reached, chosen, way)
              .read(
                  List.of(named),
                  UpkeepOptions.pressures(at),
                  new PlatesAtTerminal(console, way, reached.simulated()));
      if (readings.isEmpty()) {
        throw CommandFailed.bench("plate " + plate + " was not read");
      }
      PlateCheck check =
          PlateCheck.of(
              bench,
              chosen,
              calibration,
              bench.upkeep().leakage(way, LeakTest.BLANKED).or(() -> bench.upkeep().leakage(way)),
              named,
              readings.get(0),
              Instant.now(),
              remark);
      return keep(bench.with(upkeep -> upkeep.withHealth(check.entry())), check);
    } catch (FileNotAccepted e) {
      throw CommandFailed.data(e.getMessage());
    } catch (Refusal | BenchFault e) {
      throw CommandFailed.bench(e.getMessage());
    } catch (InterruptedException e) {
      return ExitCode.INTERRUPTED;
    }
  }

  private int keep(Bench bench, PlateCheck check) throws IOException {
    BenchFile.write(options.bench, bench);
    HealthChart chart = HealthChart.of(HealthChart.like(bench.upkeep(), check.entry()));
    if (options.json) {
      console.json(
          JsonNodeFactory.instance
              .objectNode()
              .put("plate", check.entry().subject())
              .put("value", check.entry().value())
              .put("limit", check.entry().limit().orElse(Double.NaN))
              .put("within_limit", check.entry().withinLimit())
              .put("healthy", chart.healthy())
              .put("checks", chart.entries().size()));
    } else {
      console.say(check.words());
      chart.signals().stream()
          .filter(signal -> signal.at() == chart.entries().size() - 1)
          .forEach(signal -> console.say("bench health: " + signal.words()));
      EpochTasks.open(bench, ByEye.calmCanBeTaken(bench, options.bench))
          .forEach(task -> console.say("still to do in this epoch: " + task));
    }
    return chart.healthy() && check.entry().withinLimit()
        ? ExitCode.DONE
        : ExitCode.DONE_WITH_DOUBT;
  }
}
