package meniscus.recorder.upkeep;

import com.fasterxml.jackson.databind.node.ObjectNode;
import java.io.IOException;
import java.util.Comparator;
import java.util.List;
import java.util.Optional;
import meniscus.core.bench.Bench;
import meniscus.core.bench.Calibration;
import meniscus.core.bench.CalibrationRef;
import meniscus.core.bench.Evidence;
import meniscus.core.calibrate.CalibrationFit;
import meniscus.core.calibrate.Plate;
import meniscus.core.calibrate.PlateOrder;
import meniscus.core.calibrate.PlateReading;
import meniscus.core.flow.Direction;
import meniscus.core.quantity.Dimension;
import meniscus.core.quantity.Text;
import meniscus.drivers.simulated.Mounted;
import meniscus.recorder.file.CalibrationFile;
import meniscus.recorder.file.ReadingLine;
import meniscus.recorder.json.JsonOut;

/**
 * Reads orifice plates in the head's place, fits the flow element through them, stores the result
 * beside the bench file.
 *
 * @param run the bench, its range, the way of the air
 * @param plates that are used
 * @param pressuresPa of each plate [Pa]
 * @param useAnyway why the result is to be used even where nothing makes it consistent
 */
record CalibrateTask(
    UpkeepPlace place,
    PlateRun run,
    List<Plate> plates,
    List<Double> pressuresPa,
    Optional<String> useAnyway)
    implements UpkeepTask {

  static final String WORD = "calibrate";

  static CalibrateTask of(UpkeepRequest request, UpkeepPlace place) throws WrongRequest {
    Direction direction = request.direction();
    Bench bench = place.bench();
    return new CalibrateTask(
        place,
        new PlateRun(
                place
                    .at(bench, request, new Mounted.Blank())
                    .withTarget(request.si("target", Dimension.RATIO, bench)),
                request.range(bench, bench.ranges().get(0)),
                direction)
            .keeping(place),
        request.plates(place.plates()),
        request.pressures(bench),
        request.text("use_anyway").filter(why -> !why.isBlank()));
  }

  @Override
  public String word() {
    return WORD;
  }

  @Override
  public String title() {
    return "Calibration, " + run.direction().word() + ", range " + run.range().name();
  }

  @Override
  public boolean simulated() {
    return run.at().simulated();
  }

  @Override
  public String keptWhenStopped() {
    return "the bench file is as it was. Each plate that was read is kept beside it: begin again to"
        + " go on from there";
  }

  @Override
  public UpkeepOutcome work(BenchOperator operator) throws IOException, InterruptedException {
    Bench bench = run.at().bench();
    place.finishPlateReadings(operator);
    ReadingsSoFar<ReadingLine> soFar =
        ReadingsSoFar.ofCalibration(place.benchFile(), run.direction(), run.range(), operator);
    List<Plate> order = PlateOrder.mixed(plates);
    if (order.size() > plates.size()) {
      operator.told(new UpkeepMessage.InThisOrder(order));
    }
    PlateRun.Taken<PlateReading> taken = run.read(order, pressuresPa, operator, Optional.of(soFar));
    operator.told(new UpkeepMessage.Fitting());
    Calibration kept =
        CalibrationFile.write(
            place.folder(),
            CalibrationFit.fit(
                bench,
                run.range(),
                run.direction(),
                UpkeepPlace.leakage(bench, run.direction()),
                plates,
                taken.all(),
                place.now()));
    CalibrationRef reference =
        new CalibrationRef(
            kept.direction(), kept.range(), kept.id(), kept.at(), standing(kept.evidence()));
    Bench learned = bench.with(upkeep -> upkeep.withCalibration(reference));
    place.write(learned);
    soFar.done();
    return told(learned, kept, reference.standing(), taken.missed());
  }

  /** What nothing makes consistent is kept, and not used unless somebody says why it shall be. */
  private CalibrationRef.Standing standing(Evidence evidence) {
    if (evidence.diagnosis().isConsistent()) {
      return CalibrationRef.Standing.IN_ORDER;
    }
    return new CalibrationRef.Standing(
        useAnyway.isPresent(),
        useAnyway.orElseGet(
            () ->
                Text.of(
                    "no one thing explains its readings (chi squared %.0f of %d)",
                    evidence.chiSquare(), evidence.degreesOfFreedom())));
  }

  /** What is used from now on. */
  private static String inUse(Bench learned, Calibration kept) {
    Optional<CalibrationRef> used = learned.upkeep().calibration(kept.direction(), kept.range());
    return used.map(
            before ->
                "the calibration of " + before.at().toString().substring(0, 10) + " stays in use")
        .orElse("no calibration of this range and direction is in use");
  }

  private static UpkeepOutcome told(
      Bench learned, Calibration kept, CalibrationRef.Standing standing, int missed) {
    UpkeepOutcome.Telling telling = new UpkeepOutcome.Telling();
    Evidence evidence = kept.evidence();
    for (Evidence.PlateResult plate : evidence.plates()) {
      telling.good(
          Text.of(
              "plate %s passes %+.2f %% (± %.2f %%) against what the others predict",
              plate.plate(), 100 * plate.passesMore(), 200 * plate.standardUncertainty()));
    }
    telling.good(
        Text.of(
            "the element passes %+.2f %% against its description, ± %.2f %% (95 %%), from %.0f to"
                + " %.0f Pa drop",
            100 * (kept.element().correction(kept.element().referenceDropPa()) - 1),
            100 * relativeU95(kept),
            kept.element().lowestDropPa(),
            kept.element().highestDropPa()));
    telling.good(between(kept));
    evidence.remarks().forEach(telling::bad);
    if (missed > 0) {
      telling.bad(missed + (missed == 1 ? " reading" : " readings") + " could not be taken");
    }
    telling.good("written as " + CalibrationFile.name(kept.id()));
    json(kept, missed, telling.json);
    telling.json.put("in_use", standing.inUse()).put("why", standing.why());
    if (!standing.inUse()) {
      telling.bad(
          "kept, but not in use: "
              + standing.why()
              + ". "
              + inUse(learned, kept)
              + ". Find the fault and calibrate again; whoever wants it used all the same says why");
    } else if (standing.againstAdvice()) {
      telling.bad("in use against advice: " + standing.why());
    }
    return telling.doneUnless(
        missed > 0
            || !evidence.diagnosis().isConsistent()
            || evidence.diagnosis().named().isPresent()
            || evidence.widened() > 1
            || evidence.plates().isEmpty());
  }

  /** What stands between how well a reading is known and how well the result is. */
  private static String between(Calibration kept) {
    return kept.errors().stream()
        .max(Comparator.comparingDouble(error -> Math.abs(error.effects().get(0))))
        .map(
            largest ->
                Text.of(
                    "each reading repeats far better than that; what averaging cannot take away is"
                        + " left, most of it: %s (± %.2f %%)",
                    largest.source(),
                    196
                        * Math.abs(largest.effects().get(0))
                        / kept.element().coefficients().get(0)))
        .orElse("the readings leave nothing else to be uncertain of");
  }

  /** Of the correction in the middle of the drops [1]. */
  private static double relativeU95(Calibration kept) {
    return 1.96
        * Math.sqrt(kept.element().covariance().get(0).get(0))
        / kept.element().coefficients().get(0);
  }

  private static void json(Calibration kept, int missed, ObjectNode json) {
    Evidence evidence = kept.evidence();
    json.put("sha256", kept.id())
        .put("direction", kept.direction().word())
        .put("range", kept.range());
    JsonOut.array(json, "coefficients", kept.element().coefficients());
    json.put("reference_drop_pa", kept.element().referenceDropPa())
        .put("lowest_drop_pa", kept.element().lowestDropPa())
        .put("highest_drop_pa", kept.element().highestDropPa())
        .put("relative_u95", relativeU95(kept))
        .put("chi_square", evidence.chiSquare())
        .put("degrees_of_freedom", evidence.degreesOfFreedom())
        .put("chance_of_worse", evidence.chanceOfWorse())
        .put("leave_one_out_error", evidence.leaveOneOutError())
        .put("disagreeing", evidence.disagreeing().orElse(null))
        .put("missed", missed);
    JsonOut.list(
        json,
        "plates",
        evidence.plates(),
        (node, plate) ->
            node.put("plate", plate.plate())
                .put("error", plate.error())
                .put("passes_more", plate.passesMore())
                .put("standard_uncertainty", plate.standardUncertainty()));
    // Named first: put takes many types, and a lambda alone does not say which.
    String diagnosis =
        evidence.diagnosis().fold(sound -> "sound", fault -> "fault", unexplained -> "unexplained");
    json.put("diagnosis", diagnosis);
    JsonOut.list(
        json,
        "explanations",
        evidence.explanations(),
        (node, each) ->
            node.put("kind", each.kind().word())
                .put("plate", each.plate())
                .put("size", each.size())
                .put("standard_uncertainty", each.standardUncertainty())
                .put("probability", each.probability()));
    JsonOut.array(json, "remarks", evidence.remarks());
  }
}
