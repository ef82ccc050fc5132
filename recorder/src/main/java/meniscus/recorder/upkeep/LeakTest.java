package meniscus.recorder.upkeep;

import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import meniscus.core.bench.Bench;
import meniscus.core.bench.HealthEntry;
import meniscus.core.bench.Range;
import meniscus.core.calibrate.LeakReading;
import meniscus.core.calibrate.LeakageFit;
import meniscus.core.flow.Direction;

/**
 * Measures a leak with everything plugged, on one range.
 *
 * @param bench with the leakage, when it was accepted
 * @param readings one a test pressure
 * @param outcome what was found
 */
public record LeakTest(Bench bench, List<LeakReading> readings, LeakageFit.Outcome outcome) {

  /** The bench's hole closed. */
  public static final String BLANKED = "bench blanked";

  /** The head on its adapter, its other openings plugged: its joints leak as well. */
  public static final String HEAD_ON = "head on, valves shut";

  /**
   * @param setUp what is mounted, in words
   * @param testPressuresPa rising; size and limit are stated at the last [Pa]
   * @param limitM3PerS largest accepted leak [m³/s]
   */
  public static LeakTest take(
      Stand stand,
      Range range,
      Direction direction,
      String setUp,
      List<Double> testPressuresPa,
      double limitM3PerS,
      Instant at)
      throws InterruptedException {
    List<LeakReading> readings = new ArrayList<>();
    for (double pressure : testPressuresPa) {
      readings.add(LeakReading.of(stand.bench(), range, direction, stand.at(pressure)));
    }
    stand.rest();
    double highest = testPressuresPa.get(testPressuresPa.size() - 1);
    LeakageFit.Outcome outcome =
        LeakageFit.fit(direction, setUp, readings, highest, limitM3PerS, at);
    Bench bench =
        outcome.fold(
            measured -> stored(stand.bench(), range, measured, highest, limitM3PerS),
            tooLarge -> stand.bench());
    return new LeakTest(bench, readings, outcome);
  }

  private static Bench stored(
      Bench bench, Range range, LeakageFit.Measured measured, double atPa, double limitM3PerS) {
    double flow = measured.leakage().flowM3PerS(atPa);
    double u =
        measured.seen()
            ? measured.leakage().standardUncertainty() * flow
            : measured.leakage().limitM3PerS() / Math.sqrt(3);
    HealthEntry entry =
        new HealthEntry(
            measured.leakage().at(),
            bench.upkeep().epoch().number(),
            HealthEntry.Kind.LEAKAGE,
            measured.leakage().setUp(),
            Optional.of(measured.leakage().direction()),
            Optional.of(range.name()),
            flow,
            0,
            u,
            OptionalDouble.of(limitM3PerS),
            measured.seen() ? "" : "too small to see");
    return bench.with(upkeep -> upkeep.withLeakage(measured.leakage()).withHealth(entry));
  }
}
