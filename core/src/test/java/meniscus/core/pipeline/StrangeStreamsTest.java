package meniscus.core.pipeline;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.time.Instant;
import java.util.ArrayList;
import java.util.EnumMap;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Random;
import java.util.Set;
import java.util.regex.Pattern;
import meniscus.core.bench.Accuracy;
import meniscus.core.bench.Bench;
import meniscus.core.bench.Plenum;
import meniscus.core.bench.Range;
import meniscus.core.bench.Site;
import meniscus.core.bench.Source;
import meniscus.core.bench.Use;
import meniscus.core.budget.SmallBench;
import meniscus.core.flow.Direction;
import meniscus.core.instrument.Channel;
import meniscus.core.lift.LiftPoint;
import meniscus.core.lift.TestEvent;
import meniscus.core.quantity.Unit;
import meniscus.core.settle.GaugeTransfer;
import meniscus.core.steadiness.JudgeSettings;
import meniscus.core.steadiness.Verdict;
import meniscus.core.time.Arrivals;
import meniscus.core.time.Moment;
import org.junit.jupiter.api.Test;

/** Instruments that send in chunks, with gaps, or freeze; one rung on each. */
class StrangeStreamsTest {

  private static final double AIM_PA = HandFedBench.AIM_PA;
  private static final long SEED = 1602;
  private static final double DROP_PA = 0.4 * AIM_PA;

  /** A rung on one manometer: what was told, what was kept, what was written down. */
  private static final class Bench1 implements RunLog {
    final double quantumPa;

    Bench1() {
      this(0);
    }

    /**
     * @param quantumPa smallest step of both gauges by the bench file; 0 where it says nothing
     */
    Bench1(double quantumPa) {
      this.quantumPa = quantumPa;
      acquisition = acquisition();
      run = new LadderRun(acquisition, files.newPointMaker(), files.plan, true, this);
    }

    final List<OperatorMessage> told = new ArrayList<>();
    final List<LiftPoint> kept = new ArrayList<>();
    final List<TestEvent> events = new ArrayList<>();
    final List<Object> journal = new ArrayList<>();
    final HandFedBench files = HandFedBench.withoutDial(true, plan -> plan.longest(40));
    final Acquisition acquisition;
    final LadderRun run;

    /** The bench with a plenum: the pressure's rate of change is in its flows. */
    Acquisition acquisition() {
      Bench bare = files.bench;
      Range range =
          new Range("main", SmallBench.ELEMENT, gauge(bare.ranges().get(0).drop(), quantumPa));
      Map<Use, Source> channels = new EnumMap<>(bare.channels());
      channels.computeIfPresent(
          Use.TEST_PRESSURE, (use, source) -> gauge((Source.Measured) source, quantumPa));
      Bench bench =
          new Bench(
              bare.identity(),
              bare.units(),
              bare.site(),
              bare.layout(),
              Optional.of(new Plenum(0.12, 0.01)),
              bare.instruments(),
              channels,
              List.of(range),
              bare.upkeep());
      return Acquisition.of(
          bench,
          range,
          SmallBench.ELEMENT,
          Direction.SUCTION,
          HandFedBench.CHANNELS,
          JudgeSettings.usual().withCapSeconds(40),
          HandFedBench.reference(files.plan));
    }

    private static Source.Measured gauge(Source.Measured plain, double quantumPa) {
      return new Source.Measured(
          plain.instrument(),
          plain.channel(),
          plain.lowSi(),
          plain.highSi(),
          new Accuracy(0, 0, quantumPa),
          GaugeTransfer.NONE,
          false);
    }

    @Override
    public void event(TestEvent event) {
      events.add(event);
      journal.add(event);
    }

    @Override
    public void kept(TestEvent event, LiftPoint point) {
      journal.add(event);
      kept.add(point);
    }

    @Override
    public void told(OperatorMessage message) {
      told.add(message);
    }

    void begin() {
      run.segment(Moment.START, Instant.parse("2031-05-06T07:08:09Z"));
    }

    void frame(double seconds, double pressurePa, double dropPa) {
      Frame frame = new Frame(0, Moment.ofSeconds(seconds), new double[] {pressurePa, dropPa});
      journal.add(frame);
      run.frame(frame);
    }

    List<LiftPoint> replayed() {
      Replay replay = new Replay(acquisition(), files.newPointMaker(), files.plan);
      for (Object each : journal) {
        if (each instanceof Frame frame) {
          replay.row(frame);
        } else {
          replay.event((TestEvent) each);
        }
      }
      return replay.points();
    }

    boolean wasTold(OperatorMessage.Kind kind, String part) {
      MessageWords words = new MessageWords(files.plan);
      return told.stream()
          .anyMatch(message -> message.kind() == kind && words.sentence(message).contains(part));
    }
  }

