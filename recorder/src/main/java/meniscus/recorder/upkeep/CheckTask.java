package meniscus.recorder.upkeep;

import java.io.IOException;
import java.util.List;
import java.util.Optional;
import meniscus.core.bench.Bench;
import meniscus.core.bench.Calibration;
import meniscus.core.bench.HealthEntry;
import meniscus.core.bench.Range;
import meniscus.core.calibrate.EpochTasks;
import meniscus.core.calibrate.HealthChart;
import meniscus.core.calibrate.Plate;
import meniscus.core.calibrate.PlateCheck;
import meniscus.core.calibrate.PlateForecast;
import meniscus.core.calibrate.PlateReading;
import meniscus.core.flow.Direction;
import meniscus.core.quantity.Dimension;
import meniscus.core.quantity.Text;
import meniscus.drivers.simulated.Mounted;
import meniscus.recorder.feed.ByEye;

/**
 * Holds one plate against the calibration in use, and adds it to bench health, whose control chart
 * says when the bench begins to wander.
 *
 * @param run the bench, its range, the way of the air
 * @param calibration that is in use
 * @param plates of the shop
 * @param plate that is read
 * @param pressurePa at this test pressure [Pa]
 * @param remark kept with it
 */
record CheckTask(
    UpkeepPlace place,
    PlateRun run,
    Calibration calibration,
    List<Plate> plates,
    Plate plate,
    double pressurePa,
    String remark)
    implements UpkeepTask {

  static final String WORD = "check";

  static CheckTask of(UpkeepRequest request, UpkeepPlace place) throws WrongRequest, IOException {
    Direction direction = request.direction();
    Bench bench = place.bench();
    Range range = request.range(bench, bench.ranges().get(0));
    double pressure = request.pressures(bench).get(0);
    double target = request.si("target", Dimension.RATIO, bench);
    List<Plate> plates = place.plates();
    Optional<Plate> named = request.plate(plates);
    Calibration calibration = UpkeepPlace.calibration(bench, place.benchFile(), direction, range);
    Plate plate =
        named
            .or(() -> best(bench, range, calibration, plates, pressure).map(PlateForecast::plate))
            .orElseThrow(
                () ->
                    WrongRequest.notNow(
                        "no plate's flow lies within the drop gauge's range at this test pressure:"
                            + " choose another one, or another range"));
    return new CheckTask(
        place,
        new PlateRun(
                place.at(bench, request, new Mounted.Blank()).withTarget(target), range, direction)
            .keeping(place),
        calibration,
        plates,
        plate,
        pressure,
        request.text("remark").orElse(""));
  }

  /** The plate whose check sees most, as the bench stands. */
  static Optional<PlateForecast> best(
      Bench bench, Range range, Calibration calibration, List<Plate> plates, double pressurePa) {
    return PlateForecast.best(
        bench,
        range,
        calibration,
        UpkeepPlace.leakage(bench, calibration.direction()),
        plates,
        pressurePa);
  }

  @Override
  public String word() {
    return WORD;
  }

  @Override
  public String title() {
    return "Plate check, plate "
        + plate.name()
        + ", "
        + run.direction().word()
        + ", range "
        + run.range().name();
  }

  @Override
  public boolean simulated() {
    return run.at().simulated();
  }

  @Override
  public UpkeepOutcome work(BenchOperator operator) throws IOException, InterruptedException {
    place.finishPlateReadings(operator);
    List<PlateReading> readings = run.read(List.of(plate), List.of(pressurePa), operator);
    if (readings.isEmpty()) {
      return UpkeepOutcome.refused("plate " + plate.name() + " was not read; nothing is noted");
    }
    Bench bench = run.at().bench();
    PlateCheck check =
        PlateCheck.of(
            bench,
            run.range(),
            calibration,
            UpkeepPlace.leakage(bench, run.direction()),
            plate,
            readings.get(0),
            place.now(),
            remark);
    Bench learned = bench.with(upkeep -> upkeep.withHealth(check.entry()));
    place.write(learned);
    return told(learned, check);
  }

  private UpkeepOutcome told(Bench learned, PlateCheck check) {
    HealthEntry entry = check.entry();
    HealthChart chart = HealthChart.of(HealthChart.like(learned.upkeep(), entry));
    UpkeepOutcome.Telling telling = new UpkeepOutcome.Telling();
    telling
        .json
        .put("plate", entry.subject())
        .put("value", entry.value())
        .put("limit", entry.limit().orElse(Double.NaN))
        .put("within_limit", entry.withinLimit())
        .put("healthy", chart.healthy())
        .put("checks", chart.entries().size());
    if (entry.withinLimit()) {
      telling.good(check.words());
    } else {
      telling.bad(check.words());
    }
    boolean blind = entry.limit().orElse(Double.POSITIVE_INFINITY) > PlateForecast.WORTH_SEEING;
    telling.json.put("sees_one_percent", !blind);
    if (blind) {
      telling.bad(
          "this check cannot see a fault of 1 %: "
              + best(learned, run.range(), calibration, plates, pressurePa)
                  .filter(best -> !best.blind() && !best.plate().equals(plate))
                  .map(
                      best ->
                          Text.of(
                              "plate %s would (± %.2f %%)",
                              best.plate().name(), 100 * best.halfWidth()))
                  .orElse(
                      "no plate at hand does; what limits it is the plates' certificates, the"
                          + " gauges' zeros or the calibration itself"));
    }
    chart.signals().stream()
        .filter(signal -> signal.at() == chart.entries().size() - 1)
        .forEach(signal -> telling.bad("bench health: " + signal.words()));
    EpochTasks.open(learned, ByEye.calmCanBeTaken(learned, place.benchFile()))
        .forEach(
            task ->
                telling.good("still to do" + learned.upkeep().epoch().sinceThen() + ": " + task));
    return telling.doneUnless(blind || !chart.healthy() || !entry.withinLimit());
  }
}
