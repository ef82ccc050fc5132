package meniscus.recorder.demo;

import java.io.IOException;
import java.nio.file.Path;
import java.time.Instant;
import java.util.List;
import java.util.Optional;
import java.util.stream.DoubleStream;
import meniscus.core.bench.Bench;
import meniscus.core.bench.Calibration;
import meniscus.core.bench.CalibrationRef;
import meniscus.core.bench.Range;
import meniscus.core.calibrate.CalibrationFit;
import meniscus.core.calibrate.EpochTasks;
import meniscus.core.calibrate.GaugeComparison;
import meniscus.core.calibrate.Plate;
import meniscus.core.calibrate.PlateCheck;
import meniscus.core.calibrate.PlateReading;
import meniscus.core.flow.Direction;
import meniscus.core.quantity.Unit;
import meniscus.recorder.feed.BenchMessage;
import meniscus.recorder.file.CalibrationFile;
import meniscus.recorder.upkeep.BenchAt;
import meniscus.recorder.upkeep.BenchOperator;
import meniscus.recorder.upkeep.BenchStation;
import meniscus.recorder.upkeep.CalmTake;
import meniscus.recorder.upkeep.LeakTest;
import meniscus.recorder.upkeep.PlateRun;
import meniscus.recorder.upkeep.TeedGauges;
import meniscus.recorder.upkeep.Zeroing;

/**
 * Upkeep of the demo's bench, in the order in which a person would do it: level, zero, leakage,
 * calibrate, check, calm. Each step gives back the bench with what it learned.
 */
record DemoBench(BenchAt at, List<Plate> plates, Instant now, DemoStep.Progress progress) {
  private static final String RANGE = "large";
  private static final double TEST_PRESSURE_PA = Unit.INCH_OF_WATER.toSi(28);
  private static final List<Double> PRESSURES_PA =
      DoubleStream.of(10, 17, 25).map(Unit.INCH_OF_WATER::toSi).boxed().toList();

  /** The blower does not hold the test pressure through plates larger than this [m]. */
  private static final double LARGEST_CALM_BORE_M = 0.047;

  private static final double LEAK_LIMIT_M3_PER_S = Unit.CUBIC_FOOT_PER_MINUTE.toSi(1);
  private static final double ZERO_SECONDS = 12;
  private static final double CALM_SECONDS = 60;

  /**
   * Everything, one step after the other.
   *
   * @param ways that air is to be moved
   */
  Bench prepared(List<Direction> ways) throws IOException, InterruptedException {
    progress.begins(DemoStep.ZERO, "zero: blower off, hoses open");
    Bench zeroed = zeroed(at.bench().with(upkeep -> EpochTasks.level(upkeep, now)));
    progress.begins(DemoStep.GAUGES, "gauges: both on one pressure");
    Bench ready = compared(zeroed);
    for (Direction way : ways) {
      ready = prepared(ready, way, ways.size() > 1 ? ", " + way.word() : "");
    }
    return ready;
  }

  /**
   * What is done before tests on a later day: zero, and a plate against the calibration.
   *
   * @param ways that air is to be moved
   */
  Bench checked(List<Direction> ways) throws IOException, InterruptedException {
    Bench ready = zeroed(at.bench());
    for (Direction way : ways) {
      CalibrationRef kept = ready.upkeep().calibration(way, RANGE).orElseThrow();
      ready = checked(ready, CalibrationFile.beside(at.file(), kept.sha256()), way);
    }
    return ready;
  }

  private Bench prepared(Bench bench, Direction way, String said)
      throws IOException, InterruptedException {
    progress.begins(DemoStep.LEAKAGE, "leakage: the bench's hole blanked" + said);
    Bench tight = leakChecked(bench, way);
    progress.begins(
        DemoStep.CALIBRATION, "calibration: plates at three test pressures each" + said);
    Calibration fitted = calibrated(tight, way);
    Calibration kept = CalibrationFile.write(folder(), fitted);
    Bench calibrated =
        tight.with(
            known ->
                known.withCalibration(
                    new CalibrationRef(kept.direction(), kept.range(), kept.id(), kept.at())));
    progress.begins(DemoStep.CHECK, "check: one plate against the calibration" + said);
    Bench checked = checked(calibrated, kept, way);
    progress.begins(
        DemoStep.CALM, "calm record: plates at the test pressure, a minute each" + said);
    return calm(checked, way);
  }

