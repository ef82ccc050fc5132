package meniscus.recorder.upkeep;

import java.time.Instant;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalDouble;
import meniscus.core.bench.Bench;
import meniscus.core.bench.HealthEntry;
import meniscus.core.bench.Range;
import meniscus.core.bench.Source;
import meniscus.core.bench.Use;
import meniscus.core.bench.Zero;
import meniscus.core.calibrate.ZeroTake;
import meniscus.core.refusal.Refusal;
import meniscus.recorder.feed.ByEye;
import meniscus.recorder.feed.RawReadings;

/**
 * Takes the zeros of a bench's gauges.
 *
 * @param bench with the zeros that were taken
 * @param outcomes by {@code instrument.channel}
 */
public record Zeroing(Bench bench, Map<String, ZeroTake.Outcome> outcomes) {

  /** Blower and gauges come to rest within this [s]. */
  private static final double SETTLE_SECONDS = 8;

  /** True when every gauge gave its zero. */
  public boolean complete() {
    return outcomes.values().stream().allMatch(each -> each.fold(taken -> true, no -> false));
  }

  /**
   * @param seconds of reading [s]
   * @param withLift take the lift's zero too: the valve is shut
   * @throws Refusal when the person who reads columns leaves it out
   */
  public static Zeroing take(BenchStation stand, double seconds, boolean withLift, Instant at)
      throws InterruptedException {
    Bench bench = stand.bench();
    List<Source.Measured> gauges = gauges(bench, withLift);
    List<ByEye> columns = stand.byEye(gauges);
    Map<String, RawReadings.Readings> typed = stand.typedAtRest(columns);
    Map<String, RawReadings.Readings> read =
        columns.size() == gauges.size() ? Map.of() : stand.resting(SETTLE_SECONDS, seconds);
    Map<String, ZeroTake.Outcome> outcomes = new LinkedHashMap<>();
    for (Source.Measured gauge : gauges) {
      Optional<Zero> previous = previous(bench, gauge);
      ZeroTake.Outcome outcome =
          columns.stream()
              .filter(column -> column.gauge().equals(gauge))
              .findFirst()
              .map(column -> byEye(column, typed, previous, at))
              .orElseGet(() -> ZeroTake.take(gauge, of(read, gauge.key()), seconds, previous, at));
      outcomes.put(gauge.key(), outcome);
      Bench before = bench;
      bench = outcome.fold(taken -> stored(before, gauge, taken, previous, at), refused -> before);
    }
    return new Zeroing(bench, outcomes);
  }

  private static ZeroTake.Outcome byEye(
      ByEye column, Map<String, RawReadings.Readings> typed, Optional<Zero> previous, Instant at) {
    Source.Measured gauge = column.gauge();
    return ZeroTake.byEye(
        gauge, of(typed, gauge.key())[0], of(typed, column.swingKey())[0], previous, at);
  }

  private static double[] of(Map<String, RawReadings.Readings> read, String key) {
    return read.getOrDefault(key, RawReadings.Readings.NONE).valuesSi();
  }

  /** The zero before, when it was of this epoch: that of another gauge says nothing of this one. */
  private static Optional<Zero> previous(Bench bench, Source.Measured gauge) {
    int epoch = bench.upkeep().epoch().number();
    boolean ofThisEpoch =
        epoch == 1
            || bench.upkeep().health().stream()
                .anyMatch(
                    entry ->
                        entry.kind() == HealthEntry.Kind.ZERO
                            && entry.epoch() == epoch
                            && entry.subject().equals(gauge.key()));
    return Optional.ofNullable(bench.upkeep().zeros().get(gauge.key())).filter(z -> ofThisEpoch);
  }

  /** Those that must show nothing when nothing flows. */
  private static List<Source.Measured> gauges(Bench bench, boolean withLift) {
    List<Source.Measured> gauges = new ArrayList<>();
    add(bench, Use.TEST_PRESSURE, gauges);
    for (Range range : bench.ranges()) {
      if (gauges.stream().noneMatch(gauge -> gauge.key().equals(range.drop().key()))) {
        gauges.add(range.drop());
      }
    }
    if (withLift) {
      add(bench, Use.LIFT, gauges);
    }
    return gauges;
  }

  private static void add(Bench bench, Use use, List<Source.Measured> gauges) {
    bench
        .source(use)
        .ifPresent(
            source -> {
              if (source instanceof Source.Measured gauge) {
                gauges.add(gauge);
              }
            });
  }

  private static Bench stored(
      Bench bench,
      Source.Measured gauge,
      ZeroTake.Taken taken,
      Optional<Zero> previous,
      Instant at) {
    Zero zero = taken.zero();
    HealthEntry entry =
        new HealthEntry(
            at,
            bench.upkeep().epoch().number(),
            HealthEntry.Kind.ZERO,
            gauge.key(),
            Optional.empty(),
            Optional.empty(),
            zero.offsetSi(),
            previous.map(Zero::offsetSi).orElse(0.0),
            zero.standardUncertaintySi(),
            OptionalDouble.empty(),
            "");
    return bench.with(upkeep -> upkeep.withZero(gauge.key(), zero).withHealth(entry));
  }
}
