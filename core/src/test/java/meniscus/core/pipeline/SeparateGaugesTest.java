package meniscus.core.pipeline;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.ArrayList;
import java.util.EnumMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Random;
import java.util.TreeMap;
import meniscus.core.air.AirState;
import meniscus.core.bench.Bench;
import meniscus.core.bench.PointMeans;
import meniscus.core.bench.Range;
import meniscus.core.bench.Site;
import meniscus.core.bench.Source;
import meniscus.core.bench.Use;
import meniscus.core.budget.SmallBench;
import meniscus.core.flow.Direction;
import meniscus.core.flow.ReferenceState;
import meniscus.core.instrument.Channel;
import meniscus.core.quantity.Unit;
import meniscus.core.steadiness.JudgeSettings;
import meniscus.core.time.Moment;
import org.junit.jupiter.api.Test;

/** Instruments with rates, clocks and delays of their own. */
class SeparateGaugesTest {

  private static final double AIM_PA = HandFedBench.AIM_PA;
  private static final long SEED = 4711;

  private static Acquisition acquisition(
      Map<Use, Source> more, Source.Measured drop, List<List<Channel>> channels) {
    Bench bench = HandFedBench.bench(false, Site.UNKNOWN);
    Map<Use, Source> all = new EnumMap<>(bench.channels());
    all.putAll(more);
    Range range = new Range("main", SmallBench.ELEMENT, drop);
    return Acquisition.of(
        new Bench(
            bench.identity(),
            bench.units(),
            bench.site(),
            bench.layout(),
            Optional.empty(),
            bench.instruments(),
            all,
            List.of(range),
            bench.upkeep()),
        range,
        SmallBench.ELEMENT,
        Direction.SUCTION,
        channels,
        JudgeSettings.usual(),
        new ReferenceState(AirState.DRY_20C, AIM_PA));
  }

  private static Acquisition twoGauges() {
    return acquisition(
        Map.of(),
        HandFedBench.gauge("dial", "drop", -100, 10_000),
        List.of(
            List.of(new Channel("depression", Unit.PASCAL)),
            List.of(new Channel("drop", Unit.PASCAL))));
  }

  /** Test pressure that swings by 3 % three times a second and drifts; the drop follows it. */
  private static double pressure(double seconds) {
    return AIM_PA * (1 + 0.03 * Math.sin(2 * Math.PI * 3 * seconds)) + 5 * seconds;
  }

  /** One gauge's frames by arrival: even samples, each late by up to 16 ms, none overtaking. */
  private static TreeMap<Double, Double> arrivals(double period, double first, Random random) {
    TreeMap<Double, Double> frames = new TreeMap<>();
    double last = 0;
    for (double taken = first; taken < 40; taken += period) {
      double arrival = Math.max(last + 1e-6, taken + 0.016 * random.nextDouble());
      frames.put(arrival, pressure(taken));
      last = arrival;
    }
    return frames;
  }

  /** Standard deviation over mean. */
  private static double scatter(List<Double> values) {
    double mean = values.stream().mapToDouble(Double::doubleValue).average().orElseThrow();
    double squares = values.stream().mapToDouble(v -> (v - mean) * (v - mean)).sum();
    return Math.sqrt(squares / values.size()) / mean;
  }

  @Test
  void twoStreamsThatArriveLateAndUnevenlyAreBroughtTogetherByTheirOwnClocks() {
    Random random = new Random(SEED);
    TreeMap<Double, Double> pressures = arrivals(0.01, 0.0031, random);
    TreeMap<Double, Double> drops = arrivals(0.0200007, 0.0102, random);
    Acquisition acquisition = twoGauges();
    List<Double> areas = new ArrayList<>();
    List<Double> byArrival = new ArrayList<>();
    TreeMap<Double, Boolean> order = new TreeMap<>();
    pressures.keySet().forEach(at -> order.put(at, true));
    drops.keySet().forEach(at -> order.put(at, false));
    RungWindow window = null;
    for (Map.Entry<Double, Boolean> each : order.entrySet()) {
      double at = each.getKey();
      if (window == null && at > 10) {
        window = acquisition.begin(Moment.ofSeconds(at));
        window.show((seconds, area) -> areas.add(area));
      }
      if (each.getValue()) {
        acquisition.accept(new Frame(0, Moment.ofSeconds(at), new double[] {pressures.get(at)}));
      } else {
        acquisition.accept(new Frame(1, Moment.ofSeconds(at), new double[] {0.1 * drops.get(at)}));
        if (at > 10 && pressures.higherKey(at) != null) {
          byArrival.add(Math.sqrt(drops.get(at) / between(pressures, at)));
        }
      }
    }
    assertTrue(areas.size() > 1400, areas.size() + " samples");
    assertTrue(
        scatter(areas) < scatter(byArrival) / 3,
        scatter(areas) + " by the recovered clocks, " + scatter(byArrival) + " by arrival");
    PointMeans means = window.means().orElseThrow();
    double late = 0.016 / Math.sqrt(12);
    assertEquals(Math.hypot(late, late), means.pressures().alignmentSeconds(), 0.002);
  }

