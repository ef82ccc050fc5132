package meniscus.recorder.cli.upkeep;

import java.io.IOException;
import java.nio.file.Path;
import java.time.Instant;
import java.time.LocalDate;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.concurrent.Callable;
import meniscus.core.bench.Bench;
import meniscus.core.bench.Calibration;
import meniscus.core.bench.Range;
import meniscus.core.calibrate.EpochTasks;
import meniscus.core.flow.Direction;
import meniscus.core.quantity.Unit;
import meniscus.core.quantity.Worded;
import meniscus.core.refusal.Refusal;
import meniscus.recorder.cli.terminal.Answers;
import meniscus.recorder.cli.terminal.CommandFailed;
import meniscus.recorder.cli.terminal.Console;
import meniscus.recorder.cli.terminal.ExitCode;
import meniscus.recorder.feed.Drivers;
import meniscus.recorder.file.BenchFile;
import meniscus.recorder.file.WholeFile;
import meniscus.recorder.report.CalibrationPage;
import meniscus.recorder.upkeep.MovedBench;
import meniscus.recorder.upkeep.UpkeepPlace;
import meniscus.recorder.upkeep.UpkeepRequest;
import meniscus.recorder.upkeep.UpkeepTasks;
import meniscus.recorder.upkeep.WrongRequest;
import picocli.CommandLine.Command;
import picocli.CommandLine.Option;

/** {@code health}: bench health, and the changes of the bench. */
@Command(
    name = "health",
    mixinStandardHelpOptions = true,
    description = {
      "Shows bench health: what is still to be done, how old zero, leakage, calibrations and calm",
      "record are, and what the control charts of the checks say. Say here that the bench was moved",
      "or repaired or a gauge changed: then level, zero, leakage, a plate check and a calm record are",
      "asked for again. Nothing that was learned is deleted. The calm record is how much the bench",
      "itself fluctuates, measured on plates; a port's fluctuation is held against it."
    },
    footer = {
      "",
      "Examples:",
      "  meniscus health --bench bench.json",
      "  meniscus health --bench bench.json --changed \"gauge changed\"",
      "  meniscus health --bench bench.json --level",
      "  meniscus health --bench bench.json --another-bench",
      "  meniscus health --bench bench.json --direction suction --range large --report page.html"
    })
public final class HealthCommand implements Callable<Integer> {

  private final Console console;

  @Option(names = "--bench", required = true, paramLabel = "FILE", description = "the bench file")
  private Path bench;

  @Option(
      names = {"--changed", "--new-epoch"},
      paramLabel = "moved|repaired|gauge changed",
      description = "the bench was changed today, and how")
  private Optional<String> newEpoch = Optional.empty();

  @Option(
      names = "--same-bench",
      description = "the bench file was moved or copied, and is still this bench's")
  private boolean same;

  @Option(
      names = "--another-bench",
      description = {
        "the bench file was copied for another bench: it gets an id of its own and learns zero,",
        "leakage and calibration anew; the file as it was stays beside it"
      })
  private boolean another;

  @Option(names = "--level", description = "put on record that the bench stands level")
  private boolean level;

  @Option(
      names = "--report",
      paramLabel = "FILE",
      description = "write a page for printing: the current calibration, and the charts")
  private Optional<Path> report = Optional.empty();

  @Option(
      names = "--direction",
      defaultValue = "suction",
      paramLabel = "suction|blowing",
      description = "of the calibration on the page (default ${DEFAULT-VALUE})")
  private String direction;

  @Option(
      names = "--range",
      paramLabel = "NAME",
      description = "of the calibration on the page (default: the bench's first)")
  private Optional<String> range = Optional.empty();

  @Option(
      names = "--use",
      paramLabel = "SHA256",
      description = {
        "put a calibration in use that is kept aside because nothing makes its readings agree: the",
        "first letters of its version, with --because"
      })
  private Optional<String> use = Optional.empty();

  @Option(
      names = "--because",
      paramLabel = "WHY",
      description = "why that calibration is to be used; kept in the bench file")
  private String because = "";

  @Option(names = "--json", description = "print one JSON object")
  private boolean json;

  public HealthCommand(Console console) {
    this.console = console;
  }

  @Override
  public Integer call() throws IOException {
    Direction way = direction();
    settleIdentity();
    boolean notes = newEpoch.isPresent() || level;
    Bench read = notes ? BenchFile.atHome(bench) : BenchFile.read(bench);
    Bench known = read;
    if (newEpoch.isPresent()) {
      EpochTasks.Cause cause = cause(newEpoch.get());
      known = known.with(upkeep -> EpochTasks.begin(upkeep, cause, LocalDate.now()));
    }
    if (level) {
      known = known.with(upkeep -> EpochTasks.level(upkeep, Instant.now()));
    }
    if (known != read) {
      BenchFile.write(bench, known);
    }
    if (use.isPresent()) {
      known = used(use.get());
    }
    BenchHealth health = new BenchHealth(bench, known);
    if (report.isPresent()) {
      Range chosen = range(known);
      WholeFile.write(
          report.get(),
          CalibrationPage.html(known, calibration(known, way, chosen), health.calmCanBeTaken()));
    }
    if (json) {
      console.json(health.json());
    } else {
      health.lines().forEach(console::say);
    }
    return ExitCode.DONE;
  }

  private void settleIdentity() throws IOException {
    if (same && another) {
      throw CommandFailed.usage("the same bench or another one? Give one of the two");
    }
    if (same) {
      MovedBench.same(bench);
    }
    if (another) {
      Path before = MovedBench.another(bench);
      console.warn(
          "it is another bench now, and nothing is learned of it yet; the file as it was is "
              + before
              + ". Give the bench a name of its own in "
              + bench);
    }
  }

  private Bench used(String sha256) throws IOException {
    UpkeepPlace place =
        new UpkeepPlace(
            bench,
            bench.resolveSibling("plates.json"),
            UpkeepPlace.PATHS,
            Drivers.shipped(),
            console.clock());
    try {
      UpkeepTasks.of(
              new UpkeepRequest(
                  "use", Map.of("calibration", List.of(sha256), "use_anyway", List.of(because))),
              place)
          .done(new AtBench(console, new Answers(console), true, Unit.PASCAL))
          .lines()
          .forEach(line -> console.warn(line.text()));
    } catch (WrongRequest e) {
      throw CommandFailed.usage("--use, --because: " + e.getMessage());
    }
    return BenchFile.read(bench);
  }

  private Direction direction() {
    return Worded.named(Direction.values(), direction)
        .orElseThrow(
            () ->
                CommandFailed.usage(
                    "--direction is suction or blowing, not \"" + direction + "\""));
  }

  private Range range(Bench known) {
    try {
      return range.map(known::range).orElseGet(() -> known.ranges().get(0));
    } catch (Refusal e) {
      throw CommandFailed.usage("--range: " + e.getMessage());
    }
  }

  private Calibration calibration(Bench known, Direction way, Range chosen) throws IOException {
    try {
      return UpkeepPlace.calibration(known, bench, way, chosen);
    } catch (WrongRequest e) {
      throw CommandFailed.bench(e.getMessage());
    }
  }

  private static EpochTasks.Cause cause(String word) {
    try {
      return EpochTasks.Cause.of(word);
    } catch (Refusal e) {
      throw CommandFailed.usage("--changed: " + e.getMessage());
    }
  }
}
