package meniscus.core.pipeline;

import static meniscus.core.pipeline.HandFedBench.rung;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.time.LocalDate;
import java.util.ArrayList;
import java.util.EnumMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Random;
import java.util.function.Function;
import meniscus.core.bench.Accuracy;
import meniscus.core.bench.Bench;
import meniscus.core.bench.ElementPlace;
import meniscus.core.bench.Epoch;
import meniscus.core.bench.Identity;
import meniscus.core.bench.Instrument;
import meniscus.core.bench.Range;
import meniscus.core.bench.Site;
import meniscus.core.bench.Source;
import meniscus.core.bench.Upkeep;
import meniscus.core.bench.Use;
import meniscus.core.budget.FlowBudget;
import meniscus.core.budget.SmallBench;
import meniscus.core.flow.Direction;
import meniscus.core.flow.ReferenceState;
import meniscus.core.instrument.Channel;
import meniscus.core.lift.LiftPoint;
import meniscus.core.lift.Plan;
import meniscus.core.lift.TestCurve;
import meniscus.core.lift.TestEvent;
import meniscus.core.quantity.Unit;
import meniscus.core.quantity.UnitSystem;
import meniscus.core.steadiness.JudgeSettings;
import meniscus.core.steadiness.Verdict;
import meniscus.core.time.Moment;
import org.junit.jupiter.api.Test;

/** Lift tests in which a person reads a column, or both, and types what was read. */
class ReadByEyeTest {

  private static final Plan PLAN = HandFedBench.withoutDial(false, plan -> plan).plan;
  private static final MessageWords WORDS = new MessageWords(PLAN);
  private static final double AIM = HandFedBench.AIM_PA;
  private static final double STEP = 10;

  /** Which of the pressures is read by eye. */
  private enum Eye {
    BOTH,
    DROP,
    TEST_PRESSURE
  }

  private final List<Object> journal = new ArrayList<>();
  private final List<OperatorMessage> told = new ArrayList<>();
  private final List<LiftPoint> kept = new ArrayList<>();
  private LadderRun run;
  private Eye eye;
  private double seconds;

  // ------------------------------------------------------------------ both by eye

  @Test
  void aWholeLadderIsKeptFromTypedReadingsAlone() {
    start(Eye.BOTH, false);
    for (int rung = 1; rung <= 3; rung++) {
      typePressure(AIM, 0);
      typeDrop(400.0 * rung, 20);
      assertEquals(rung - 1, kept.size(), "nobody said keep");
      run.command(new Command.Keep(false));
      assertEquals(rung, kept.size());
    }
    assertTrue(run.finished());
    for (LiftPoint point : kept) {
      assertEquals(Verdict.BY_EYE, point.verdict());
      assertTrue(
          point.remarkSentences().get(0).contains("element drop and test pressure read by eye"));
      assertTrue(point.unsteadiness().isEmpty());
      assertFalse(point.doubtful(), "no second look would show more");
      assertTrue(TestCurve.trusted(point));
    }
    // Root law: four times the drop would be twice the flow; the element's air is all but the same.
    assertEquals(Math.sqrt(3), kept.get(2).flowM3PerS() / kept.get(0).flowM3PerS(), 0.005);
    assertReplaysToTheLastDigit();
  }

  @Test
  void handsFreeARungIsKeptOnceAllIsTyped() {
    start(Eye.BOTH, true);
    typeDrop(400, 20);
    assertEquals(
        "lift 2.000 mm (1 of 3): drop 400.00 Pa ± 20.00 Pa; still to be typed: depression",
        lastTold());
    typePressure(AIM, 0);
    assertEquals(List.of(1), rungs());
    typePressure(AIM, 0);
    assertEquals(List.of(1), rungs(), "the drop of the rung before says nothing of this one");
    typeDrop(500, 0);
    assertEquals(List.of(1, 2), rungs());
    assertReplaysToTheLastDigit();
  }

  @Test
  void theLastReadingOfAGaugeCounts() {
    start(Eye.BOTH, false);
    typePressure(AIM, 0);
    typeDrop(4000, 0);
    typeDrop(400, 0);
    run.command(new Command.Keep(false));
    start(Eye.BOTH, false);
    typePressure(AIM, 0);
    typeDrop(400, 0);
    run.command(new Command.Keep(false));
    assertEquals(kept.get(0).flowM3PerS(), kept.get(1).flowM3PerS());
  }

  @Test
  void aKeepBeforeTheReadingsWaitsForThem() {
    start(Eye.BOTH, false);
    run.command(new Command.Keep(false));
    typePressure(AIM, 0);
    assertEquals(List.of(), rungs());
    typeDrop(400, 0);
    assertEquals(List.of(1), rungs());
  }

  @Test
  void aPressureOutsideItsBandIsToldAndKeptOnlyWhenTheOperatorSaysThatTheBlowerGivesNoMore() {
    start(Eye.BOTH, false);
    typePressure(0.8 * AIM, 0);
    assertTrue(lastTold().contains("outside the band"), lastTold());
    typeDrop(400, 0);
    run.command(new Command.Keep(false));
    assertEquals(List.of(), rungs());
    run.command(new Command.Keep(true));
    assertEquals(List.of(1), rungs());
    assertFalse(kept.get(0).pressureAsAsked());
    assertReplaysToTheLastDigit();
  }

