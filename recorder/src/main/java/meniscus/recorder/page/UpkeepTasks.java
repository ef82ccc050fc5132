package meniscus.recorder.page;

import java.io.IOException;
import java.nio.file.Path;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import java.util.Set;
import java.util.stream.Stream;
import meniscus.core.bench.Bench;
import meniscus.core.bench.Calibration;
import meniscus.core.bench.CalibrationRef;
import meniscus.core.bench.Leakage;
import meniscus.core.bench.Range;
import meniscus.core.bench.Source;
import meniscus.core.bench.Use;
import meniscus.core.calibrate.CalibrationFit;
import meniscus.core.calibrate.EpochTasks;
import meniscus.core.calibrate.LeakReading;
import meniscus.core.calibrate.Plate;
import meniscus.core.calibrate.PlateCheck;
import meniscus.core.calibrate.PlateReading;
import meniscus.core.calibrate.ZeroTake;
import meniscus.core.flow.Direction;
import meniscus.core.quantity.Dimension;
import meniscus.core.quantity.Unit;
import meniscus.core.quantity.Value;
import meniscus.drivers.simulated.Mounted;
import meniscus.recorder.file.BenchFile;
import meniscus.recorder.file.CalibrationFile;
import meniscus.recorder.session.Drivers;
import meniscus.recorder.session.Feeds;
import meniscus.recorder.upkeep.BenchAt;
import meniscus.recorder.upkeep.CalmTake;
import meniscus.recorder.upkeep.LeakTest;
import meniscus.recorder.upkeep.PlateRun;
import meniscus.recorder.upkeep.Stand;
import meniscus.recorder.upkeep.Zeroing;

/** Makes {@link UpkeepTask}s of what the page asks for; wording and units are the bench's. */
final class UpkeepTasks {

  private final BenchOfPage place;
  private final Drivers drivers;

  UpkeepTasks(BenchOfPage place, Drivers drivers) {
    this.place = place;
    this.drivers = drivers;
  }

  /** Everything is read and checked here, before any line is opened. */
  UpkeepTask asked(String word, JsonIn in) throws Refused {
    Job job = new Job(place.file(), place.bench(), in);
    return switch (word) {
      case "zero" -> job.zero();
      case "leakage" -> job.leakage();
      case "calibrate" -> job.calibrate();
      case "check" -> job.check();
      case "calm" -> job.calm();
      case "level" -> job.level();
      default ->
          throw Refused.wrong(
              "no task \"" + word + "\"; there are: level, zero, leakage, calibrate, check, calm");
    };
  }

  /** One task with what was said about it. */
  private final class Job {
    private final Path file;
    private final Bench bench;
    private final JsonIn in;
    private final Feeds.Simulation simulation;
    private final Unit pressure;
    private final Unit flow;

    Job(Path file, Bench bench, JsonIn in) throws Refused {
      this.file = file;
      this.bench = bench;
      this.in = in;
      this.simulation =
          new Feeds.Simulation(
              in.flag("quick"), in.optionalWhole("seed").orElse(1), new Mounted.Blank());
      this.pressure = bench.units().unit(Dimension.PRESSURE);
      this.flow = bench.units().unit(Dimension.VOLUME_FLOW);
    }

    // ---------------------------------------------------------------- zero

    UpkeepTask zero() throws Refused {
      int seconds = in.optionalWhole("seconds").orElse(10);
      if (seconds < 1 || seconds > 600) {
        throw Refused.wrong("\"seconds\" lies between 1 and 600");
      }
      boolean lift = in.flag("lift");
      return new UpkeepTask(
          "zero",
          "Zero",
          operator -> {
            operator.told(
                "Blower off. Waiting until all is at rest, then reading " + seconds + " s");
            Zeroing zeroing;
            try (Stand stand = stand(bench.ranges().get(0), Direction.SUCTION)) {
              zeroing = Zeroing.take(stand, seconds, lift, Instant.now());
            }
            write(zeroing.bench());
            List<String> lines = new ArrayList<>();
            zeroing.outcomes().forEach((gauge, outcome) -> lines.add(words(gauge, outcome)));
            return new UpkeepTask.Outcome(!zeroing.complete(), lines, "");
          });
    }

