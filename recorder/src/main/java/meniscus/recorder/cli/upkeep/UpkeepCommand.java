package meniscus.recorder.cli.upkeep;

import java.io.IOException;
import java.nio.file.Path;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.concurrent.Callable;
import meniscus.core.quantity.Dimension;
import meniscus.core.quantity.Unit;
import meniscus.recorder.cli.terminal.Answers;
import meniscus.recorder.cli.terminal.CommandFailed;
import meniscus.recorder.cli.terminal.Console;
import meniscus.recorder.cli.terminal.ExitCode;
import meniscus.recorder.file.BenchFile;
import meniscus.recorder.upkeep.UpkeepOutcome;
import meniscus.recorder.upkeep.UpkeepPlace;
import meniscus.recorder.upkeep.UpkeepRequest;
import meniscus.recorder.upkeep.UpkeepTask;
import meniscus.recorder.upkeep.UpkeepTasks;
import meniscus.recorder.upkeep.WrongRequest;
import picocli.CommandLine.Mixin;
import picocli.CommandLine.Model.CommandSpec;
import picocli.CommandLine.Model.OptionSpec;
import picocli.CommandLine.Spec;

/**
 * A command that keeps the bench in order. What it does stands in {@code recorder.upkeep}; a
 * command names its options, passes on what was typed, and prints what came out.
 */
abstract class UpkeepCommand implements Callable<Integer> {

  /** On the page this names plates, here it is where they are written down. */
  private static final String PLATES_FILE = "plates";

  private final Console console;

  @Mixin UpkeepOptions options;
  @Spec private CommandSpec spec;

  UpkeepCommand(Console console) {
    this.console = console;
  }

  @Override
  public final Integer call() throws IOException {
    UpkeepOutcome outcome;
    try {
      UpkeepPlace place = place();
      UpkeepTask task = UpkeepTasks.of(asked(), place);
      Unit pressure = BenchFile.read(place.benchFile()).units().unit(Dimension.PRESSURE);
      outcome = task.done(new AtBench(console, new Answers(console), task.simulated(), pressure));
    } catch (WrongRequest e) {
      throw e.why() == WrongRequest.Why.NOT_NOW
          ? CommandFailed.bench(e.getMessage())
          : CommandFailed.usage(named(e.option()) + ": " + e.getMessage());
    }
    tell(outcome);
    return switch (outcome.kind()) {
      case DONE -> ExitCode.DONE;
      case DOUBT -> ExitCode.DONE_WITH_DOUBT;
      case REFUSED -> ExitCode.BENCH_FAULT;
      case STOPPED -> ExitCode.INTERRUPTED;
    };
  }

  /** Where the command works. */
  private UpkeepPlace place() {
    return new UpkeepPlace(
        options.bench,
        platesFile().orElseGet(() -> options.bench.toAbsolutePath().resolveSibling("plates.json")),
        UpkeepPlace.PATHS,
        options.drivers(console),
        console.clock());
  }

  /** The options that were typed, as they were typed. */
  private UpkeepRequest asked() {
    Map<String, List<String>> given = new HashMap<>();
    for (OptionSpec option : spec.commandLine().getParseResult().matchedOptions()) {
      String name = option.longestName().substring(2).replace('-', '_');
      if (UpkeepRequest.FLAGS.contains(name)) {
        given.put(name, List.of(UpkeepRequest.YES));
      } else if (UpkeepRequest.OPTIONS.contains(name) && !name.equals(PLATES_FILE)) {
        given.put(name, option.stringValues());
      }
    }
    return new UpkeepRequest(spec.name(), given);
  }

  private static String named(String option) {
    return "--" + option.replace('_', '-');
  }

  /** What is to be looked at goes to standard error, the rest to standard output. */
  private void tell(UpkeepOutcome outcome) throws IOException {
    for (UpkeepOutcome.Line line : outcome.lines()) {
      if (!line.good()) {
        console.warn(line.text());
      } else if (!options.json) {
        console.say(line.text());
      }
    }
    if (options.json) {
      console.json(outcome.json());
    }
    after(outcome);
  }

  /** The plates file that is named; empty for the usual one beside the bench file. */
  Optional<Path> platesFile() {
    return Optional.empty();
  }

  /** What a command does besides with what came out. */
  void after(UpkeepOutcome outcome) throws IOException {}
}
