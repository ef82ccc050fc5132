package meniscus.recorder.demo;

import java.nio.file.Path;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalDouble;
import meniscus.core.air.ReferenceAir;
import meniscus.core.bench.Bench;
import meniscus.core.bench.Calibration;
import meniscus.core.bench.HealthEntry;
import meniscus.core.bench.Leakage;
import meniscus.core.bench.PointMeans;
import meniscus.core.bench.Range;
import meniscus.core.bench.Source;
import meniscus.core.bench.StatedCoefficient;
import meniscus.core.bench.Upkeep;
import meniscus.core.bench.Use;
import meniscus.core.bench.Zero;
import meniscus.core.calibrate.CalibrationFit;
import meniscus.core.calibrate.LeakReading;
import meniscus.core.calibrate.LeakageFit;
import meniscus.core.calibrate.Plate;
import meniscus.core.calibrate.PlateReading;
import meniscus.core.calibrate.ZeroTake;
import meniscus.core.flow.Direction;
import meniscus.core.flow.EffectiveArea;
import meniscus.core.flow.ReferenceState;
import meniscus.core.lift.Sweep;
import meniscus.core.pipeline.Acquisition;
import meniscus.core.pipeline.Window;
import meniscus.core.quantity.Unit;
import meniscus.core.steadiness.CalmRun;
import meniscus.core.steadiness.JudgeSettings;
import meniscus.core.time.Moment;
import meniscus.drivers.simulated.Mounted;
import meniscus.drivers.simulated.SimulatedBench;
import meniscus.recorder.session.Drivers;
import meniscus.recorder.session.Feed;
import meniscus.recorder.session.Feeds;
import meniscus.recorder.session.Measuring;

/**
 * Bench upkeep on the simulated bench: what a person would do with zero, leakage, calibrate, calm.
 */
final class DemoBench {

  static final Direction DIRECTION = Direction.SUCTION;

  private static final double TEST_PRESSURE_PA = Unit.INCH_OF_WATER.toSi(28);
  private static final double[] PRESSURES_PA = {
    Unit.INCH_OF_WATER.toSi(10), Unit.INCH_OF_WATER.toSi(17), Unit.INCH_OF_WATER.toSi(25)
  };

  /** The blower does not hold the test pressure through plates larger than this [m]. */
  private static final double LARGEST_CALM_BORE_M = 0.047;

  private static final double LEAK_LIMIT_M3_PER_S = Unit.CUBIC_FOOT_PER_MINUTE.toSi(1);
  private static final double ZERO_SECONDS = 12;
  private static final double CALM_SECONDS = 60;

  /** The leak range's plate is not calibrated: its textbook coefficient may be this far off. */
  private static final double LEAK_RANGE_UNCERTAINTY = 0.03;

  private final Path benchFile;
  private final SimulatedBench simulated;
  private final Feeds.Simulation simulation;
  private final Instant at;
  private final List<CalmRun> calmRuns = new ArrayList<>();

  DemoBench(Path benchFile, SimulatedBench simulated, Feeds.Simulation simulation, Instant at) {
    this.benchFile = benchFile;
    this.simulated = simulated;
    this.simulation = simulation;
    this.at = at;
  }

  /** Blower off, hoses open to the room. */
  Bench zeroed(Bench bench) throws InterruptedException {
    simulated.mount(new Mounted.Blank());
    Map<String, Measuring.Readings> readings;
    try (Feed feed = open(bench)) {
      readings = new Measuring(feed).raw(ZERO_SECONDS, seconds -> {});
    }
    Source.Measured pressure = (Source.Measured) bench.channels().get(Use.TEST_PRESSURE);
    Bench zeroed = bench;
    for (Source.Measured gauge : List.of(pressure, bench.range("large").drop())) {
      Zero zero =
          ZeroTake.take(
                  gauge, readings.get(gauge.key()).valuesSi(), ZERO_SECONDS, Optional.empty(), at)
              .fold(
                  ZeroTake.Taken::zero,
                  refused -> {
                    throw new IllegalStateException(refused.reason());
                  });
      zeroed = zeroed.with(upkeep -> upkeep.withZero(gauge.key(), zero));
    }
    return zeroed;
  }

  /** The bench's hole blanked, on the smallest range. */
  Bench leakChecked(Bench bench) throws InterruptedException {
    simulated.mount(new Mounted.Blank());
    simulated.range("leak");
    Range range = bench.range("leak");
    List<LeakReading> readings = new ArrayList<>();
    try (Feed feed = open(bench)) {
      Acquisition acquisition = uncorrected(bench, range, feed);
      for (double pressure : PRESSURES_PA) {
        ask(feed, pressure);
        leak(bench, range, point(feed, acquisition, pressure, 5, 20, (s, a) -> {}).means())
            .ifPresent(readings::add);
      }
    }
    simulated.range("large");
    Leakage leakage =
        LeakageFit.fit(
                DIRECTION, "bench blanked", readings, TEST_PRESSURE_PA, LEAK_LIMIT_M3_PER_S, at)
            .fold(
                LeakageFit.Measured::leakage,
                tooLarge -> {
                  throw new IllegalStateException(tooLarge.reason());
                });
    return bench.with(upkeep -> upkeep.withLeakage(leakage).withHealth(health(bench, leakage)));
  }