    private String words(String gauge, ZeroTake.Outcome outcome) {
      Unit unit = unitOf(gauge);
      return outcome.fold(
          taken ->
              String.format(
                  Locale.ROOT,
                  "%s: zero %s, good to %s until the next one%s",
                  gauge,
                  text(taken.zero().offsetSi(), unit),
                  text(taken.zero().standardUncertaintySi(), unit),
                  taken.sincePreviousSi().isPresent()
                      ? ", moved by "
                          + text(taken.sincePreviousSi().getAsDouble(), unit)
                          + " since the last one"
                      : ""),
          ZeroTake.Refused::reason);
    }

    private Unit unitOf(String gauge) {
      boolean isLift =
          bench
              .source(Use.LIFT)
              .map(
                  source ->
                      source.fold(
                          (Source.Measured measured) -> measured.key().equals(gauge),
                          typed -> false))
              .orElse(false);
      return bench.units().unit(isLift ? Dimension.LENGTH : Dimension.PRESSURE);
    }

    // ---------------------------------------------------------------- leakage

    UpkeepTask leakage() throws Refused {
      Direction way = direction();
      Range range = range();
      List<Double> pressures = pressures("7 inH2O, 14 inH2O, 28 inH2O");
      double limit = si("limit", "1 cfm", Dimension.VOLUME_FLOW);
      String setUp = in.optionalText("set_up").orElse(LeakTest.BLANKED);
      return new UpkeepTask(
          "leakage",
          "Leakage, " + way.word() + ", range " + range.name() + ", " + setUp,
          operator -> {
            operator.told("Blower on, " + way.word());
            LeakTest test;
            try (Stand stand = stand(range, way)) {
              test = LeakTest.take(stand, setUp, pressures, limit, operator::told, Instant.now());
            }
            write(test.bench());
            return outcome(test);
          });
    }

    private UpkeepTask.Outcome outcome(LeakTest test) {
      List<String> lines = new ArrayList<>();
      for (LeakReading reading : test.readings()) {
        lines.add(
            text(reading.testPressurePa(), pressure)
                + ": "
                + text(reading.flowM3PerS(), flow)
                + " ± "
                + text(2 * reading.standardUncertaintyM3PerS(), flow));
      }
      return test.outcome()
          .fold(
              found -> {
                Leakage leak = found.leakage();
                lines.add(
                    found.seen()
                        ? "The leak is "
                            + text(leak.flowM3PerS(test.atPa()), flow)
                            + " at "
                            + text(test.atPa(), pressure)
                            + ", good to "
                            + percent(2 * leak.standardUncertainty())
                            + "; it is subtracted from now on"
                        : "Too small to see: less than "
                            + text(leak.limitM3PerS(), flow)
                            + ", which is reckoned with");
                return new UpkeepTask.Outcome(false, lines, "");
              },
              large -> {
                lines.add(large.reason());
                return new UpkeepTask.Outcome(true, lines, "");
              });
    }

    // ---------------------------------------------------------------- plates

    UpkeepTask calibrate() throws Refused {
      Direction way = direction();
      Range range = range();
      List<Double> pressures = pressures("10 inH2O, 20 inH2O, 28 inH2O");
      List<Plate> used = chosenPlates();
      return new UpkeepTask(
          "calibrate",
          "Calibration, " + way.word() + ", range " + range.name(),
          operator -> {
            Missing missing = new Missing(operator);
            List<PlateReading> readings =
                new PlateRun(at(), range, way).read(used, pressures, missing);
            operator.told("Fitting the flow element through the plates");
            Calibration fitted =
                CalibrationFit.fit(bench, range, way, leak(way), used, readings, Instant.now());
            return keep(fitted, missing.any);
          });
    }

