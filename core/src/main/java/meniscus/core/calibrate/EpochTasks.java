package meniscus.core.calibrate;

import java.time.Instant;
import java.time.LocalDate;
import java.util.ArrayList;
import java.util.EnumSet;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.Set;
import java.util.stream.Collectors;
import java.util.stream.Stream;
import meniscus.core.bench.Bench;
import meniscus.core.bench.CalibrationRef;
import meniscus.core.bench.Epoch;
import meniscus.core.bench.HealthEntry;
import meniscus.core.bench.HealthEntry.Kind;
import meniscus.core.bench.Range;
import meniscus.core.bench.Source;
import meniscus.core.bench.Upkeep;
import meniscus.core.bench.Use;
import meniscus.core.flow.Direction;
import meniscus.core.quantity.Text;
import meniscus.core.quantity.Worded;
import meniscus.core.refusal.Refusal;

/**
 * A new epoch of a bench: after it was moved or repaired or a gauge was changed, what was learned
 * before is not to be trusted until it has been checked again.
 */
public final class EpochTasks {

  private EpochTasks() {}

  /** What begins a new epoch. */
  public enum Cause implements Worded {
    MOVED,
    REPAIRED,
    GAUGE_CHANGED;

    /**
     * @throws Refusal naming the causes when the word is none of them
     */
    public static Cause of(String word) {
      return Worded.named(values(), word)
          .orElseThrow(
              () ->
                  new Refusal(
                      "a bench was \"moved\" or \"repaired\" or a \"gauge changed\", not \""
                          + word
                          + "\""));
    }
  }

  /** The upkeep in a new epoch; what was learned stays on record. */
  public static Upkeep begin(Upkeep upkeep, Cause cause, LocalDate day) {
    return upkeep.inEpoch(new Epoch(upkeep.epoch().number() + 1, day, cause.word()));
  }

  /** Puts on record that the bench stands level. */
  public static Upkeep level(Upkeep upkeep, Instant at) {
    return upkeep.withHealth(
        new HealthEntry(
            at,
            upkeep.epoch().number(),
            Kind.LEVEL,
            "bench",
            Optional.empty(),
            Optional.empty(),
            1,
            1,
            0,
            OptionalDouble.of(0),
            ""));
  }

  /**
   * What is still to be done in this epoch, one sentence each, in the order to do it. Leakage,
   * plate check and calm record are asked for in each direction that the bench has been used in.
   *
   * @param calm whether a calm record can be taken: not where a person reads drop or test pressure
   */
  public static List<String> open(Bench bench, boolean calm) {
    Upkeep upkeep = bench.upkeep();
    List<String> tasks = new ArrayList<>();
    if (entries(upkeep, Kind.LEVEL).findAny().isEmpty()) {
      tasks.add("see that the bench stands level");
    }
    String unzeroed =
        gauges(bench)
            .filter(key -> entries(upkeep, Kind.ZERO).noneMatch(e -> e.subject().equals(key)))
            .collect(Collectors.joining(", "));
    if (!unzeroed.isEmpty()) {
      tasks.add("take the zero of " + unzeroed);
    }
    if (calm) {
      gauges(bench, tasks);
    }
    each(upkeep, Kind.LEAKAGE, "measure the leakage", tasks);
    outsideLimits(bench, tasks);
    if (upkeep.calibrations().isEmpty()) {
      tasks.add("calibrate the flow element on plates");
    }
    for (CalibrationRef aside : upkeep.setAside()) {
      tasks.add(
          "calibrate range "
              + aside.range()
              + " on "
              + aside.direction().word()
              + " again: the calibration taken last is not in use, "
              + aside.standing().why());
    }
    againstAdvice(upkeep, tasks);
    each(upkeep, Kind.PLATE_CHECK, "check one plate against the calibration", tasks);
    if (calm) {
      each(
          upkeep,
          Kind.CALM_RECORD,
          "take the calm record (how much the bench itself fluctuates, on plates)",
          tasks);
    }
    if (upkeep.repeatability().isEmpty()) {
      tasks.add("learn the repeatability: the same head off and on six times");
    }
    return tasks;
  }