  private Path folder() {
    return at.file().toAbsolutePath().getParent();
  }

  private Bench zeroed(Bench bench) throws InterruptedException {
    try (BenchStation stand =
        BenchStation.open(at.with(bench), bench.range(RANGE), Direction.SUCTION, operator())) {
      Zeroing zeroing = Zeroing.take(stand, ZERO_SECONDS, false, now);
      zeroing.outcomes().values().forEach(outcome -> outcome.fold(t -> t, r -> fail(r.reason())));
      return zeroing.bench();
    }
  }

  private Bench compared(Bench bench) throws InterruptedException {
    TeedGauges gauges = TeedGauges.of(at.with(bench), bench.range(RANGE)).orElseThrow();
    GaugeComparison found =
        GaugeComparison.of(gauges.test(), gauges.range().drop(), gauges.read(operator()));
    return bench.with(upkeep -> upkeep.withHealth(gauges.entry(found, now)));
  }

  /** On the smallest range. */
  private Bench leakChecked(Bench bench, Direction way) throws InterruptedException {
    Range range = bench.range("leak");
    try (BenchStation stand = BenchStation.open(at.with(bench), range, way, operator())) {
      LeakTest test =
          LeakTest.take(
              stand, LeakTest.BLANKED, PRESSURES_PA, LEAK_LIMIT_M3_PER_S, operator(), now);
      test.outcome().fold(measured -> measured, large -> fail(large.reason()));
      return test.bench();
    }
  }

  private Calibration calibrated(Bench bench, Direction way) throws InterruptedException {
    List<PlateReading> readings = run(bench, way).read(plates, PRESSURES_PA, operator());
    return CalibrationFit.fit(
        bench, bench.range(RANGE), way, bench.upkeep().leakage(way), plates, readings, now);
  }

  /** The plate nearest to the middle, at the test pressure. */
  private Bench checked(Bench bench, Calibration calibration, Direction way)
      throws InterruptedException {
    Plate middle = plates.get(plates.size() / 2);
    PlateReading reading =
        run(bench, way).read(List.of(middle), List.of(TEST_PRESSURE_PA), operator()).get(0);
    PlateCheck check =
        PlateCheck.of(
            bench,
            bench.range(RANGE),
            calibration,
            bench.upkeep().leakage(way),
            middle,
            reading,
            now,
            "");
    return bench.with(known -> known.withHealth(check.entry()));
  }

  private Bench calm(Bench bench, Direction way) throws IOException, InterruptedException {
    List<Plate> held =
        plates.stream().filter(plate -> plate.orifice().boreM() < LARGEST_CALM_BORE_M).toList();
    return CalmTake.of(
            run(bench, way),
            held,
            List.of(TEST_PRESSURE_PA),
            CALM_SECONDS,
            operator(),
            Optional.empty())
        .store(bench, at.file(), now);
  }

  private PlateRun run(Bench bench, Direction way) {
    return new PlateRun(at.with(bench), bench.range(RANGE), way);
  }

  private static <T> T fail(String reason) {
    throw new IllegalStateException("the simulated bench is not in order: " + reason);
  }

  private static BenchOperator operator() {
    return new BenchOperator() {
      @Override
      public Optional<PlateReading.Bevel> mounted(Plate plate, Direction direction) {
        return Optional.of(PlateReading.Bevel.DOWNSTREAM);
      }

      @Override
      public void told(BenchMessage message) {
        // The demo tells its steps, not each reading.
      }

      @Override
      public void prepare(String what) {
        // Everything stands ready.
      }

      @Override
      public void ready(String what) {
        // It does.
      }

      @Override
      public Then missed(String what, String why) {
        return fail(why);
      }
    };
  }
}
