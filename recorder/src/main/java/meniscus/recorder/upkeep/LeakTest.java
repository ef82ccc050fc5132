package meniscus.recorder.upkeep;

import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import meniscus.core.bench.Bench;
import meniscus.core.bench.HealthEntry;
import meniscus.core.bench.Plenum;
import meniscus.core.bench.Range;
import meniscus.core.calibrate.LeakReading;
import meniscus.core.calibrate.LeakageFit;
import meniscus.core.calibrate.PressureDecay;
import meniscus.core.flow.Direction;
import meniscus.core.refusal.Refusal;

/**
 * Measures a leak with everything plugged, on one range or by the fall of the pressure.
 *
 * @param bench with the leakage, when it was accepted
 * @param readings one a test pressure
 * @param atPa test pressure at which size and limit are stated [Pa]
 * @param outcome what was found
 */
public record LeakTest(
    Bench bench, List<LeakReading> readings, double atPa, LeakageFit.Outcome outcome) {

  /** The bench's hole closed. */
  public static final String BLANKED = "bench blanked";

  /** The head on its adapter, its other openings plugged: its joints leak as well. */
  public static final String HEAD_ON = "head on, valves shut";

  /**
   * @param setUp what is mounted, in words
   * @param testPressuresPa rising; size and limit are stated at the last [Pa]
   * @param limitM3PerS largest accepted leak [m³/s]
   * @param operator is told what to do
   */
  public static LeakTest take(
      BenchStation stand,
      String setUp,
      List<Double> testPressuresPa,
      double limitM3PerS,
      BenchOperator operator,
      Instant at)
      throws InterruptedException {
    List<LeakReading> readings = new ArrayList<>();
    Range range = stand.range();
    Direction direction = stand.direction();
    for (double pressure : testPressuresPa) {
      operator.step(
          new BenchOperator.Step(
              setUp, 1, 1, testPressuresPa.indexOf(pressure) + 1, testPressuresPa.size()));
      stand.wanted(pressure).ifPresent(operator::told);
      readings.add(LeakReading.of(stand.bench(), range, direction, stand.at(pressure)));
    }
    stand.rest();
    double highest = testPressuresPa.get(testPressuresPa.size() - 1);
    return of(
        stand.bench(), Optional.of(range), direction, setUp, readings, highest, limitM3PerS, at);
  }

  /**
   * The same from the fall of the pressure, with the blower valved off.
   *
   * @param fromPa test pressure that the fall begins at; size and limit are stated there [Pa]
   * @param seconds how long it is watched [s]
   * @param valve between plenum and blower
   * @throws Refusal when the plenum's volume is not known, or nothing fell
   */
  public static LeakTest decay(
      BenchStation stand,
      String setUp,
      double fromPa,
      double seconds,
      double limitM3PerS,
      BenchStation.Valve valve,
      Instant at)
      throws InterruptedException {
    Plenum plenum =
        stand
            .bench()
            .plenum()
            .orElseThrow(
                () ->
                    new Refusal(
                        "the fall of the pressure tells a leak only when the plenum's volume is"
                            + " known: write \"plenum\" into the bench file, or measure the leak on"
                            + " the smallest range"));
    BenchStation.Fall fall = stand.fall(fromPa, seconds, valve);
    List<LeakReading> readings =
        PressureDecay.readings(
            fall.seconds(),
            fall.testPressuresPa(),
            plenum,
            fall.roomPa(),
            stand.direction(),
            fall.readPa());
    stand.rest();
    return of(
        stand.bench(),
        Optional.empty(),
        stand.direction(),
        setUp,
        readings,
        fromPa,
        limitM3PerS,
        at);
  }

  private static LeakTest of(
      Bench bench,
      Optional<Range> range,
      Direction direction,
      String setUp,
      List<LeakReading> readings,
      double atPa,
      double limitM3PerS,
      Instant at) {
    LeakageFit.Outcome outcome = LeakageFit.fit(direction, setUp, readings, atPa, limitM3PerS, at);
    Bench learned =
        outcome.fold(
            measured -> stored(bench, range, measured, atPa, limitM3PerS), tooLarge -> bench);
    return new LeakTest(learned, readings, atPa, outcome);
  }

  private static Bench stored(
      Bench bench,
      Optional<Range> range,
      LeakageFit.Measured measured,
      double atPa,
      double limitM3PerS) {
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
            range.map(Range::name),
            flow,
            0,
            u,
            OptionalDouble.of(limitM3PerS),
            measured.seen() ? "" : "too small to see");
    return bench.with(upkeep -> upkeep.withLeakage(measured.leakage()).withHealth(entry));
  }
}
