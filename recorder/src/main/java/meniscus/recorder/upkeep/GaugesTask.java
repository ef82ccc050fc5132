package meniscus.recorder.upkeep;

import com.fasterxml.jackson.databind.node.ArrayNode;
import java.io.IOException;
import java.util.List;
import meniscus.core.bench.Bench;
import meniscus.core.bench.HealthEntry;
import meniscus.core.bench.Range;
import meniscus.core.calibrate.GaugeComparison;
import meniscus.core.calibrate.GaugeComparison.Pair;
import meniscus.core.quantity.Text;
import meniscus.drivers.simulated.Mounted;
import meniscus.recorder.feed.ByEye;

/**
 * Compares the gauge of the test pressure with that of a range's drop, both teed on one pressure,
 * at a few pressures: a wrong gain, which no plate shows.
 *
 * @param gauges how they are read
 */
record GaugesTask(UpkeepPlace place, TeedGauges gauges) implements UpkeepTask {

  static final String WORD = "gauges";

  static GaugesTask of(UpkeepRequest request, UpkeepPlace place) throws WrongRequest {
    Bench bench = place.bench();
    Range range = request.range(bench, bench.ranges().get(0));
    BenchAt at = place.at(bench, request, new Mounted.Blank());
    TeedGauges gauges =
        TeedGauges.of(at, range)
            .orElseThrow(
                () ->
                    WrongRequest.notNow(
                        "one gauge alone reads both pressures here: there is no other"));
    List<ByEye> byEye = at.pressuresByEye(range);
    if (!byEye.isEmpty()) {
      throw WrongRequest.notNow(
          byEye.get(0).gauge().key()
              + " is read by eye: write down what both gauges show on one pressure, and give it to"
              + " figure gauges");
    }
    if (request.text("at").isPresent()) {
      gauges = gauges.at(request.pressures(bench));
    }
    if (gauges.pressuresPa().size() < GaugeComparison.FEWEST) {
      throw WrongRequest.notUnderstood("at", "names three pressures or more");
    }
    return new GaugesTask(place, gauges);
  }

  @Override
  public String word() {
    return WORD;
  }

  @Override
  public String title() {
    return "Both gauges on one pressure, range " + gauges.range().name();
  }

  @Override
  public boolean simulated() {
    return gauges.at().simulated();
  }

  @Override
  public UpkeepOutcome work(BenchOperator operator) throws IOException, InterruptedException {
    List<Pair> pairs = gauges.read(operator);
    GaugeComparison found = GaugeComparison.of(gauges.test(), gauges.range().drop(), pairs);
    HealthEntry entry = gauges.entry(found, place.now());
    place.write(gauges.at().bench().with(upkeep -> upkeep.withHealth(entry)));
    return told(found, pairs, gauges.pressuresPa().size() - pairs.size());
  }

  private static UpkeepOutcome told(GaugeComparison found, List<Pair> pairs, int missed) {
    UpkeepOutcome.Telling telling = new UpkeepOutcome.Telling();
    telling
        .json
        .put("first", found.first().key())
        .put("second", found.second().key())
        .put("gain", found.gain())
        .put("standard_uncertainty", found.standardUncertainty())
        .put("limit", found.limit())
        .put("bend", found.bend())
        .put("agree", found.agree());
    ArrayNode list = telling.json.putArray("pairs");
    pairs.forEach(
        pair -> list.addObject().put("first_pa", pair.firstSi()).put("second_pa", pair.secondSi()));
    if (found.agree()) {
      telling.good(found.words());
    } else {
      telling.bad(found.words());
    }
    if (missed > 0) {
      telling.bad(Text.of("%d of %d pressures left out", missed, missed + pairs.size()));
    }
    return telling.doneUnless(!found.agree() || missed > 0);
  }
}