  private static final int FEWEST = 3;

  /** Blower off for three seconds, then on: without a dial that begins the rung. */
  private static double pressure(double taken, Random random) {
    double level = taken < FEWEST ? 0 : AIM_PA * (1 - Math.exp(-(taken - FEWEST) / 0.3));
    return level * (1 + 0.004 * random.nextGaussian()) + 0.01 * random.nextGaussian();
  }

  private static double step(double value, double quantum) {
    return quantum * Math.rint(value / quantum);
  }

  private Bench1 rung(double[] taken, double[] arrivals) {
    Random random = new Random(SEED);
    Bench1 bench = new Bench1();
    bench.begin();
    for (int k = 0; k < taken.length && bench.kept.isEmpty(); k++) {
      double pressure = step(pressure(taken[k], random), 0.1);
      double drop = step(0.4 * pressure * (1 + 0.004 * random.nextGaussian()), 0.1);
      bench.frame(arrivals[k], pressure, drop);
    }
    return bench;
  }

  @Test
  void readingsThatComeInChunksGiveTheFlowThatTheyGiveOneByOne() {
    for (double period : new double[] {0.005, 0.05, 0.2}) {
      double[] taken = Arrivals.even((int) (90 / period), period);
      LiftPoint even = rung(taken, taken).kept.get(0);
      List<double[]> ways = new ArrayList<>();
      for (int group : new int[] {2, 3, 4, 10}) {
        ways.add(Arrivals.grouped(taken, group));
      }
      ways.add(Arrivals.timer(taken, 0.016));
      ways.add(Arrivals.network(taken, new Random(SEED)));
      for (double[] arrivals : ways) {
        Bench1 bench = rung(taken, arrivals);
        assertEquals(1, bench.kept.size(), period + " s: " + bench.told);
        LiftPoint point = bench.kept.get(0);
        assertEquals(even.flowM3PerS(), point.flowM3PerS(), 0.002 * even.flowM3PerS());
        double wider = point.flowRepeatU95().orElseThrow() / even.flowRepeatU95().orElseThrow();
        assertTrue(wider < 2, "its interval is " + wider + " times that of even readings");
        assertEquals(even.verdict(), point.verdict());
        assertEquals(bench.kept, List.of(bench.kept.get(0)));
        assertEquals(point.flowM3PerS(), bench.replayed().get(0).flowM3PerS(), "to the last digit");
      }
    }
  }

  @Test
  void noRateOfChangeIsTakenOverArrivalsThatTellNoTime() {
    Random random = new Random(SEED);
    double[] taken = new double[1500];
    for (int k = 1; k < taken.length; k++) {
      // Sent whenever it likes, many at once.
      taken[k] = taken[k - 1] + (k % 5 == 0 ? 0.02 + 0.4 * random.nextDouble() : 1e-4);
    }
    Bench1 bench = new Bench1();
    bench.begin();
    double[] most = {0, Double.POSITIVE_INFINITY};
    for (double at : taken) {
      double pressure = pressure(at, random);
      bench.frame(at, pressure, 0.4 * pressure);
      bench
          .acquisition
          .window()
          .ifPresent(
              open ->
                  open.show(
                      (seconds, area) -> {
                        most[0] = Math.max(most[0], area);
                        most[1] = Math.min(most[1], area);
                      }));
    }
    assertTrue(most[0] > 0, "" + bench.told);
    assertTrue(most[0] / most[1] < 1.1, most[1] + " to " + most[0]);
  }

  @Test
  void aSampleIndexTellsWhichReadingsAreMissing() {
    double period = 0.05;
    double[] arrivals = Arrivals.grouped(Arrivals.even(400, period), 4);
    Acquisition acquisition =
        Acquisition.of(
            HandFedBench.bench(false, Site.UNKNOWN),
            HandFedBench.bench(false, Site.UNKNOWN).ranges().get(0),
            SmallBench.ELEMENT,
            Direction.SUCTION,
            List.of(
                List.of(
                    new Channel("depression", Unit.PASCAL),
                    new Channel("drop", Unit.PASCAL),
                    new Channel(Channel.SAMPLE_INDEX, Unit.ONE)),
                HandFedBench.CHANNELS.get(1),
                HandFedBench.CHANNELS.get(2)),
            JudgeSettings.usual(),
            HandFedBench.reference(HandFedBench.withoutDial(true, plan -> plan).plan));
    for (int k = 0; k < arrivals.length; k++) {
      if (k % 37 == 5) {
        continue;
      }
      acquisition.accept(
          new Frame(0, Moment.ofSeconds(arrivals[k]), new double[] {AIM_PA, DROP_PA, k}));
      if (k > 100) {
        double taken = k * period + 0.001;
        assertEquals(taken, acquisition.sampledSeconds(Use.ELEMENT_DROP), 1e-6, "sample " + k);
      }
    }
  }