  private HealthEntry health(Bench bench, Leakage leakage) {
    return new HealthEntry(
        at,
        bench.upkeep().epoch().number(),
        HealthEntry.Kind.LEAKAGE,
        leakage.setUp(),
        Optional.of(DIRECTION),
        Optional.of("leak"),
        leakage.flowM3PerS(TEST_PRESSURE_PA),
        0,
        leakage.standardUncertainty() * leakage.flowM3PerS(TEST_PRESSURE_PA),
        OptionalDouble.of(LEAK_LIMIT_M3_PER_S),
        "");
  }

  private static Optional<LeakReading> leak(Bench bench, Range range, PointMeans means) {
    double mass =
        EffectiveArea.toMassFlow(means.effectiveAreaM2(), means.room(), means.testPressurePa());
    double density =
        means
            .room()
            .densityAt(
                means.plenumTemperatureK(), means.room().pressurePa() - means.testPressurePa());
    double flow = mass / density;
    double zero = bench.zero(range.drop()).standardUncertaintySi();
    double ofZero = zero / (2 * Math.max(Math.abs(means.dropPa()), zero));
    double ofFluctuation = means.flowStandardError() / Math.max(means.flowM3PerS(), 1e-9);
    double relative = Math.hypot(Math.hypot(ofZero, ofFluctuation), LEAK_RANGE_UNCERTAINTY);
    return Optional.of(
        new LeakReading(means.testPressurePa(), flow, Math.max(relative * Math.abs(flow), 1e-9)));
  }

  /** Every plate at three test pressures; on the way the calm record is taken at the last one. */
  Calibration calibrated(Bench bench) throws InterruptedException {
    Range range = bench.range("large");
    List<Plate> plates = new ArrayList<>();
    List<PlateReading> readings = new ArrayList<>();
    for (Mounted.Plate plate : simulated.scenario().plates()) {
      String name = String.format(Locale.ROOT, "plate %.1f mm", plate.boreM() * 1e3);
      plates.add(
          Plate.certified(
              name,
              plate.boreM(),
              0.01e-3,
              new StatedCoefficient(plate.certifiedCoefficient(), plate.certifiedU95() / 2),
              "certificate"));
      simulated.mount(plate);
      try (Feed feed = open(bench)) {
        Acquisition acquisition = uncorrected(bench, range, feed);
        for (double pressure : PRESSURES_PA) {
          ask(feed, pressure);
          readings.add(
              new PlateReading(
                  name,
                  PlateReading.Bevel.DOWNSTREAM,
                  point(feed, acquisition, pressure, 5, 30, (s, a) -> {}).means()));
        }
        if (plate.boreM() < LARGEST_CALM_BORE_M) {
          ask(feed, TEST_PRESSURE_PA);
          Series series = new Series();
          Measuring.Averaged calm =
              point(feed, acquisition, TEST_PRESSURE_PA, CALM_SECONDS, CALM_SECONDS, series);
          calmRuns.add(series.run(name, range.name(), calm.means()));
        }
      }
    }
    return CalibrationFit.fit(
        bench, range, DIRECTION, bench.upkeep().leakage(DIRECTION), plates, readings, at);
  }

  /** The runs on plates that the calibration brought along. */
  List<CalmRun> calmRuns() {
    return List.copyOf(calmRuns);
  }

  private Feed open(Bench bench) {
    return Feeds.simulated(
        bench,
        Feeds.wire(bench, benchFile, Drivers.shipped()),
        simulated,
        simulation,
        Moment.START);
  }

  private static void ask(Feed feed, double pressurePa) {
    feed.asks(new Feed.Asked(0, Sweep.OPENING, pressurePa));
  }

  private static Measuring.Averaged point(
      Feed feed,
      Acquisition acquisition,
      double pressurePa,
      double leastSeconds,
      double longestSeconds,
      Window.SampleSink samples)
      throws InterruptedException {
    return new Measuring(feed)
        .point(
            acquisition,
            new Measuring.Asked(pressurePa, 0.05, leastSeconds, longestSeconds),
            samples)
        .orElseThrow(
            () ->
                new IllegalStateException(
                    "the simulated bench did not hold " + pressurePa + " Pa"));
  }

  /** Through the element as its geometry tells, with no leak subtracted. */
  private static Acquisition uncorrected(Bench bench, Range range, Feed feed) {
    Bench leakless =
        bench.with(
            upkeep ->
                new Upkeep(
                    upkeep.epoch(),
                    upkeep.zeros(),
                    List.of(),
                    upkeep.calibrations(),
                    upkeep.repeatability(),
                    upkeep.calm(),
                    upkeep.health()));
    return Acquisition.of(
        leakless,
        range,
        range.element(),
        DIRECTION,
        feed.channels(),
        JudgeSettings.usual().withCapSeconds(CALM_SECONDS + 1).withTarget(0.002),
        new ReferenceState(ReferenceAir.DRY_68F, TEST_PRESSURE_PA));
  }

  /** Flow samples of one window, for the calm record. */
  private static final class Series implements Window.SampleSink {
    private final List<double[]> samples = new ArrayList<>();

    @Override
    public void sample(double seconds, double areaM2) {
      samples.add(new double[] {seconds, areaM2});
    }

    CalmRun run(String name, String range, PointMeans means) {
      double start = samples.get(0)[0];
      return new CalmRun(
          name.replace(' ', '-').replace('.', '_'),
          means.effectiveAreaM2(),
          range,
          DIRECTION.word(),
          means.testPressurePa(),
          samples.stream().mapToDouble(sample -> sample[0] - start).toArray(),
          samples.stream().mapToDouble(sample -> sample[1]).toArray());
    }
  }
}
