package meniscus.recorder.cli;

import com.fasterxml.jackson.databind.node.ArrayNode;
import com.fasterxml.jackson.databind.node.JsonNodeFactory;
import com.fasterxml.jackson.databind.node.ObjectNode;
import java.io.IOException;
import java.time.Instant;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import java.util.concurrent.Callable;
import meniscus.core.bench.Bench;
import meniscus.core.bench.Leakage;
import meniscus.core.bench.Range;
import meniscus.core.calibrate.LeakReading;
import meniscus.core.calibrate.LeakageFit;
import meniscus.core.flow.Direction;
import meniscus.core.quantity.Unit;
import meniscus.core.quantity.Value;
import meniscus.recorder.file.BenchFile;
import meniscus.recorder.file.FileNotAccepted;
import meniscus.recorder.session.BenchFault;
import meniscus.recorder.upkeep.LeakTest;
import meniscus.recorder.upkeep.Stand;
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
      "subtracted from then on in that direction. A leak above the limit is refused (exit code 3)."
    },
    footer = {
      "",
      "Choose the bench's smallest range. Examples:",
      "  meniscus leakage --bench bench.json --direction suction --set-up \"bench blanked\"",
      "  meniscus leakage --bench bench.json --direction suction --set-up \"head on, valves shut\""
    })
final class LeakageCommand implements Callable<Integer> {

  private static final Unit CFM = Unit.CUBIC_FOOT_PER_MINUTE;

  private final Console console;

  @Mixin private UpkeepOptions options;

  @Option(names = "--direction", required = true, paramLabel = "suction|blowing")
  private String direction;

  @Option(
      names = "--set-up",
      paramLabel = "TEXT",
      defaultValue = "bench blanked",
      description = "what is mounted (default ${DEFAULT-VALUE})")
  private String setUp;

  @Option(
      names = "--range",
      paramLabel = "NAME",
      description = "range that is switched on (default: the one with the smallest bore)")
  private Optional<String> range = Optional.empty();

  @Option(
      names = "--at",
      paramLabel = "P,P,…",
      defaultValue = "7 inH2O, 14 inH2O, 28 inH2O",
      description = "test pressures (default ${DEFAULT-VALUE})")
  private String at;

  @Option(
      names = "--limit",
      paramLabel = "Q",
      defaultValue = "1 cfm",
      converter = QuantityOption.VolumeFlow.class,
      description = "largest leak to accept (default ${DEFAULT-VALUE}, common practice)")
  private Value limit;

  LeakageCommand(Console console) {
    this.console = console;
  }

  @Override
  public Integer call() throws IOException {
    Direction way = UpkeepOptions.direction(direction);
    List<Double> pressures = UpkeepOptions.pressures(at);
    try {
      Bench bench = options.read();
      Range smallest = UpkeepOptions.smallest(bench, range);
      console.warn("range \"" + smallest.name() + "\" is to be switched on, blower on");
      LeakTest test;
      try (Stand stand = Stand.open(options.at(bench, console), smallest, way)) {
        test = LeakTest.take(stand, smallest, way, setUp, pressures, limit.si(), Instant.now());
      }
      BenchFile.write(options.bench, test.bench());
      return tell(test);
    } catch (FileNotAccepted e) {
      throw CommandFailed.data(e.getMessage());
    } catch (IllegalArgumentException | BenchFault e) {
      throw CommandFailed.bench(e.getMessage());
    } catch (InterruptedException e) {
      return ExitCode.INTERRUPTED;
    }
  }

  private int tell(LeakTest test) {
    ObjectNode object = JsonNodeFactory.instance.objectNode();
    ArrayNode readings = object.putArray("readings");
    for (LeakReading reading : test.readings()) {
      readings
          .addObject()
          .put("test_pressure_pa", reading.testPressurePa())
          .put("flow_m3_per_s", reading.flowM3PerS())
          .put("standard_uncertainty_m3_per_s", reading.standardUncertaintyM3PerS());
      if (!options.json) {
        console.say(
            String.format(
                Locale.ROOT,
                "%8.0f Pa  %7.3f cfm  ± %.3f",
                reading.testPressurePa(),
                CFM.fromSi(reading.flowM3PerS()),
                2 * CFM.fromSi(reading.standardUncertaintyM3PerS())));
      }
    }
    int code = test.outcome().fold(found -> measured(found, object), this::tooLarge);
    if (options.json) {
      console.json(object);
    }
    return code;
  }

  private int measured(LeakageFit.Measured found, ObjectNode object) {
    Leakage leak = found.leakage();
    object
        .put("seen", found.seen())
        .put("coefficient", leak.coefficient())
        .put("exponent", leak.exponent())
        .put("relative_standard_uncertainty", leak.standardUncertainty())
        .put("limit_m3_per_s", leak.limitM3PerS());
    if (!options.json) {
      console.say(
          found.seen()
              ? String.format(
                  Locale.ROOT,
                  "leak follows pressure to the power %.2f, good to %.0f %%; subtracted from now on",
                  leak.exponent(),
                  200 * leak.standardUncertainty())
              : String.format(
                  Locale.ROOT,
                  "too small to see: less than %.3f cfm, which is reckoned with",
                  CFM.fromSi(leak.limitM3PerS())));
    }
    return ExitCode.DONE;
  }

  private int tooLarge(LeakageFit.TooLarge large) {
    console.warn(large.reason());
    return ExitCode.BENCH_FAULT;
  }
}