  @Test
  void aGapOfSecondsBeginsTheAverageAnewAndIsSaid() {
    for (boolean overRange : new boolean[] {false, true}) {
      double[] taken = Arrivals.even(4000, 0.05);
      Random random = new Random(SEED);
      Bench1 bench = new Bench1();
      bench.begin();
      double keptAt = Double.NaN;
      for (double at : taken) {
        double pressure = step(pressure(at, random), 0.1);
        boolean gone = at > 15 && at < 17;
        if (!gone || overRange) {
          bench.frame(at, pressure, gone ? Frame.OVERLOAD : 0.4 * pressure + random.nextGaussian());
        }
        if (!bench.kept.isEmpty()) {
          keptAt = at;
          break;
        }
      }
      assertTrue(
          bench.wasTold(OperatorMessage.Kind.BROKEN_OFF, "nothing could be read"), "" + bench.told);
      assertEquals(1, bench.kept.size(), "" + bench.told);
      assertTrue(keptAt < 17 + 30, "kept at " + keptAt + " s");
      assertEquals(
          bench.kept.get(0).flowM3PerS(),
          bench.replayed().get(0).flowM3PerS(),
          "to the last digit");
    }
  }

  @Test
  void afterTheLongestTimeAFaultyAverageBeginsAnewByItself() {
    Random random = new Random(SEED);
    Bench1 bench = new Bench1();
    bench.begin();
    for (int k = 0; k < 6000 && bench.kept.isEmpty(); k++) {
      double at = k * 0.05;
      double pressure = pressure(at, random);
      boolean missing = at < 30 && random.nextDouble() < 0.4;
      bench.frame(at, pressure, missing ? Frame.OVERLOAD : 0.4 * pressure + random.nextGaussian());
    }
    assertTrue(bench.wasTold(OperatorMessage.Kind.BROKEN_OFF, "longest time"), "" + bench.told);
    assertEquals(1, bench.kept.size(), "" + bench.told);
    assertTrue(bench.kept.get(0).verdict() != Verdict.FAULTY);
  }

  @Test
  void aFrozenGaugeIsNamedAndNothingIsKeptOfIt() {
    for (Use frozen : List.of(Use.ELEMENT_DROP, Use.TEST_PRESSURE)) {
      Random random = new Random(SEED);
      Bench1 bench = new Bench1();
      bench.begin();
      for (int k = 0; k < 2400; k++) {
        double at = k * 0.05;
        double pressure = step(pressure(at, random), 0.1);
        double drop = step(0.4 * pressure * (1 + 0.004 * random.nextGaussian()), 0.1);
        boolean stands = at > 6 && at < 70;
        bench.frame(
            at,
            stands && frozen == Use.TEST_PRESSURE ? 6953.2 : pressure,
            stands && frozen == Use.ELEMENT_DROP ? 1.067 * DROP_PA : drop);
        if (at < 70) {
          assertEquals(List.of(), bench.kept, frozen.word());
        }
      }
      String gauge = "the gauge of the " + frozen.word().replace('_', ' ');
      assertTrue(bench.wasTold(OperatorMessage.Kind.FAULT, gauge), "" + bench.told);
      assertTrue(bench.wasTold(OperatorMessage.Kind.BROKEN_OFF, "moves again"), "" + bench.told);
      assertEquals(1, bench.kept.size(), frozen.word() + ": " + bench.told);
      assertEquals(
          bench.kept.get(0).flowM3PerS(),
          bench.replayed().get(0).flowM3PerS(),
          "to the last digit");
    }
  }

  /**
   * From the first reading of a rung on, also while nothing moves: a flow that is worked out has no
   * last decimal, and what is not known is not written as NaN.
   */
  @Test
  void nothingIsSaidInNumbersThatNobodyCanRead() {
    Pattern unreadable = Pattern.compile("NaN|Infinity|[0-9]e-?[0-9]");
    for (boolean frozen : new boolean[] {false, true}) {
      Random random = new Random(SEED);
      Bench1 bench = new Bench1();
      MessageWords words = new MessageWords(bench.files.plan);
      Set<String> reasons = new LinkedHashSet<>();
      bench.begin();
      for (int k = 0; k < 500; k++) {
        double pressure = step(pressure(k * 0.05, random), 0.1);
        double drop = step(0.4 * pressure * (1 + 0.004 * random.nextGaussian()), 0.1);
        boolean stands = frozen && k > 100;
        bench.frame(k * 0.05, stands ? 6953.2 : pressure, stands ? 1.067 * DROP_PA : drop);
        bench
            .acquisition
            .window()
            .map(RungWindow::judged)
            .ifPresent(
                judged -> {
                  assertTrue(Double.isFinite(judged.span().waitSeconds()), "" + judged);
                  reasons.addAll(judged.reasons());
                });
      }
      bench.told.forEach(message -> reasons.add(words.sentence(message)));
      reasons.forEach(said -> assertFalse(unreadable.matcher(said).find(), said));
      assertEquals(
          frozen, reasons.stream().anyMatch(said -> said.contains("stood still")), "" + reasons);
    }
  }

