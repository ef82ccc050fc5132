package meniscus.recorder.cli.upkeep;

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
import meniscus.core.quantity.Dimension;
import meniscus.core.quantity.Unit;
import meniscus.core.quantity.UnitSystem;
import meniscus.core.quantity.Value;
import meniscus.core.refusal.Refusal;
import meniscus.drivers.simulated.Mounted;
import meniscus.drivers.simulated.Scenario;
import meniscus.recorder.cli.terminal.Answers;
import meniscus.recorder.cli.terminal.AtTerminal;
import meniscus.recorder.cli.terminal.CommandFailed;
import meniscus.recorder.cli.terminal.Console;
import meniscus.recorder.cli.terminal.ExitCode;
import meniscus.recorder.cli.terminal.QuantityOption;
import meniscus.recorder.cli.terminal.TargetOption;
import meniscus.recorder.feed.BenchFault;
import meniscus.recorder.file.BenchFile;
import meniscus.recorder.file.FileNotAccepted;
import meniscus.recorder.upkeep.BenchAt;
import meniscus.recorder.upkeep.BenchStation;
import meniscus.recorder.upkeep.LeakTest;
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
public final class LeakageCommand implements Callable<Integer> {

  private static final List<String> READY = List.of("ready");

  private final Console console;
  private final AtTerminal operator;

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

  @Option(
      names = "--decay",
      description = "from the fall of the pressure, with the blower valved off")
  private boolean decay;

  @Option(
      names = "--seconds",
      paramLabel = "N",
      defaultValue = "60",
      description = "with --decay: how long the fall is watched (default ${DEFAULT-VALUE})")
  private double seconds;

  @Mixin private TargetOption target;

  public LeakageCommand(Console console) {
    this.console = console;
    this.operator = new AtTerminal(console, new Answers(console));
  }

  @Override
  public Integer call() throws IOException {
    Direction way = UpkeepOptions.direction(direction);
    List<Double> pressures = UpkeepOptions.pressures(at);
    if (!(seconds >= 5 && seconds <= 600)) {
      throw CommandFailed.usage("--seconds lies between 5 and 600");
    }
    try {
      Bench bench = options.read();
      LeakTest test = decay ? fallen(bench, way, pressures) : read(bench, way, pressures);
      BenchFile.write(options.bench, test.bench());
      return tell(test);
    } catch (FileNotAccepted e) {
      throw CommandFailed.data(e.getMessage());
    } catch (Refusal | BenchFault e) {
      throw CommandFailed.bench(e.getMessage());
    } catch (InterruptedException e) {
      return ExitCode.INTERRUPTED;
    }
  }

  private LeakTest read(Bench bench, Direction way, List<Double> pressures)
      throws InterruptedException {
    Range smallest = UpkeepOptions.smallest(bench, range);
    BenchAt reached = reached(bench);
    if (!reached.simulated()) {
      operator.answers.one(
          mounted() + " Switch on range \"" + smallest.name() + "\". Blower on. Then type ready.",
          READY);
    }
    try (BenchStation stand = BenchStation.open(reached, smallest, way, operator)) {
      return LeakTest.take(stand, setUp, pressures, limit.si(), operator::told, Instant.now());
    }
  }

  /** From the highest of the test pressures down. */
  private LeakTest fallen(Bench bench, Direction way, List<Double> pressures)
      throws InterruptedException {
    double from = pressures.get(pressures.size() - 1);
    BenchAt reached = reached(bench);
    Range smallest = UpkeepOptions.smallest(bench, range);
    try (BenchStation stand = BenchStation.open(reached, smallest, way, operator)) {
      return LeakTest.decay(
          stand,
          setUp,
          from,
          seconds,
          limit.si(),
          () -> {
            if (!reached.simulated()) {
              operator.answers.one(
                  mounted()
                      + String.format(
                          Locale.ROOT,
                          " Bring the test pressure a little above %.0f Pa, shut the blower's valve,"
                              + " switch the blower off. Then type ready.",
                          from),
                  READY);
            }
          },
          Instant.now());
    }
  }

  private String mounted() {
    return setUp.equals(LeakTest.BLANKED)
        ? "Blower off. Close the bench's hole with a blank and make the joint tight."
        : "Blower off. Mount it so: " + setUp + ".";
  }

  /** On the simulated bench a set-up that names the head has it on, its valves shut. */
  private BenchAt reached(Bench bench) {
    BenchAt at =
        setUp.startsWith("head on")
            ? options.at(bench, console, new Mounted.Head(Scenario.demo().before()))
            : options.at(bench, console);
    return at.withTarget(target.si());
  }

  private int tell(LeakTest test) {
    UnitSystem units = test.bench().units();
    Unit flow = units.unit(Dimension.VOLUME_FLOW);
    Unit pressure = units.unit(Dimension.PRESSURE);
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
                "%8.2f %s  %7.3f ± %.3f %s",
                pressure.fromSi(reading.testPressurePa()),
                pressure.symbol(),
                flow.fromSi(reading.flowM3PerS()),
                2 * flow.fromSi(reading.standardUncertaintyM3PerS()),
                flow.symbol()));
      }
    }
    int code = test.outcome().fold(found -> measured(found, test, object), this::tooLarge);
    if (options.json) {
      console.json(object);
    }
    return code;
  }

  private int measured(LeakageFit.Measured found, LeakTest test, ObjectNode object) {
    Leakage leak = found.leakage();
    double atPa = test.atPa();
    UnitSystem units = test.bench().units();
    Unit flow = units.unit(Dimension.VOLUME_FLOW);
    object
        .put("set_up", leak.setUp())
        .put("direction", leak.direction().word())
        .put("seen", found.seen())
        .put("at_pa", atPa)
        .put("flow_m3_per_s", leak.flowM3PerS(atPa))
        .put("coefficient", leak.coefficient())
        .put("exponent", leak.exponent())
        .put("relative_standard_uncertainty", leak.standardUncertainty())
        .put("limit_m3_per_s", leak.limitM3PerS());
    if (!options.json) {
      Value at = Value.ofSi(atPa, units.unit(Dimension.PRESSURE));
      console.say(
          found.seen()
              ? String.format(
                  Locale.ROOT,
                  "leaks %.3f ± %.3f %s at %s, following pressure to the power %.2f; subtracted from"
                      + " now on",
                  flow.fromSi(leak.flowM3PerS(atPa)),
                  2 * leak.standardUncertainty() * flow.fromSi(leak.flowM3PerS(atPa)),
                  flow.symbol(),
                  at.toString(2),
                  leak.exponent())
              : String.format(
                  Locale.ROOT,
                  "too small to see: less than %.3f %s at %s, which is reckoned with",
                  flow.fromSi(leak.limitM3PerS()),
                  flow.symbol(),
                  at.toString(2)));
    }
    return ExitCode.DONE;
  }

  private int tooLarge(LeakageFit.TooLarge large) {
    console.warn(large.reason());
    return ExitCode.BENCH_FAULT;
  }
}