  private static double between(TreeMap<Double, Double> readings, double at) {
    Map.Entry<Double, Double> before = readings.floorEntry(at);
    Map.Entry<Double, Double> after = readings.higherEntry(at);
    double share = (at - before.getKey()) / (after.getKey() - before.getKey());
    return before.getValue() + share * (after.getValue() - before.getValue());
  }

  @Test
  void noDropIsLostWhicheverGaugeIsAheadOfTheOther() {
    for (double ahead : new double[] {0.007, 0.4}) {
      Acquisition acquisition = twoGauges();
      RungWindow window = acquisition.begin(Moment.START);
      int[] samples = new int[1];
      window.show((seconds, area) -> samples[0]++);
      for (int i = 0; i < 1000; i++) {
        acquisition.accept(new Frame(0, Moment.ofSeconds(1 + i * 0.05), new double[] {AIM_PA + i}));
        acquisition.accept(
            new Frame(1, Moment.ofSeconds(1 + i * 0.05 + ahead / 20), new double[] {700 + i}));
      }
      assertEquals(999, samples[0], "all but the last, which waits for a pressure after it");
    }
  }

  @Test
  void oneInstrumentThatGivesBothHasNothingToAlign() {
    HandFedBench bench = HandFedBench.withoutDial(true, plan -> plan);
    Acquisition acquisition =
        acquisition(
            Map.of(), HandFedBench.gauge("manometer", "drop", -100, 10_000), HandFedBench.CHANNELS);
    RungWindow window = acquisition.begin(Moment.START);
    for (int i = 0; i < 400; i++) {
      acquisition.accept(
          new Frame(0, Moment.ofSeconds(i * 0.05), new double[] {AIM_PA, 700 + Math.sin(i)}));
    }
    assertEquals(0, window.means().orElseThrow().pressures().alignmentSeconds());
    assertEquals(List.of(), window.missing(Moment.ofSeconds(20)));
    assertTrue(bench.bench.ranges().size() > 0);
  }

  @Test
  void aRungGoesOnWithoutTheThermometerAndSaysThatItIsMissing() {
    HandFedBench bench = HandFedBench.withoutDial(true, plan -> plan);
    Acquisition acquisition =
        acquisition(
            Map.of(
                Use.ROOM_TEMPERATURE, HandFedBench.gauge("dial", "temperature", 250, 330),
                Use.LIFT, HandFedBench.gauge("dial", "lift", -1, 1)),
            HandFedBench.gauge("manometer", "drop", -100, 10_000),
            List.of(
                HandFedBench.CHANNELS.get(0),
                List.of(new Channel("temperature", Unit.KELVIN), new Channel("lift", Unit.METRE))));
    RungWindow window = null;
    Random noise = new Random(SEED);
    for (int i = 0; i < 2400; i++) {
      double seconds = i * 0.05;
      if (i % 20 == 0 && seconds < 30) {
        acquisition.accept(new Frame(1, Moment.ofSeconds(seconds), new double[] {295, 0.005}));
      }
      if (seconds == 90) {
        window = acquisition.begin(Moment.ofSeconds(seconds));
      }
      acquisition.accept(
          new Frame(
              0,
              Moment.ofSeconds(seconds),
              new double[] {AIM_PA, 700 + 0.1 * noise.nextGaussian()}));
    }
    List<String> remarks =
        bench
            .newPointMaker()
            .point(window, HandFedBench.rung(1, 2), 1, AIM_PA, 1, Moment.ofSeconds(120), List.of())
            .orElseThrow()
            .point()
            .remarkSentences();
    assertTrue(
        remarks.contains(
            "room temperature is missing: nothing was read for 91 s, the last reading stands"),
        "" + remarks);
  }
}
