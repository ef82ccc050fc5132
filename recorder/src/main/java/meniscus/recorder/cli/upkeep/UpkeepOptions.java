package meniscus.recorder.cli.upkeep;

import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import java.util.Optional;
import java.util.Set;
import java.util.stream.Collectors;
import meniscus.core.bench.Bench;
import meniscus.core.bench.FlowElement;
import meniscus.core.bench.OrificeElement;
import meniscus.core.bench.Range;
import meniscus.core.calibrate.Plate;
import meniscus.core.flow.Direction;
import meniscus.core.quantity.Dimension;
import meniscus.core.quantity.Value;
import meniscus.core.refusal.Refusal;
import meniscus.drivers.simulated.Mounted;
import meniscus.recorder.cli.terminal.CommandFailed;
import meniscus.recorder.cli.terminal.Console;
import meniscus.recorder.cli.terminal.PluginsOption;
import meniscus.recorder.feed.Feeds;
import meniscus.recorder.file.BenchFile;
import meniscus.recorder.upkeep.BenchAt;
import picocli.CommandLine.Mixin;
import picocli.CommandLine.Option;

/** Options that the upkeep commands have in common. */
final class UpkeepOptions {

  @Option(names = "--bench", required = true, paramLabel = "FILE", description = "the bench file")
  Path bench;

  @Option(names = "--quick", description = "simulated bench: in simulated time")
  boolean quick;

  @Option(
      names = "--seed",
      paramLabel = "N",
      defaultValue = "1",
      description = "simulated bench: seed of noise and weather (default ${DEFAULT-VALUE})")
  long seed;

  @Option(names = "--json", description = "print one JSON object")
  boolean json;

  @Mixin private PluginsOption plugins;

  Bench read() {
    return BenchFile.read(bench);
  }

  /** With nothing but a blank on the simulated bench. */
  BenchAt at(Bench read, Console console) {
    return at(read, console, new Mounted.Blank());
  }

  /** With something mounted on the simulated bench. */
  BenchAt at(Bench read, Console console, Mounted mounted) {
    return new BenchAt(
        read,
        bench,
        plugins.drivers(console),
        new Feeds.Simulation(quick, seed, mounted),
        BenchAt.Pace.CAREFUL);
  }

  static Direction direction(String word) {
    for (Direction direction : Direction.values()) {
      if (direction.word().equals(word)) {
        return direction;
      }
    }
    throw CommandFailed.usage("--direction is \"suction\" or \"blowing\", not \"" + word + "\"");
  }

  static Range range(Bench bench, Optional<String> name) {
    try {
      return name.map(bench::range).orElseGet(() -> bench.ranges().get(0));
    } catch (Refusal e) {
      throw CommandFailed.usage(e.getMessage());
    }
  }

  /**
   * Plates by name, in the file's order; all when none is named.
   *
   * @param file for the message when a name is not in it
   */
  static List<Plate> plates(List<Plate> all, Set<String> names, Path file) {
    for (String name : names) {
      if (all.stream().noneMatch(plate -> plate.name().equals(name))) {
        throw CommandFailed.usage(
            "no plate \""
                + name
                + "\" in "
                + file
                + "; it has: "
                + all.stream().map(Plate::name).collect(Collectors.joining(", ")));
      }
    }
    return all.stream().filter(plate -> names.isEmpty() || names.contains(plate.name())).toList();
  }

  /** The range with the smallest bore; the last one where bores are not known. */
  static Range smallest(Bench bench, Optional<String> name) {
    if (name.isPresent()) {
      return range(bench, name);
    }
    return bench.ranges().stream()
        .filter(range -> bore(range.element()) > 0)
        .min(Comparator.comparingDouble(range -> bore(range.element())))
        .orElseGet(() -> bench.ranges().get(bench.ranges().size() - 1));
  }

  private static double bore(FlowElement element) {
    return element.fold(
        OrificeElement::boreM,
        nozzle -> nozzle.throatM(),
        linear -> 0.0,
        chart -> 0.0,
        fitted -> bore(fitted.base()));
  }

  /** Test pressures such as {@code "10 inH2O, 20 inH2O, 28 inH2O"}, rising [Pa]. */
  static List<Double> pressures(String text) {
    List<Double> pressures = new ArrayList<>();
    for (String each : text.split(",")) {
      try {
        pressures.add(Value.si(each, Dimension.PRESSURE));
      } catch (Refusal e) {
        throw CommandFailed.usage("--at: " + e.getMessage());
      }
    }
    if (pressures.stream().anyMatch(pressure -> !(pressure > 0))) {
      throw CommandFailed.usage("--at: test pressures are above zero, in either direction");
    }
    return pressures.stream().sorted().toList();
  }
}
