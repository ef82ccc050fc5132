package meniscus.recorder.cli.upkeep;

import com.fasterxml.jackson.databind.node.ArrayNode;
import com.fasterxml.jackson.databind.node.JsonNodeFactory;
import com.fasterxml.jackson.databind.node.ObjectNode;
import java.io.IOException;
import java.time.Instant;
import java.util.Locale;
import java.util.Optional;
import java.util.concurrent.Callable;
import meniscus.core.bench.Bench;
import meniscus.core.bench.Use;
import meniscus.core.calibrate.ZeroTake;
import meniscus.core.flow.Direction;
import meniscus.core.quantity.Dimension;
import meniscus.core.quantity.Unit;
import meniscus.core.refusal.Refusal;
import meniscus.recorder.cli.terminal.Answers;
import meniscus.recorder.cli.terminal.AtTerminal;
import meniscus.recorder.cli.terminal.CommandFailed;
import meniscus.recorder.cli.terminal.Console;
import meniscus.recorder.cli.terminal.ExitCode;
import meniscus.recorder.feed.BenchFault;
import meniscus.recorder.file.BenchFile;
import meniscus.recorder.file.FileNotAccepted;
import meniscus.recorder.upkeep.BenchStation;
import meniscus.recorder.upkeep.Zeroing;
import picocli.CommandLine.Command;
import picocli.CommandLine.Mixin;
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
public final class ZeroCommand implements Callable<Integer> {

  private final Console console;
  private Bench bench;

  @Mixin private UpkeepOptions options;

  @Option(
      names = "--seconds",
      paramLabel = "N",
      defaultValue = "10",
      description = "how long to read (default ${DEFAULT-VALUE})")
  private double seconds;

  @Option(names = "--lift", description = "zero the lift indicator as well: the valve is shut")
  private boolean lift;

  public ZeroCommand(Console console) {
    this.console = console;
  }

  @Override
  public Integer call() throws IOException {
    if (!(seconds >= 1 && seconds <= 600)) {
      throw CommandFailed.usage("--seconds lies between 1 and 600");
    }
    try {
      bench = options.read();
      Zeroing zeroing;
      try (BenchStation stand =
          BenchStation.open(
              options.at(bench, console),
              UpkeepOptions.range(bench, Optional.empty()),
              Direction.SUCTION,
              new AtTerminal(console, new Answers(console)))) {
        zeroing = Zeroing.take(stand, seconds, lift, Instant.now());
      }
      BenchFile.write(options.bench, zeroing.bench());
      tell(zeroing);
      return zeroing.complete() ? ExitCode.DONE : ExitCode.BENCH_FAULT;
    } catch (FileNotAccepted e) {
      throw CommandFailed.data(e.getMessage());
    } catch (Refusal | BenchFault e) {
      throw CommandFailed.bench(e.getMessage());
    } catch (InterruptedException e) {
      return ExitCode.INTERRUPTED;
    }
  }

  private void tell(Zeroing zeroing) {
    ArrayNode gauges = JsonNodeFactory.instance.arrayNode();
    zeroing
        .outcomes()
        .forEach(
            (key, outcome) ->
                outcome.fold(
                    taken -> taken(key, taken, gauges), refused -> refused(key, refused, gauges)));
    if (options.json) {
      ObjectNode object = JsonNodeFactory.instance.objectNode();
      object.set("zeros", gauges);
      console.json(object);
    }
  }

  private Void taken(String key, ZeroTake.Taken taken, ArrayNode gauges) {
    ObjectNode node = gauges.addObject();
    node.put("channel", key);
    node.put("offset_si", taken.zero().offsetSi());
    node.put("standard_uncertainty_si", taken.zero().standardUncertaintySi());
    node.put("noise_si", taken.zero().noiseSi());
    if (taken.sincePreviousSi().isPresent()) {
      node.put("since_previous_si", taken.sincePreviousSi().getAsDouble());
    }
    if (!options.json) {
      Unit unit = unit(key);
      console.say(
          String.format(
              Locale.ROOT,
              "%s: zero %.4f ± %.4f %s until the next zero, noise %.4f%s",
              key,
              unit.fromSi(taken.zero().offsetSi()),
              2 * unit.fromSi(taken.zero().standardUncertaintySi()),
              unit.symbol(),
              unit.fromSi(taken.zero().noiseSi()),
              taken.sincePreviousSi().isPresent()
                  ? String.format(
                      Locale.ROOT,
                      ", %+.4f since the zero before",
                      unit.fromSi(taken.sincePreviousSi().getAsDouble()))
                  : ""));
    }
    return null;
  }

  /** All gauges zeroed are pressures but the lift's. */
  private Unit unit(String key) {
    boolean ofLift =
        bench
            .source(Use.LIFT)
            .map(source -> source.fold(gauge -> gauge.key().equals(key), typed -> false))
            .orElse(false);
    return bench.units().unit(ofLift ? Dimension.LENGTH : Dimension.PRESSURE);
  }

  private Void refused(String key, ZeroTake.Refused refused, ArrayNode gauges) {
    gauges.addObject().put("channel", key).put("refused", refused.reason());
    console.warn(refused.reason());
    return null;
  }
}
