package meniscus.recorder.cli.upkeep;

import com.fasterxml.jackson.databind.node.ArrayNode;
import com.fasterxml.jackson.databind.node.JsonNodeFactory;
import com.fasterxml.jackson.databind.node.ObjectNode;
import java.io.IOException;
import java.nio.file.Path;
import java.time.Instant;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import java.util.Set;
import java.util.concurrent.Callable;
import meniscus.core.bench.Bench;
import meniscus.core.bench.Range;
import meniscus.core.calibrate.Plate;
import meniscus.core.flow.Direction;
import meniscus.core.refusal.Refusal;
import meniscus.core.steadiness.CalmRun;
import meniscus.recorder.cli.terminal.AgeText;
import meniscus.recorder.cli.terminal.CommandFailed;
import meniscus.recorder.cli.terminal.Console;
import meniscus.recorder.cli.terminal.ExitCode;
import meniscus.recorder.feed.BenchFault;
import meniscus.recorder.file.BenchFile;
import meniscus.recorder.file.CalmLine;
import meniscus.recorder.file.FileNotAccepted;
import meniscus.recorder.file.PlatesFile;
import meniscus.recorder.upkeep.BenchAt;
import meniscus.recorder.upkeep.CalmTake;
import meniscus.recorder.upkeep.PlateRun;
import meniscus.recorder.upkeep.ReadingsSoFar;
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
public final class CalmCommand implements Callable<Integer> {

  private final Console console;

  @Mixin private UpkeepOptions options;

  @Option(names = "--plates", required = true, paramLabel = "FILE", description = "the plates file")
  private Path plates;

  @Option(
      names = "--plate",
      paramLabel = "NAME",
      description = "one of its plates; may be given again (default: all of them)")
  private Set<String> names = Set.of();

  @Option(names = "--direction", required = true, paramLabel = "suction|blowing")
  private String direction;

  @Option(names = "--range", paramLabel = "NAME", description = "range that is switched on")
  private Optional<String> range = Optional.empty();

  @Option(
      names = "--at",
      paramLabel = "P,P,…",
      defaultValue = "28 inH2O",
      description = "test pressures of each plate (default ${DEFAULT-VALUE})")
  private String at;

  @Option(
      names = "--seconds",
      paramLabel = "N",
      defaultValue = "60",
      description = "length of each run (default ${DEFAULT-VALUE})")
  private double seconds;

  public CalmCommand(Console console) {
    this.console = console;
  }

  @Override
  public Integer call() throws IOException {
    Direction way = UpkeepOptions.direction(direction);
    List<Double> pressures = UpkeepOptions.pressures(at);
    if (!(seconds >= 20 && seconds <= 600)) {
      throw CommandFailed.usage("--seconds lies between 20 and 600");
    }
    try {
      Bench bench = options.read();
      bench
          .upkeep()
          .calm()
          .ifPresent(
              calm ->
                  console.warn(
                      "the calm record until now is " + AgeText.words(calm.at()) + " old"));
      Range chosen = UpkeepOptions.range(bench, range);
      List<Plate> used = UpkeepOptions.plates(PlatesFile.read(plates), names, plates);
      BenchAt reached = options.at(bench, console);
      PlatesAtTerminal operator = new PlatesAtTerminal(console, way, reached.simulated());
      ReadingsSoFar<CalmLine> soFar =
          ReadingsSoFar.ofCalm(options.bench, way, chosen, seconds, operator);
      CalmTake take =
          CalmTake.of(
              new PlateRun(reached, chosen, way),
              used,
              pressures,
              seconds,
              operator,
              Optional.of(soFar));
      BenchFile.write(options.bench, take.store(bench, options.bench, Instant.now()));
      soFar.done();
      tell(take, operator.missed());
      return ExitCode.DONE;
    } catch (FileNotAccepted e) {
      throw CommandFailed.data(e.getMessage());
    } catch (Refusal | BenchFault e) {
      throw CommandFailed.bench(e.getMessage());
    } catch (InterruptedException e) {
      return ExitCode.INTERRUPTED;
    }
  }

  private void tell(CalmTake take, int missed) {
    if (!options.json) {
      console.say(
          String.format(
              Locale.ROOT,
              "calm record: %d runs of %.0f s in the folder calm%s",
              take.runs().size(),
              seconds,
              missed == 0 ? "" : "; " + missed + " could not be taken"));
      return;
    }
    ObjectNode object = JsonNodeFactory.instance.objectNode();
    object.put("folder", "calm").put("missed", missed);
    ArrayNode runs = object.putArray("runs");
    for (CalmRun run : take.runs()) {
      runs.addObject()
          .put("file", run.id() + ".csv")
          .put("range", run.range())
          .put("direction", run.direction())
          .put("pressure_pa", run.testPressurePa())
          .put("mean", run.mean())
          .put("relative_standard_deviation", CalmTake.relativeDeviation(run));
    }
    console.json(object);
  }
}