    private UpkeepTask.Outcome keep(Calibration fitted, boolean missed)
        throws IOException, InterruptedException {
      refuseStopped();
      Calibration kept = CalibrationFile.write(file.toAbsolutePath().getParent(), fitted);
      CalibrationRef reference =
          new CalibrationRef(kept.direction(), kept.range(), kept.id(), kept.at());
      write(bench.with(upkeep -> upkeep.withCalibration(reference)));
      List<String> lines = new ArrayList<>();
      for (var plate : kept.evidence().plates()) {
        lines.add(
            String.format(
                Locale.ROOT,
                "plate %s: %+.2f %% from what the others predict (± %.2f %%)",
                plate.plate(),
                100 * plate.error(),
                200 * plate.standardUncertainty()));
      }
      lines.add(
          String.format(
              Locale.ROOT,
              "the element passes %+.2f %% against its description",
              100 * (kept.element().correction(kept.element().referenceDropPa()) - 1)));
      lines.addAll(kept.evidence().remarks());
      boolean doubt =
          missed
              || kept.evidence().disagreeing().isPresent()
              || kept.evidence().widened() > 1
              || kept.evidence().plates().isEmpty();
      return new UpkeepTask.Outcome(doubt, lines, "/calibration?sha256=" + kept.id());
    }

    UpkeepTask check() throws Refused {
      Direction way = direction();
      Range range = range();
      List<Double> pressures = pressures("28 inH2O");
      String name = in.text("plate");
      Plate plate =
          place.plates().stream()
              .filter(each -> each.name().equals(name))
              .findFirst()
              .orElseThrow(() -> Refused.wrong("there is no plate \"" + name + "\""));
      CalibrationRef reference =
          bench
              .upkeep()
              .calibration(way, range.name())
              .orElseThrow(
                  () ->
                      Refused.notNow(
                          "range \""
                              + range.name()
                              + "\" has no calibration on "
                              + way.word()
                              + " yet: calibrate first"));
      Calibration calibration = place.calibration(reference.sha256());
      String remark = in.optionalText("remark").orElse("");
      return new UpkeepTask(
          "check",
          "Plate check, plate " + name + ", " + way.word() + ", range " + range.name(),
          operator -> {
            List<PlateReading> readings =
                new PlateRun(at(), range, way)
                    .read(List.of(plate), pressures.subList(0, 1), operator);
            if (readings.isEmpty()) {
              return new UpkeepTask.Outcome(
                  true, List.of("Plate " + name + " was not read; nothing is noted"), "");
            }
            PlateCheck check =
                PlateCheck.of(
                    bench,
                    range,
                    calibration,
                    leak(way),
                    plate,
                    readings.get(0),
                    Instant.now(),
                    remark);
            write(bench.with(upkeep -> upkeep.withHealth(check.entry())));
            return new UpkeepTask.Outcome(!check.entry().withinLimit(), List.of(check.words()), "");
          });
    }

    UpkeepTask calm() throws Refused {
      Direction way = direction();
      Range range = range();
      List<Double> pressures = pressures("28 inH2O");
      int seconds = in.optionalWhole("seconds").orElse(60);
      if (seconds < 20 || seconds > 600) {
        throw Refused.wrong("\"seconds\" lies between 20 and 600");
      }
      List<Plate> used = chosenPlates();
      return new UpkeepTask(
          "calm",
          "Calm record, " + way.word() + ", range " + range.name(),
          operator -> {
            Missing missing = new Missing(operator);
            CalmTake take =
                CalmTake.of(new PlateRun(at(), range, way), used, pressures, seconds, missing);
            refuseStopped();
            write(take.store(bench, file, Instant.now()));
            List<String> lines =
                take.runs().stream()
                    .map(
                        run ->
                            String.format(
                                Locale.ROOT,
                                "%s: the flow moves by %.2f %% (one standard deviation)",
                                run.id(),
                                100 * CalmTake.relativeDeviation(run)))
                    .toList();
            return new UpkeepTask.Outcome(missing.any, lines, "");
          });
    }

