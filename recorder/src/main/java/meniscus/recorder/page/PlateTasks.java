package meniscus.recorder.page;

import java.io.IOException;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import java.util.Set;
import meniscus.core.bench.Calibration;
import meniscus.core.bench.CalibrationRef;
import meniscus.core.bench.Range;
import meniscus.core.calibrate.CalibrationFit;
import meniscus.core.calibrate.Plate;
import meniscus.core.calibrate.PlateCheck;
import meniscus.core.calibrate.PlateReading;
import meniscus.core.flow.Direction;
import meniscus.core.refusal.Refusal;
import meniscus.recorder.feed.Drivers;
import meniscus.recorder.file.CalibrationFile;
import meniscus.recorder.file.CalmLine;
import meniscus.recorder.file.ReadingLine;
import meniscus.recorder.page.http.HttpError;
import meniscus.recorder.page.http.JsonIn;
import meniscus.recorder.upkeep.CalmTake;
import meniscus.recorder.upkeep.PlateRun;
import meniscus.recorder.upkeep.ReadingsSoFar;

/** What is done with plates in the head's place: calibration, plate check, calm record. */
final class PlateTasks extends UpkeepAsked {

  PlateTasks(BenchOfPage place, Drivers drivers, JsonIn in) throws HttpError {
    super(place, drivers, in);
  }

  UpkeepTask calibrate() throws HttpError {
    Direction way = direction();
    Range range = range();
    List<Double> pressures = pressures("10 inH2O, 20 inH2O, 28 inH2O");
    List<Plate> used = chosenPlates();
    return new UpkeepTask(
        "calibrate",
        "Calibration, " + way.word() + ", range " + range.name(),
        operator -> {
          Missing missing = new Missing(operator);
          ReadingsSoFar<ReadingLine> soFar = ReadingsSoFar.ofCalibration(file, way, range, missing);
          List<PlateReading> readings =
              new PlateRun(at(), range, way).read(used, pressures, missing, soFar);
          operator.told("Fitting the flow element through the plates");
          Calibration fitted =
              CalibrationFit.fit(bench, range, way, leak(way), used, readings, Instant.now());
          UpkeepTask.Outcome outcome = keep(fitted, missing.any);
          soFar.done();
          return outcome;
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

  UpkeepTask check() throws HttpError {
    Direction way = direction();
    Range range = range();
    List<Double> pressures = pressures("28 inH2O");
    String name = in.text("plate");
    Plate plate =
        place.plates().stream()
            .filter(each -> each.name().equals(name))
            .findFirst()
            .orElseThrow(() -> HttpError.wrong("there is no plate \"" + name + "\""));
    CalibrationRef reference =
        bench
            .upkeep()
            .calibration(way, range.name())
            .orElseThrow(
                () ->
                    HttpError.notNow(
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

  UpkeepTask calm() throws HttpError {
    Direction way = direction();
    Range range = range();
    List<Double> pressures = pressures("28 inH2O");
    int seconds = in.optionalWhole("seconds").orElse(60);
    if (seconds < 20 || seconds > 600) {
      throw HttpError.wrong("\"seconds\" lies between 20 and 600");
    }
    List<Plate> used = chosenPlates();
    try {
      CalmTake.refuseByEye(at(), range);
    } catch (Refusal e) {
      throw HttpError.notNow(e.getMessage());
    }
    return new UpkeepTask(
        "calm",
        "Calm record, " + way.word() + ", range " + range.name(),
        operator -> {
          Missing missing = new Missing(operator);
          ReadingsSoFar<CalmLine> soFar = ReadingsSoFar.ofCalm(file, way, range, seconds, missing);
          CalmTake take =
              CalmTake.of(
                  new PlateRun(at(), range, way),
                  used,
                  pressures,
                  seconds,
                  missing,
                  Optional.of(soFar));
          refuseStopped();
          write(take.store(bench, file, Instant.now()));
          soFar.done();
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

  private List<Plate> chosenPlates() throws HttpError {
    Set<String> names = Set.copyOf(in.texts("plates"));
    List<Plate> used =
        place.plates().stream().filter(plate -> names.contains(plate.name())).toList();
    if (used.isEmpty()) {
      throw HttpError.wrong("choose the plates to use: \"plates\" is a list of their names");
    }
    return used;
  }

  /** Passes everything on, and notes whether a reading is missing. */
  private static final class Missing implements PlateRun.Operator {
    private final PlateRun.Operator guide;
    private boolean any;

    Missing(PlateRun.Operator guide) {
      this.guide = guide;
    }

    @Override
    public Optional<PlateReading.Bevel> mounted(Plate plate) throws InterruptedException {
      return guide.mounted(plate);
    }

    @Override
    public void told(String sentence) {
      guide.told(sentence);
    }

    @Override
    public void wanted(Wish wish) {
      guide.wanted(wish);
    }

    @Override
    public Optional<String> typed() {
      return guide.typed();
    }

    @Override
    public void missed(Plate plate, String why) {
      any = true;
      guide.missed(plate, why);
    }
  }
}