  @Test
  void aCoarseGaugeMayStandStill() {
    double quantum = 24.9; // 0.1 inH2O
    for (double noise : new double[] {1e-4, 1e-3, 3e-3}) {
      Random random = new Random(SEED);
      Bench1 bench = new Bench1();
      bench.begin();
      for (int k = 0; k < 600 && bench.kept.isEmpty(); k++) {
        double at = k * 0.2;
        double level = at < FEWEST ? 0 : AIM_PA;
        double pressure = step(level * (1 + noise * random.nextGaussian()), quantum);
        double drop = step(0.4 * level * (1 + noise * random.nextGaussian()), quantum);
        bench.frame(at, pressure, drop);
      }
      assertFalse(bench.wasTold(OperatorMessage.Kind.FAULT, "gauge of"), "" + bench.told);
      assertEquals(1, bench.kept.size(), noise + ": " + bench.told);
    }
  }

  /** Steps of 0.1 inH2O, told by the bench file: no stillness of theirs is remarkable by itself. */
  @Test
  void aCoarseDropGaugeThatFrozeBeforeTheTestIsNamedWhenTheTestPressureComes() {
    double quantum = 24.9;
    for (boolean frozen : new boolean[] {true, false}) {
      Random random = new Random(SEED);
      Bench1 bench = new Bench1(quantum);
      bench.begin();
      for (int k = 0; k < 500; k++) {
        double at = k * 0.2;
        double level = at < FEWEST ? 0 : AIM_PA;
        double pressure = step(level * (1 + 1e-4 * random.nextGaussian()), quantum);
        double drop = step(frozen ? DROP_PA : 0.4 * level, quantum);
        bench.frame(at, pressure, drop);
      }
      assertEquals(frozen ? 0 : 1, bench.kept.size(), "" + bench.told);
      assertEquals(
          frozen,
          bench.wasTold(OperatorMessage.Kind.FAULT, "the gauge of the element drop has shown"),
          "" + bench.told);
    }
  }

  /**
   * The pressure halts below its band for a second, the line stalls, the pressure goes on; all that
   * was read meanwhile arrives at one moment, five seconds later.
   */
  @Test
  void aStallOfTheLineIsNoRestOfThePressure() {
    Bench1 bench = new Bench1();
    bench.begin();
    for (int k = 0; k < 1200 && bench.kept.isEmpty(); k++) {
      double at = k * 0.05;
      double pressure =
          at < FEWEST
              ? 0
              : at < FEWEST + 1.8
                  ? 0.85 * AIM_PA
                  : AIM_PA * (1 - 0.15 * Math.exp(-(at - FEWEST - 1.8) / 0.3));
      boolean stalls = at > FEWEST + 1.4 && at < FEWEST + 6.4;
      double noise = 1 + 1e-3 * Math.sin(40 * at);
      double drop = 0.4 * pressure * (1 + 1e-3 * Math.sin(33 * at));
      bench.frame(stalls ? FEWEST + 6.4 : at, pressure * noise, drop);
    }
    assertFalse(
        bench.told.stream()
            .anyMatch(message -> message.kind() == OperatorMessage.Kind.SHORT_PRESSURE),
        "" + bench.told);
    assertTrue(
        bench.events.stream().anyMatch(event -> event.kind() == TestEvent.Kind.BEGUN),
        "averaging begins once it rests: " + bench.told);
  }

  @Test
  void aSegmentOfAnEarlierProgramIsReckonedByArrivals() {
    Bench1 bench =
        rung(
            Arrivals.even(2000, 0.05),
            Arrivals.late(Arrivals.even(2000, 0.05), 0.01, new Random(SEED)));
    double byStream = bench.replayed().get(0).flowM3PerS();
    bench.journal.removeIf(
        each -> each instanceof TestEvent event && event.kind() == TestEvent.Kind.RECKONED);
    double byArrival = bench.replayed().get(0).flowM3PerS();
    assertEquals(byStream, byArrival, 0.002 * byStream);
    assertTrue(byStream != byArrival);
  }
}