    UpkeepTask level() {
      return new UpkeepTask(
          "level",
          "Level",
          operator -> {
            write(bench.with(upkeep -> EpochTasks.level(upkeep, Instant.now())));
            return new UpkeepTask.Outcome(false, List.of("Noted: the bench stands level"), "");
          });
    }

    private List<Plate> chosenPlates() throws Refused {
      Set<String> names = Set.copyOf(in.texts("plates"));
      List<Plate> used =
          place.plates().stream().filter(plate -> names.contains(plate.name())).toList();
      if (used.isEmpty()) {
        throw Refused.wrong("choose the plates to use: \"plates\" is a list of their names");
      }
      return used;
    }

    // ---------------------------------------------------------------- what they have in common

    /** What was stopped meanwhile is not written. */
    private void write(Bench learned) throws IOException, InterruptedException {
      refuseStopped();
      BenchFile.write(file, learned);
    }

    private BenchAt at() {
      return new BenchAt(bench, file, drivers, simulation, BenchAt.Pace.CAREFUL);
    }

    private Stand stand(Range range, Direction way) throws InterruptedException {
      return Stand.open(at(), range, way);
    }

    private Optional<Leakage> leak(Direction way) {
      return bench.upkeep().leakage(way, LeakTest.BLANKED).or(() -> bench.upkeep().leakage(way));
    }

    private Direction direction() throws Refused {
      String word = in.text("direction");
      return Stream.of(Direction.values())
          .filter(each -> each.word().equals(word))
          .findFirst()
          .orElseThrow(() -> Refused.wrong("\"direction\" is suction or blowing"));
    }

    private Range range() throws Refused {
      Optional<String> name = in.optionalText("range");
      try {
        return name.map(bench::range).orElse(bench.ranges().get(0));
      } catch (IllegalArgumentException e) {
        throw Refused.wrong(e.getMessage());
      }
    }

    private List<Double> pressures(String usual) throws Refused {
      List<Double> pressures = new ArrayList<>();
      for (String each : in.optionalText("at").orElse(usual).split(",")) {
        pressures.add(quantity("at", each, Dimension.PRESSURE));
      }
      if (pressures.stream().anyMatch(each -> !(each > 0))) {
        throw Refused.wrong("\"at\": test pressures are above zero, in either direction");
      }
      return pressures.stream().sorted().toList();
    }

    private double si(String name, String usual, Dimension dimension) throws Refused {
      return quantity(name, in.optionalText(name).orElse(usual), dimension);
    }
  }

  private static void refuseStopped() throws InterruptedException {
    if (Thread.interrupted()) {
      throw new InterruptedException();
    }
  }

  private static double quantity(String name, String text, Dimension dimension) throws Refused {
    try {
      return Value.si(text, dimension);
    } catch (IllegalArgumentException e) {
      throw Refused.wrong("\"" + name + "\": " + e.getMessage());
    }
  }

  /** A value with digits enough for a gauge. */
  static String text(double si, Unit unit) {
    double number = unit.fromSi(si);
    int places =
        Math.max(0, Math.min(4, 2 - (int) Math.floor(Math.log10(Math.abs(number) + 1e-9))));
    return String.format(Locale.ROOT, "%." + places + "f %s", number, unit.symbol());
  }

  private static String percent(double share) {
    return String.format(Locale.ROOT, "%.0f %%", 100 * share);
  }

  /** Passes everything on, and notes whether a reading is missing. */
  private static final class Missing implements PlateRun.Operator {
    private final PlateRun.Operator guide;
    private boolean any;

    Missing(PlateRun.Operator guide) {
      this.guide = guide;
    }

    @Override
    public Optional<PlateReading.Bevel> mounted(Plate plate) {
      return guide.mounted(plate);
    }

    @Override
    public void told(String sentence) {
      guide.told(sentence);
    }

    @Override
    public void missed(Plate plate, String why) {
      any = true;
      guide.missed(plate, why);
    }
  }
}
