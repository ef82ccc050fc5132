package meniscus.recorder.upkeep;

import com.fasterxml.jackson.databind.node.ArrayNode;
import com.fasterxml.jackson.databind.node.ObjectNode;
import java.io.IOException;
import meniscus.core.bench.Bench;
import meniscus.core.bench.Use;
import meniscus.core.calibrate.ZeroTake;
import meniscus.core.flow.Direction;
import meniscus.core.quantity.Dimension;
import meniscus.core.quantity.Unit;
import meniscus.drivers.simulated.Mounted;

/**
 * Takes the zero of every pressure gauge. A gauge that moves is refused: nothing is stored for it.
 *
 * @param seconds of reading [s]
 * @param lift whether the lift indicator is zeroed as well: the valve is shut
 */
record ZeroTask(UpkeepPlace place, BenchAt at, double seconds, boolean lift) implements UpkeepTask {

  static final String WORD = "zero";

  static ZeroTask of(UpkeepRequest request, UpkeepPlace place) throws WrongRequest {
    Bench bench = place.bench();
    return new ZeroTask(
        place,
        place.at(bench, request, new Mounted.Blank()),
        request.number("seconds", 1, 600, bench),
        request.flag("lift"));
  }

  @Override
  public String word() {
    return WORD;
  }

  @Override
  public String title() {
    return "Zero";
  }

  @Override
  public boolean simulated() {
    return at.simulated();
  }

  @Override
  public UpkeepOutcome work(BenchOperator operator) throws IOException, InterruptedException {
    operator.told(new UpkeepMessage.Resting(seconds));
    Zeroing zeroing;
    try (BenchStation station =
        BenchStation.open(at, at.bench().ranges().get(0), Direction.SUCTION, operator)) {
      zeroing = Zeroing.take(station, seconds, lift, place.now());
    }
    place.write(zeroing.bench());
    UpkeepOutcome.Telling telling = new UpkeepOutcome.Telling();
    ArrayNode gauges = telling.json.putArray("zeros");
    zeroing
        .outcomes()
        .forEach(
            (key, outcome) -> {
              ObjectNode json = gauges.addObject().put("channel", key);
              outcome.fold(
                  taken -> taken(key, taken, telling, json),
                  refused -> refused(refused, telling, json));
            });
    return telling.as(zeroing.complete() ? UpkeepOutcome.Kind.DONE : UpkeepOutcome.Kind.REFUSED);
  }

  private Void taken(
      String key, ZeroTake.Taken taken, UpkeepOutcome.Telling telling, ObjectNode json) {
    json.put("offset_si", taken.zero().offsetSi());
    json.put("standard_uncertainty_si", taken.zero().standardUncertaintySi());
    json.put("noise_si", taken.zero().noiseSi());
    taken.sincePreviousSi().ifPresent(since -> json.put("since_previous_si", since));
    Unit unit = unit(key);
    telling.good(
        key
            + ": zero "
            + UpkeepText.text(taken.zero().offsetSi(), unit)
            + " ± "
            + UpkeepText.text(2 * taken.zero().standardUncertaintySi(), unit)
            + " until the next one, noise "
            + UpkeepText.text(taken.zero().noiseSi(), unit)
            + (taken.sincePreviousSi().isPresent()
                ? ", moved by "
                    + UpkeepText.text(taken.sincePreviousSi().getAsDouble(), unit)
                    + " since the one before"
                : ""));
    return null;
  }

  private static Void refused(
      ZeroTake.Refused refused, UpkeepOutcome.Telling telling, ObjectNode json) {
    json.put("refused", refused.reason());
    telling.bad(refused.reason());
    return null;
  }

  /** All gauges zeroed are pressures but the lift's. */
  private Unit unit(String key) {
    boolean ofLift =
        at.bench()
            .source(Use.LIFT)
            .map(source -> source.fold(gauge -> gauge.key().equals(key), typed -> false))
            .orElse(false);
    return at.bench().units().unit(ofLift ? Dimension.LENGTH : Dimension.PRESSURE);
  }
}
