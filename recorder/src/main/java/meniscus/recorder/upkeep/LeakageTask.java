package meniscus.recorder.upkeep;

import com.fasterxml.jackson.databind.node.ArrayNode;
import java.io.IOException;
import java.util.List;
import meniscus.core.bench.Bench;
import meniscus.core.bench.Leakage;
import meniscus.core.bench.Range;
import meniscus.core.calibrate.LeakReading;
import meniscus.core.calibrate.LeakageFit;
import meniscus.core.flow.Direction;
import meniscus.core.quantity.Dimension;
import meniscus.core.quantity.Text;
import meniscus.core.quantity.Unit;
import meniscus.core.quantity.UnitSystem;
import meniscus.drivers.simulated.Mounted;
import meniscus.drivers.simulated.Scenario;

/**
 * Measures air that does not pass the port, at several test pressures on the smallest range, or
 * from the fall of the pressure once the blower is valved off. What leaks more than the limit is
 * refused.
 *
 * @param at the bench, content with the target asked for
 * @param range that is switched on
 * @param asked how it is measured
 */
record LeakageTask(UpkeepPlace place, BenchAt at, Range range, Direction direction, Asked asked)
    implements UpkeepTask {

  static final String WORD = "leakage";

  /**
   * @param setUp what is mounted, in words
   * @param pressuresPa rising; size and limit are stated at the last [Pa]
   * @param limitM3PerS largest leak to accept [m³/s]
   * @param decay from the fall of the pressure
   * @param seconds how long the fall is watched [s]
   */
  record Asked(
      String setUp, List<Double> pressuresPa, double limitM3PerS, boolean decay, double seconds) {

    double highestPa() {
      return pressuresPa.get(pressuresPa.size() - 1);
    }
  }

  static LeakageTask of(UpkeepRequest request, UpkeepPlace place) throws WrongRequest {
    Direction direction = request.direction();
    Bench bench = place.bench();
    Asked asked =
        new Asked(
            request.text("set_up").orElse(LeakTest.BLANKED),
            request.pressures(bench),
            request.si("limit", Dimension.VOLUME_FLOW, bench),
            request.flag("decay"),
            request.number("seconds", 5, 600, bench));
    // On the simulated bench one set-up has the head on, its valves shut.
    Mounted mounted =
        asked.setUp().equals(LeakTest.HEAD_ON)
            ? new Mounted.Head(Scenario.demo().before())
            : new Mounted.Blank();
    return new LeakageTask(
        place,
        place.at(bench, request, mounted).withTarget(request.si("target", Dimension.RATIO, bench)),
        request.range(bench, UpkeepPlace.smallest(bench)),
        direction,
        asked);
  }

  @Override
  public String word() {
    return WORD;
  }

  @Override
  public String title() {
    return "Leakage, " + direction.word() + ", range " + range.name() + ", " + asked.setUp();
  }

  @Override
  public boolean simulated() {
    return at.simulated();
  }

  @Override
  public UpkeepOutcome work(BenchOperator operator) throws IOException, InterruptedException {
    LeakTest test = asked.decay() ? fallen(operator) : read(operator);
    place.write(test.bench());
    return told(test);
  }

  private LeakTest read(BenchOperator operator) throws InterruptedException {
    operator.prepare(mounted() + " Switch on range \"" + range.name() + "\". Blower on.");
    try (BenchStation station = BenchStation.open(at, range, direction, operator)) {
      return LeakTest.take(
          station, asked.setUp(), asked.pressuresPa(), asked.limitM3PerS(), operator, place.now());
    }
  }

  /** From the highest of the test pressures down. */
  private LeakTest fallen(BenchOperator operator) throws InterruptedException {
    try (BenchStation station = BenchStation.open(at, range, direction, operator)) {
      return LeakTest.decay(
          station,
          asked.setUp(),
          asked.highestPa(),
          asked.seconds(),
          asked.limitM3PerS(),
          () ->
              operator.ready(
                  mounted()
                      + " Bring the test pressure a little above "
                      + at.text(asked.highestPa())
                      + ", shut the blower's valve, switch the blower off."),
          place.now());
    }
  }

  private String mounted() {
    return asked.setUp().equals(LeakTest.BLANKED)
        ? "Blower off. Close the bench's hole with a blank and make the joint tight."
        : "Blower off. Mount it so: " + asked.setUp() + ".";
  }

  private UpkeepOutcome told(LeakTest test) {
    UpkeepOutcome.Telling telling = new UpkeepOutcome.Telling();
    UnitSystem units = test.bench().units();
    Unit flow = units.unit(Dimension.VOLUME_FLOW);
    ArrayNode readings = telling.json.putArray("readings");
    for (LeakReading reading : test.readings()) {
      readings
          .addObject()
          .put("test_pressure_pa", reading.testPressurePa())
          .put("flow_m3_per_s", reading.flowM3PerS())
          .put("standard_uncertainty_m3_per_s", reading.standardUncertaintyM3PerS());
      telling.good(
          at.text(reading.testPressurePa())
              + ": "
              + UpkeepText.text(reading.flowM3PerS(), flow)
              + " ± "
              + UpkeepText.text(2 * reading.standardUncertaintyM3PerS(), flow));
    }
    return test.outcome()
        .fold(
            found -> measured(found, test.atPa(), flow, telling), large -> refused(large, telling));
  }

  private UpkeepOutcome measured(
      LeakageFit.Measured found, double atPa, Unit flow, UpkeepOutcome.Telling telling) {
    Leakage leak = found.leakage();
    telling
        .json
        .put("set_up", leak.setUp())
        .put("direction", leak.direction().word())
        .put("seen", found.seen())
        .put("at_pa", atPa)
        .put("flow_m3_per_s", leak.flowM3PerS(atPa))
        .put("coefficient", leak.coefficient())
        .put("exponent", leak.exponent())
        .put("relative_standard_uncertainty", leak.standardUncertainty())
        .put("could_hide_m3_per_s", found.couldHideM3PerS())
        .put("limit_m3_per_s", leak.limitM3PerS());
    telling.good(
        found.seen()
            ? Text.of(
                "leaks %s ± %s at %s, following pressure to the power %.2f; subtracted from now on",
                UpkeepText.text(leak.flowM3PerS(atPa), flow),
                UpkeepText.text(2 * leak.standardUncertainty() * leak.flowM3PerS(atPa), flow),
                at.text(atPa),
                leak.exponent())
            : "too small to see: less than "
                + UpkeepText.text(leak.limitM3PerS(), flow)
                + " at "
                + at.text(atPa)
                + ", which is reckoned with");
    boolean learned = found.seen() || found.couldHideM3PerS() <= leak.limitM3PerS();
    if (!learned) {
      telling.bad(
          "but "
              + UpkeepText.text(found.couldHideM3PerS(), flow)
              + " could hide in what the gauge cannot tell: the bench is reckoned with as one that"
              + " was never measured. A smaller range, a finer gauge, a new zero or the fall of the"
              + " pressure tells more");
    }
    return telling.doneUnless(!learned);
  }

  private static UpkeepOutcome refused(LeakageFit.TooLarge large, UpkeepOutcome.Telling telling) {
    telling.json.put("refused", large.reason());
    telling.bad(large.reason());
    return telling.as(UpkeepOutcome.Kind.REFUSED);
  }
}
