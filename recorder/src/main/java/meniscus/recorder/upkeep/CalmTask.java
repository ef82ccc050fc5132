package meniscus.recorder.upkeep;

import com.fasterxml.jackson.databind.node.ArrayNode;
import java.io.IOException;
import java.util.List;
import java.util.Optional;
import meniscus.core.bench.Bench;
import meniscus.core.calibrate.Plate;
import meniscus.core.flow.Direction;
import meniscus.core.quantity.Text;
import meniscus.core.steadiness.CalmRun;
import meniscus.drivers.simulated.Mounted;
import meniscus.recorder.file.CalmLine;

/**
 * Takes the calm record on plates, one run a plate and test pressure.
 *
 * @param run the bench, its range, the way of the air
 * @param plates that are used
 * @param pressuresPa of each plate [Pa]
 * @param seconds of each run [s]
 */
record CalmTask(
    UpkeepPlace place, PlateRun run, List<Plate> plates, List<Double> pressuresPa, double seconds)
    implements UpkeepTask {

  static final String WORD = "calm";

  static CalmTask of(UpkeepRequest request, UpkeepPlace place) throws WrongRequest {
    Direction direction = request.direction();
    Bench bench = place.bench();
    List<Double> pressures = request.pressures(bench);
    double seconds = request.number("seconds", 20, 600, bench);
    PlateRun run =
        new PlateRun(
            place.at(bench, request, new Mounted.Blank()),
            request.range(bench, bench.ranges().get(0)),
            direction);
    List<Plate> plates = request.plates(place.plates());
    Optional<String> byEye = CalmTake.refusalByEye(run.at(), run.range());
    if (byEye.isPresent()) {
      throw WrongRequest.notNow(byEye.get());
    }
    return new CalmTask(place, run, plates, pressures, seconds);
  }

  @Override
  public String word() {
    return WORD;
  }

  @Override
  public String title() {
    return "Calm record, " + run.direction().word() + ", range " + run.range().name();
  }

  @Override
  public boolean simulated() {
    return run.at().simulated();
  }

  @Override
  public String keptWhenStopped() {
    return "the calm record is as it was. Each run that was taken is kept beside the bench file:"
        + " begin again to go on from there";
  }

  @Override
  public UpkeepOutcome work(BenchOperator operator) throws IOException, InterruptedException {
    run.at()
        .bench()
        .upkeep()
        .calm()
        .ifPresent(calm -> operator.told(new UpkeepMessage.CalmUntilNow(calm.at())));
    ReadingsSoFar<CalmLine> soFar =
        ReadingsSoFar.ofCalm(place.benchFile(), run.direction(), run.range(), seconds, operator);
    CalmTake take = CalmTake.of(run, plates, pressuresPa, seconds, operator, Optional.of(soFar));
    place.write(take.store(run.at().bench(), place.benchFile(), place.now()));
    soFar.done();
    return told(take);
  }

  private UpkeepOutcome told(CalmTake take) {
    UpkeepOutcome.Telling telling = new UpkeepOutcome.Telling();
    telling.json.put("folder", "calm").put("missed", take.missed());
    ArrayNode runs = telling.json.putArray("runs");
    for (CalmRun each : take.runs()) {
      runs.addObject()
          .put("file", each.id() + ".csv")
          .put("range", each.range())
          .put("direction", each.direction())
          .put("pressure_pa", each.testPressurePa())
          .put("mean", each.mean())
          .put("relative_standard_deviation", CalmTake.relativeDeviation(each));
      telling.good(
          Text.of(
              "run %d at %s: the flow moves by %.2f %% (one standard deviation)",
              runs.size(),
              run.at().text(each.testPressurePa()),
              100 * CalmTake.relativeDeviation(each)));
    }
    telling.good(
        Text.of("calm record: %d runs of %.0f s in the folder calm", take.runs().size(), seconds));
    take.properSeconds()
        .ifPresent(
            proper ->
                telling.bad(
                    Text.of(
                        "these runs are short for gauges as slow as these: they do, but runs of %.0f s"
                            + " tell the rhythm of the fluctuation better",
                        proper)));
    if (take.missed() > 0) {
      telling.bad(take.missed() + (take.missed() == 1 ? " run" : " runs") + " could not be taken");
    }
    return telling.doneUnless(take.missed() > 0);
  }
}