  /** The same as one sentence; empty when nothing is left to do. */
  public static Optional<String> openWords(Bench bench, boolean calm) {
    List<String> tasks = open(bench, calm);
    Epoch epoch = bench.upkeep().epoch();
    return tasks.isEmpty()
        ? Optional.empty()
        : Optional.of(
            "bench health: "
                + (epoch.afterChange() ? epoch.words() + ", " : "")
                + "still to do: "
                + String.join("; ", tasks));
  }

  /** Calibrations that nothing makes consistent, and that somebody wanted all the same. */
  private static void againstAdvice(Upkeep upkeep, List<String> tasks) {
    upkeep.calibrations().stream()
        .filter(taken -> taken.standing().againstAdvice())
        .filter(
            taken ->
                upkeep
                    .calibration(taken.direction(), taken.range())
                    .filter(taken::equals)
                    .isPresent())
        .forEach(
            taken ->
                tasks.add(
                    "calibrate range "
                        + taken.range()
                        + " on "
                        + taken.direction().word()
                        + " again: the calibration is in use against advice, "
                        + taken.standing().why()));
  }

  /** Ranges that nothing but an equation knows, outside what that was made for. */
  private static void outsideLimits(Bench bench, List<String> tasks) {
    for (Range range : bench.ranges()) {
      boolean calibrated =
          Stream.of(Direction.values())
              .anyMatch(way -> bench.upkeep().calibration(way, range.name()).isPresent());
      List<String> broken = calibrated ? List.of() : range.element().brokenLimits();
      if (!broken.isEmpty()) {
        tasks.add(
            "calibrate range "
                + range.name()
                + " on plates or state its coefficient, its flows are not to be trusted: "
                + String.join("; ", broken));
      }
    }
  }

  /** True when both pressure gauges were compared in this epoch. */
  public static boolean gaugesCompared(Bench bench) {
    return entries(bench.upkeep(), Kind.GAUGES).findAny().isPresent();
  }

  /** Nothing else shows a gain: not asked for where one gauge reads both pressures. */
  private static void gauges(Bench bench, List<String> tasks) {
    if (!gaugesCompared(bench)) {
      if (gauges(bench).count() > 1) {
        tasks.add(
            "compare both pressure gauges on one pressure (gauges): plates do not show a wrong"
                + " gain");
      }
      return;
    }
    // The newest of each pair counts.
    Map<String, HealthEntry> newest = new LinkedHashMap<>();
    entries(bench.upkeep(), Kind.GAUGES).forEach(entry -> newest.put(entry.subject(), entry));
    newest.values().stream()
        .filter(entry -> !entry.withinLimit())
        .forEach(
            entry ->
                tasks.add(
                    Text.of(
                        "find out which gauge is wrong: %s shows %+.2f %% on one pressure",
                        entry.subject(), 100 * (entry.value() - entry.expected()))));
  }

  private static void each(Upkeep upkeep, Kind kind, String task, List<String> tasks) {
    Set<Direction> ways = directions(upkeep);
    if (ways.isEmpty() && entries(upkeep, kind).findAny().isEmpty()) {
      tasks.add(task);
    }
    for (Direction way : ways) {
      if (entries(upkeep, kind)
          .noneMatch(entry -> entry.direction().map(way::equals).orElse(true))) {
        tasks.add(task + " on " + way.word());
      }
    }
  }

  /** Those in which anything was ever measured. */
  private static Set<Direction> directions(Upkeep upkeep) {
    Set<Direction> ways = EnumSet.noneOf(Direction.class);
    upkeep.leakages().forEach(leak -> ways.add(leak.direction()));
    upkeep.calibrations().forEach(taken -> ways.add(taken.direction()));
    return ways;
  }

  /** Pressure gauges, which must show nothing when nothing flows. */
  private static Stream<String> gauges(Bench bench) {
    return Stream.concat(
            bench.source(Use.TEST_PRESSURE).stream()
                .flatMap(source -> source.fold(gauge -> Stream.of(gauge), typed -> Stream.empty())),
            bench.ranges().stream().map(Range::drop))
        .map(Source.Measured::key)
        .distinct();
  }

  private static Stream<HealthEntry> entries(Upkeep upkeep, Kind kind) {
    return upkeep.health().stream()
        .filter(entry -> entry.kind() == kind && entry.epoch() == upkeep.epoch().number());
  }
}