  @Test
  void aReadingThatTheGaugeCannotShowIsAskedForAgain() {
    start(Eye.BOTH, true);
    typePressure(AIM, 0);
    typeDrop(40_000, 0);
    assertTrue(lastTold().contains("drop is outside its gauge's range"), lastTold());
    assertEquals(List.of(), rungs());
    typeDrop(400, 0);
    assertEquals(List.of(1), rungs());
  }

  @Test
  void undoAndAnInterruptionAskForNewReadings() {
    start(Eye.BOTH, false);
    typePressure(AIM, 0);
    typeDrop(400, 0);
    run.command(new Command.Keep(false));
    run.command(new Command.Undo());
    assertTrue(lastTold().endsWith("type depression and drop"), lastTold());
    run.command(new Command.Keep(false));
    assertEquals(List.of(1), rungs(), "nothing was typed since");
    typePressure(AIM, 0);
    run.segment(at(3600), HandFedBench.STARTED.plusSeconds(3600));
    typeDrop(400, 0);
    assertEquals(List.of(1), rungs(), "the pressure is from before the interruption");
    typePressure(AIM, 0);
    run.command(new Command.Keep(false));
    assertEquals(List.of(1, 1), rungs());
    assertReplaysToTheLastDigit();
  }

  /**
   * Two columns that swing and are read to a graduation, against a Monte Carlo of JCGM 101:2008 in
   * which the truth lies anywhere in the rounding step (rectangular) and the reading anywhere on an
   * even swing (arc sine). Element, leak and air are left out of both.
   */
  @Test
  void theRepeatIntervalIsThatOfTheGumsMonteCarlo() {
    start(Eye.BOTH, false);
    typePressure(AIM, 140);
    typeDrop(800, 30);
    run.command(new Command.Keep(false));
    double flow = kept.get(0).flowM3PerS();
    long seed = 20261128;
    Random random = new Random(seed);
    int trials = 200_000;
    double square = 0;
    for (int i = 0; i < trials; i++) {
      double drop = 800 + 30 * arcSine(random) + STEP * (random.nextDouble() - 0.5);
      double pressure = AIM + 140 * arcSine(random) + STEP * (random.nextDouble() - 0.5);
      double share = Math.sqrt(drop / 800 * AIM / pressure) - 1;
      square += share * share;
    }
    double expected = 1.96 * Math.sqrt(square / trials);
    assertEquals(
        expected,
        kept.get(0).flowRepeatU95().orElseThrow() / flow,
        0.03 * expected,
        "seed " + seed + "; the element's upstream air moves a little with the test pressure");
  }

  private static double arcSine(Random random) {
    return Math.sin(2 * Math.PI * random.nextDouble());
  }

  // ------------------------------------------------------------------ one by eye

  @Test
  void oneColumnReadByEyeAndAGaugeThatStreamsMakeAPoint() {
    for (Eye which : List.of(Eye.DROP, Eye.TEST_PRESSURE)) {
      start(which, false);
      stream(3);
      assertEquals(0, begun(), "nothing was typed");
      if (which == Eye.DROP) {
        typeDrop(500, 0);
      } else {
        typePressure(AIM, 0);
      }
      run.command(new Command.Keep(false));
      stream(40);
      assertEquals(List.of(1), rungs(), which.toString());
      LiftPoint point = kept.get(0);
      assertEquals(Verdict.BY_EYE, point.verdict());
      assertTrue(point.remarkSentences().get(0).contains("read by eye"));
      assertTrue(point.average().seconds() > 1, "the gauge that streams is averaged");
      assertTrue(
          point.budget().stream().anyMatch(each -> each.source().endsWith(": read by eye")),
          point.budget().toString());
      stream(40);
      assertEquals(List.of(1), rungs(), "what was typed was for the rung before");
      assertReplaysToTheLastDigit();
    }
  }

  @Test
  void whenTheStreamedPressureLeavesItsBandTheColumnIsReadAnew() {
    start(Eye.DROP, true);
    stream(2);
    typeDrop(500, 0);
    stream(1);
    assertEquals(1, begun());
    pressure = 0.7 * AIM;
    stream(3);
    pressure = AIM;
    stream(10);
    assertEquals(1, begun());
    assertTrue(told.stream().anyMatch(each -> WORDS.sentence(each).endsWith("type drop")));
    typeDrop(500, 0);
    stream(40);
    assertEquals(List.of(1), rungs());
    assertReplaysToTheLastDigit();
  }

  @Test
  void aStuckGaugeBesideAColumnIsStillFaulty() {
    start(Eye.DROP, false);
    noise = 0;
    overload = true;
    typeDrop(500, 0);
    stream(5);
    assertEquals(List.of(), rungs());
  }

  // ------------------------------------------------------------------ the bench file

  @Test
  void aColumnWithoutAGraduationIsRefused() {
    IllegalArgumentException refused =
        assertThrows(IllegalArgumentException.class, () -> acquisition(Eye.BOTH, 0));
    assertTrue(refused.getMessage().contains("\"quantum\""), refused.getMessage());
  }

