package meniscus.recorder.upkeep;

import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.Set;
import java.util.stream.Collectors;
import meniscus.core.bench.Bench;
import meniscus.core.bench.Range;
import meniscus.core.calibrate.Plate;
import meniscus.core.flow.Direction;
import meniscus.core.quantity.Dimension;
import meniscus.core.quantity.Value;
import meniscus.core.quantity.Worded;
import meniscus.core.refusal.Refusal;
import meniscus.drivers.simulated.Mounted;
import meniscus.recorder.feed.Feeds;

/**
 * What a person asked for, as typed, at the terminal or on the page; what was left out is usual.
 *
 * @param task its word: {@code zero}
 * @param given by option: {@code at}, {@code set_up}; a list for those that may be given again,
 *     {@code yes} for those that take no value
 */
public record UpkeepRequest(String task, Map<String, List<String>> given) {

  /** Every option of every task. */
  public static final Set<String> OPTIONS =
      Set.of(
          "direction",
          "range",
          "at",
          "limit",
          "set_up",
          "seconds",
          "lift",
          "decay",
          "plates",
          "leave_out",
          "plate",
          "remark",
          "target",
          "use_anyway",
          "calibration",
          "plan",
          "fittings",
          "from",
          "quick",
          "seed");

  /** Those that may be given again. */
  public static final Set<String> LISTS = Set.of("plates", "leave_out", "from");

  /** Those that are there or not. */
  public static final Set<String> FLAGS = Set.of("lift", "decay", "quick");

  public static final String YES = "yes";

  public UpkeepRequest {
    given = Map.copyOf(given);
  }

  Optional<String> text(String option) {
    return Optional.ofNullable(given.get(option))
        .filter(values -> !values.isEmpty())
        .map(values -> values.get(0));
  }

  boolean flag(String option) {
    return text(option).isPresent();
  }

  List<String> texts(String option) {
    return given.getOrDefault(option, List.of());
  }

  private String textOrUsual(String option, Bench bench) {
    return text(option).orElseGet(() -> UsualValues.of(task, bench.units()).get(option));
  }

  /**
   * @param lowest that is sensible
   * @param highest that is sensible
   */
  double number(String option, double lowest, double highest, Bench bench) throws WrongRequest {
    OptionalDouble number = number(textOrUsual(option, bench));
    if (number.isEmpty() || !(number.getAsDouble() >= lowest && number.getAsDouble() <= highest)) {
      throw WrongRequest.notUnderstood(
          option, "lies between " + Math.round(lowest) + " and " + Math.round(highest));
    }
    return number.getAsDouble();
  }

  private static OptionalDouble number(String text) {
    try {
      return OptionalDouble.of(Double.parseDouble(text));
    } catch (NumberFormatException e) {
      return OptionalDouble.empty();
    }
  }

  double si(String option, Dimension dimension, Bench bench) throws WrongRequest {
    return si(option, textOrUsual(option, bench), dimension);
  }

  private static double si(String option, String text, Dimension dimension) throws WrongRequest {
    try {
      return Value.si(text, dimension);
    } catch (Refusal e) {
      throw WrongRequest.notUnderstood(option, e.getMessage());
    }
  }

  /** Test pressures such as {@code "10 inH2O, 20 inH2O, 28 inH2O"}, rising [Pa]. */
  List<Double> pressures(Bench bench) throws WrongRequest {
    List<Double> pressures = new ArrayList<>();
    for (String each : textOrUsual("at", bench).split(",")) {
      pressures.add(si("at", each, Dimension.PRESSURE));
    }
    if (pressures.stream().anyMatch(pressure -> !(pressure > 0))) {
      throw WrongRequest.notUnderstood("at", "test pressures are above zero, in either direction");
    }
    return pressures.stream().sorted().toList();
  }

  Direction direction() throws WrongRequest {
    String word =
        text("direction")
            .orElseThrow(() -> WrongRequest.notUnderstood("direction", "is suction or blowing"));
    return Worded.named(Direction.values(), word)
        .orElseThrow(
            () ->
                WrongRequest.notUnderstood(
                    "direction", "is suction or blowing, not \"" + word + "\""));
  }

  /** The range that is named, or the one that is usual for the task. */
  Range range(Bench bench, Range usual) throws WrongRequest {
    try {
      return text("range").map(bench::range).orElse(usual);
    } catch (Refusal e) {
      throw WrongRequest.notUnderstood("range", e.getMessage());
    }
  }

  /**
   * Plates by name, in the file's order; all when none is named.
   *
   * @param all of the plates file
   */
  List<Plate> plates(List<Plate> all) throws WrongRequest {
    Set<String> names = Set.copyOf(texts(given.containsKey("plates") ? "plates" : "plate"));
    Set<String> out = Set.copyOf(texts("leave_out"));
    for (String name : names) {
      known(all, "plates", name);
    }
    for (String name : texts("leave_out")) {
      known(all, "leave_out", name);
    }
    List<Plate> used =
        all.stream()
            .filter(plate -> names.isEmpty() || names.contains(plate.name()))
            .filter(plate -> !out.contains(plate.name()))
            .toList();
    if (used.isEmpty() || given.containsKey("plates") && names.isEmpty()) {
      throw WrongRequest.notUnderstood("plates", "names one plate or more of the plates file");
    }
    return used;
  }

  /** The plate that is named. */
  Optional<Plate> plate(List<Plate> all) throws WrongRequest {
    Optional<String> name = text("plate");
    return name.isEmpty() ? Optional.empty() : Optional.of(known(all, "plate", name.get()));
  }

  private static Plate known(List<Plate> all, String option, String name) throws WrongRequest {
    return all.stream()
        .filter(plate -> plate.name().equals(name))
        .findFirst()
        .orElseThrow(
            () ->
                WrongRequest.notUnderstood(
                    option,
                    "no plate \""
                        + name
                        + "\" in the plates file; it has: "
                        + all.stream().map(Plate::name).collect(Collectors.joining(", "))));
  }

  /**
   * How the simulated bench is run.
   *
   * @param mounted what stands on it
   */
  Feeds.Simulation simulation(Mounted mounted) throws WrongRequest {
    long seed;
    try {
      seed = Long.parseLong(text("seed").orElse("1"));
    } catch (NumberFormatException e) {
      throw WrongRequest.notUnderstood("seed", "is a whole number");
    }
    return new Feeds.Simulation(flag("quick"), seed, mounted);
  }
}