  // ------------------------------------------------------------------ the bench

  private double pressure = AIM;
  private double noise = 2;
  private boolean overload;
  private final Random random = new Random(5);

  private void start(Eye which, boolean handsFree) {
    eye = which;
    journal.clear();
    seconds = 0;
    run = new LadderRun(acquisition(eye, STEP), pointMaker(), PLAN, handsFree, new Log());
    if (which != Eye.BOTH) {
      kept.clear();
    }
    run.segment(at(0), HandFedBench.STARTED);
  }

  private Moment at(double later) {
    seconds += later;
    return Moment.ofSeconds(seconds);
  }

  private void typePressure(double pascals, double halfSwing) {
    feed(new Frame(0, at(1), new double[] {pascals, halfSwing, Double.NaN, Double.NaN}));
  }

  private void typeDrop(double pascals, double halfSwing) {
    feed(new Frame(0, at(1), new double[] {Double.NaN, Double.NaN, pascals, halfSwing}));
  }

  /** The gauge that streams, ten times a second. */
  private void stream(double forSeconds) {
    for (int i = 0; i < 10 * forSeconds && !run.finished(); i++) {
      double level = eye == Eye.DROP ? pressure : 500;
      double read = overload ? Frame.OVERLOAD : level + noise * random.nextGaussian();
      feed(new Frame(1, at(0.1), new double[] {read}));
    }
  }

  private void feed(Frame frame) {
    journal.add(frame);
    run.frame(frame);
  }

  private static Acquisition acquisition(Eye eye, double step) {
    Bench bench = bench(eye, step);
    return Acquisition.of(
        bench,
        bench.ranges().get(0),
        SmallBench.ELEMENT,
        Direction.SUCTION,
        List.of(
            List.of(
                new Channel("depression", Unit.PASCAL),
                new Channel("depression_half_swing", Unit.PASCAL),
                new Channel("drop", Unit.PASCAL),
                new Channel("drop_half_swing", Unit.PASCAL)),
            List.of(new Channel("gauge", Unit.PASCAL))),
        JudgeSettings.usual().withStabilitySeconds(2).withCapSeconds(30),
        reference());
  }

  private static Bench bench(Eye eye, double step) {
    Map<Use, Source> channels = new EnumMap<>(Use.class);
    Function<String, Source.Measured> column =
        name ->
            new Source.Measured("columns", name, -100, 9000, new Accuracy(0, 0, step), 0, false);
    Source.Measured gauge = HandFedBench.gauge("gauge", "gauge", -100, 9000);
    channels.put(Use.TEST_PRESSURE, eye == Eye.DROP ? gauge : column.apply("depression"));
    channels.put(Use.ROOM_TEMPERATURE, new Source.Typed(295, 0.5));
    channels.put(Use.ROOM_PRESSURE, new Source.Typed(100_000, 100));
    return new Bench(
        Identity.named("columns", ""),
        UnitSystem.METRIC,
        Site.UNKNOWN,
        ElementPlace.BLOWER_SIDE,
        Optional.empty(),
        List.of(
            new Instrument("columns", "made-up", Map.of("kind", "none")),
            new Instrument("gauge", "made-up", Map.of("kind", "none"))),
        channels,
        List.of(
            new Range(
                "main",
                SmallBench.ELEMENT,
                eye == Eye.TEST_PRESSURE ? gauge : column.apply("drop"))),
        Upkeep.none(new Epoch(1, LocalDate.of(2031, 5, 1), "new")));
  }

  private static ReferenceState reference() {
    return HandFedBench.reference(PLAN);
  }

  private PointMaker pointMaker() {
    FlowBudget budget = FlowBudget.of(bench(eye, STEP), Optional.empty(), Optional.empty(), PLAN);
    return new PointMaker(PLAN, "main", reference(), budget::contributions);
  }

  private final class Log implements RunLog {
    @Override
    public void event(TestEvent event) {
      journal.add(event);
    }

    @Override
    public void kept(TestEvent event, LiftPoint point) {
      journal.add(event);
      kept.add(point);
    }

    @Override
    public void told(OperatorMessage sentence) {
      told.add(sentence);
    }
  }

  private String lastTold() {
    return WORDS.sentence(told.get(told.size() - 1));
  }

  private List<Integer> rungs() {
    return kept.stream().map(LiftPoint::rung).toList();
  }

  private long begun() {
    return journal.stream()
        .filter(each -> each instanceof TestEvent event && event.kind() == TestEvent.Kind.BEGUN)
        .count();
  }

  private void assertReplaysToTheLastDigit() {
    Replay replay = new Replay(acquisition(eye, STEP), pointMaker(), PLAN);
    for (Object each : journal) {
      if (each instanceof Frame frame) {
        replay.row(frame);
      } else {
        replay.event((TestEvent) each);
      }
    }
    List<Double> live = run.points().stream().map(LiftPoint::flowM3PerS).toList();
    assertEquals(live, replay.points().stream().map(LiftPoint::flowM3PerS).toList());
    assertFalse(live.isEmpty());
  }
}
