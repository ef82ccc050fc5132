package meniscus.core.pipeline;

import java.time.Instant;
import java.time.LocalDate;
import java.util.ArrayList;
import java.util.EnumMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.SplittableRandom;
import java.util.function.UnaryOperator;
import meniscus.core.air.AirState;
import meniscus.core.bench.Accuracy;
import meniscus.core.bench.Bench;
import meniscus.core.bench.ElementPlace;
import meniscus.core.bench.Epoch;
import meniscus.core.bench.Identity;
import meniscus.core.bench.Instrument;
import meniscus.core.bench.PortFlow;
import meniscus.core.bench.Range;
import meniscus.core.bench.Site;
import meniscus.core.bench.Source;
import meniscus.core.bench.Upkeep;
import meniscus.core.bench.Use;
import meniscus.core.budget.SmallBench;
import meniscus.core.flow.Direction;
import meniscus.core.flow.ReferenceState;
import meniscus.core.instrument.Channel;
import meniscus.core.lift.InventedBench;
import meniscus.core.lift.LiftPoint;
import meniscus.core.lift.Plan;
import meniscus.core.lift.PortKind;
import meniscus.core.lift.Rung;
import meniscus.core.lift.ShortPressure;
import meniscus.core.lift.Sweep;
import meniscus.core.lift.TestEvent;
import meniscus.core.lift.TestSetUp;
import meniscus.core.quantity.Unit;
import meniscus.core.quantity.UnitSystem;
import meniscus.core.steadiness.CalmRecord;
import meniscus.core.steadiness.JudgeSettings;
import meniscus.core.time.Moment;

/**
 * A bench whose frames are made by hand: a manometer with both pressures, a dial, and air typed in.
 * What stands here is exactly what the test says; a run on it, and all that the run wrote down.
 */
final class HandFedBench {

  static final double AIM_PA = 7000;
  static final Instant STARTED = Instant.parse("2031-05-06T07:08:09Z");

  private static final double DROP_SHARE = 0.4;
  private static final double LARGEST_LIFT_M = 12e-3;

  /** A row or an event, in the order in which they were written down. */
  record Written(Optional<Frame> row, Optional<TestEvent> event) {}

  final Bench bench;
  final Plan plan;
  final List<Written> journal = new ArrayList<>();
  final List<OperatorMessage> told = new ArrayList<>();
  final List<LiftPoint> keptOverTheLine = new ArrayList<>();
  private final boolean handsFree;
  private final SplittableRandom random;
  private Optional<CalmRecord> calm = Optional.empty();
  private double stabilitySeconds = 2;
  private boolean bothWays;
  private LadderRun run;
  private long tick;
  private long rows;

  /** Readings a second; to be set before the first of them. */
  double rateHz = 20;

  double pressurePa;
  double liftM;
  double flowFactor = 1;
  double noise = 0.001;
  double driftPerSecond;
  double overloadShare;
  boolean manometerOn = true;
  double loudPa = 30;
  boolean boardOn = true;

  private HandFedBench(Bench bench, Plan plan, boolean handsFree, long seed) {
    this.bench = bench;
    this.plan = plan;
    this.handsFree = handsFree;
    this.random = new SplittableRandom(seed);
    this.run = newRun();
  }

  static HandFedBench withDial(boolean handsFree, UnaryOperator<Settings> changes) {
    return of(true, handsFree, changes);
  }

  static HandFedBench withoutDial(boolean handsFree, UnaryOperator<Settings> changes) {
    return of(false, handsFree, changes);
  }

  /** What of the plan differs from test to test. */
  record Settings(List<Rung> ladder, ShortPressure shortPressure, double longestSeconds) {
    Settings ladder(Rung... rungs) {
      return new Settings(List.of(rungs), shortPressure, longestSeconds);
    }

    Settings ladder(List<Rung> rungs) {
      return new Settings(rungs, shortPressure, longestSeconds);
    }

    Settings whenShort(ShortPressure what) {
      return new Settings(ladder, what, longestSeconds);
    }

    Settings longest(double seconds) {
      return new Settings(ladder, shortPressure, seconds);
    }
  }

  static Rung rung(int number, double liftMm) {
    return new Rung(number, liftMm * 1e-3, Sweep.OPENING, OptionalDouble.empty(), false);
  }

  private static HandFedBench of(boolean dial, boolean handsFree, UnaryOperator<Settings> changes) {
    Settings settings =
        changes.apply(
            new Settings(List.of(rung(1, 2), rung(2, 4), rung(3, 6)), ShortPressure.KEEP, 30));
    return new HandFedBench(bench(dial, Site.UNKNOWN), plan(settings), handsFree, 1);
  }

  /** A dial, and a thermometer of its own that says 295 K when it is fed. */
  static HandFedBench withThermometer(UnaryOperator<Settings> changes) {
    HandFedBench typed = withDial(true, changes);
    Map<Use, Source> channels = new EnumMap<>(typed.bench.channels());
    channels.put(Use.ROOM_TEMPERATURE, gauge("thermometer", "temperature", 200, 400));
    Bench bench = typed.bench;
    return new HandFedBench(
        new Bench(
            bench.identity(),
            bench.units(),
            bench.site(),
            bench.layout(),
            bench.plenum(),
            bench.instruments(),
            channels,
            bench.ranges(),
            bench.upkeep()),
        typed.plan,
        true,
        1);
  }

  /** A dial, and a board with a wall tap a thousand times a second and a swirl meter of no use. */
  static HandFedBench withBoard(UnaryOperator<Settings> changes) {
    return withBoard(Use.FLUCTUATION, changes);
  }

  /**
   * @param tap what the tap is used for
   */
  static HandFedBench withBoard(Use tap, UnaryOperator<Settings> changes) {
    HandFedBench plain = withDial(true, changes);
    Bench bench = plain.bench;
    Map<Use, Source> channels = new EnumMap<>(bench.channels());
    channels.put(tap, gauge("board", "tap", -10_000, 10_000));
    List<Instrument> instruments = new ArrayList<>(bench.instruments());
    instruments.add(new Instrument("board", "made-up", Map.of("kind", "none")));
    return new HandFedBench(
        new Bench(
            bench.identity(),
            bench.units(),
            bench.site(),
            bench.layout(),
            bench.plenum(),
            instruments,
            channels,
            bench.ranges(),
            bench.upkeep()),
        plain.plan,
        true,
        1);
  }

  private void board() {
    for (int i = 0; i < 1000 / rateHz; i++) {
      Moment at = now().plusSeconds(i * 1e-3);
      feed(new Frame(3, at, new double[] {loudPa * random.nextGaussian(), 0.25}));
    }
  }

  /** The thermometer speaks. */
  HandFedBench warm() {
    feed(new Frame(2, now(), new double[] {295}));
    return this;
  }

  static Bench bench(boolean dial, Site site) {
    Map<Use, Source> channels = new EnumMap<>(Use.class);
    channels.put(Use.TEST_PRESSURE, gauge("manometer", "depression", -100, 20_000));
    channels.put(Use.ROOM_TEMPERATURE, new Source.Typed(295, 0.5));
    channels.put(Use.ROOM_PRESSURE, new Source.Typed(100_000, 100));
    if (dial) {
      channels.put(Use.LIFT, gauge("dial", "lift", -1e-3, 26e-3));
    }
    return new Bench(
        Identity.named("hand-fed", ""),
        UnitSystem.METRIC,
        site,
        ElementPlace.BLOWER_SIDE,
        Optional.empty(),
        List.of(
            new Instrument("manometer", "made-up", Map.of("kind", "none")),
            new Instrument("dial", "made-up", Map.of("kind", "none")),
            new Instrument("thermometer", "made-up", Map.of("kind", "none"))),
        channels,
        List.of(new Range("main", SmallBench.ELEMENT, gauge("manometer", "drop", -100, 10_000))),
        Upkeep.none(new Epoch(1, LocalDate.of(2031, 5, 1), "new")));
  }

  static Source.Measured gauge(String instrument, String channel, double low, double high) {
    return new Source.Measured(instrument, channel, low, high, new Accuracy(0, 0, 0), 0, false);
  }

  static final List<List<Channel>> CHANNELS =
      List.of(
          List.of(new Channel("depression", Unit.PASCAL), new Channel("drop", Unit.PASCAL)),
          List.of(new Channel("lift", Unit.METRE)),
          List.of(new Channel("temperature", Unit.KELVIN)));

  private static final List<Channel> BOARD =
      List.of(new Channel("tap", Unit.PASCAL), new Channel("swirl", Unit.ONE));

  private List<List<Channel>> channels() {
    List<List<Channel>> all = new ArrayList<>(CHANNELS);
    if (bench.instruments().size() > CHANNELS.size()) {
      all.add(BOARD);
    }
    return all;
  }

  private static Plan plan(Settings settings) {
    return new Plan(
        new Plan.Subject(
            new Plan.Part("made-up head", "", "1", "", ""), PortKind.INTAKE, List.of()),
        new TestSetUp(
            InventedBench.oneValve(0.045),
            OptionalDouble.empty(),
            Optional.empty(),
            new TestSetUp.Fitted("bare", "bare", ""),
            new TestSetUp.Indicator("retainer", OptionalDouble.empty())),
        new Plan.Aim(Direction.SUCTION, AIM_PA, 0.05, settings.shortPressure()),
        settings.ladder(),
        new Plan.Keeping(0.05e-3, 0.005, settings.longestSeconds()),
        Optional.empty(),
        new Plan.Shown(
            new Plan.Units(Unit.MILLIMETRE, Unit.LITRE_PER_SECOND, Unit.PASCAL),
            new Plan.Reference(293.15, 101_325, 0, AIM_PA)));
  }

  static ReferenceState reference(Plan plan) {
    return new ReferenceState(new AirState(293.15, 101_325, 0), plan.testPressurePa());
  }

  /** The same bench with plates read for a calm record. */
  HandFedBench withCalm(CalmRecord record) {
    calm = Optional.of(record);
    run = newRun();
    return this;
  }

  /** The same bench, and it can blow. */
  HandFedBench bothWays() {
    bothWays = true;
    run = newRun();
    return this;
  }

  /** The same bench with verdicts on as much time as everywhere. */
  HandFedBench judgedAsUsual() {
    stabilitySeconds = JudgeSettings.usual().stabilitySeconds();
    run = newRun();
    return this;
  }

  Acquisition newAcquisition() {
    JudgeSettings settings =
        JudgeSettings.usual()
            .withStabilitySeconds(stabilitySeconds)
            .withCapSeconds(plan.longestSeconds());
    Acquisition path = acquisition(settings);
    PortFlow blown =
        new PortFlow(
            SmallBench.ELEMENT,
            bench.layout(),
            Direction.BLOWING,
            Optional.empty(),
            Optional.empty());
    return bothWays ? path.withOtherWay(blown, () -> settings) : path;
  }

  private Acquisition acquisition(JudgeSettings settings) {
    return Acquisition.of(
        bench,
        bench.ranges().get(0),
        SmallBench.ELEMENT,
        Direction.SUCTION,
        channels(),
        calm.map(settings::withCalm).orElse(settings),
        reference(plan));
  }

  PointMaker newPointMaker() {
    return new PointMaker(plan, "main", reference(plan), means -> List.of());
  }

  private LadderRun newRun() {
    return new LadderRun(newAcquisition(), newPointMaker(), plan, handsFree, new Log());
  }

  private final class Log implements RunLog {
    @Override
    public void event(TestEvent event) {
      journal.add(new Written(Optional.empty(), Optional.of(event)));
    }

    @Override
    public void kept(TestEvent event, LiftPoint point) {
      journal.add(new Written(Optional.empty(), Optional.of(event)));
      keptOverTheLine.add(point);
    }

    @Override
    public void told(OperatorMessage sentence) {
      told.add(sentence);
    }
  }

  // ------------------------------------------------------------------ what a test does

  LadderRun run() {
    return run;
  }

  HandFedBench start() {
    run.segment(now(), STARTED);
    return this;
  }

  /** The program died and is started again; everything written down was safe. */
  void interruptAndResume(double gapSeconds) {
    Replay left = replay();
    List<TestEvent> events = events();
    run = newRun();
    tick += Math.round(gapSeconds * rateHz);
    run.takeUp(left.points(), left.skipped(), events, rows);
    run.segment(now(), STARTED.plusSeconds(tick));
  }

  Moment now() {
    return Moment.ofSeconds(tick / rateHz);
  }

  HandFedBench blower(double pascals) {
    pressurePa = pascals;
    return this;
  }

  HandFedBench lift(double millimetres) {
    liftM = millimetres * 1e-3;
    return this;
  }

  /** Lets time pass with everything as it is. */
  HandFedBench hold(double seconds) {
    for (long until = tick + Math.round(seconds * rateHz); tick < until; tick++) {
      frames();
    }
    return this;
  }

  /** Waits until a rung more is kept, for as long as a rung may take and a little more. */
  boolean holdUntilKept() {
    int before = keptOverTheLine.size();
    for (int i = 0; i < (plan.longestSeconds() + 8) * rateHz; i++) {
      hold(1 / rateHz);
      if (keptOverTheLine.size() > before) {
        return true;
      }
    }
    return false;
  }

  private void frames() {
    double drift = 1 + driftPerSecond * (tick / rateHz);
    double open = Math.min(liftM, LARGEST_LIFT_M) / LARGEST_LIFT_M;
    double drop =
        DROP_SHARE
            * pressurePa
            * Math.pow(open * flowFactor * drift, 2)
            * (1 + noise * random.nextGaussian());
    if (random.nextDouble() < overloadShare) {
      drop = Frame.OVERLOAD;
    }
    if (manometerOn) {
      feed(new Frame(0, now(), new double[] {pressurePa, drop}));
    }
    if (bench.channels().containsKey(Use.LIFT)) {
      feed(new Frame(1, now(), new double[] {liftM}));
    }
    if (boardOn && bench.fastUse().isPresent()) {
      board();
    }
  }

  void feed(Frame frame) {
    rows++;
    journal.add(new Written(Optional.of(frame), Optional.empty()));
    run.frame(frame);
  }

  // ------------------------------------------------------------------ what came of it

  List<Integer> keptRungs() {
    return run.points().stream().map(LiftPoint::rung).toList();
  }

  List<TestEvent> events() {
    return journal.stream().flatMap(written -> written.event().stream()).toList();
  }

  long count(TestEvent.Kind kind) {
    return events().stream().filter(event -> event.kind() == kind).count();
  }

  /** What was told first of a kind, as the operator reads it. */
  String told(OperatorMessage.Kind kind) {
    return told.stream()
        .filter(message -> message.kind() == kind)
        .findFirst()
        .map(new MessageWords(plan)::sentence)
        .orElseThrow();
  }

  boolean wasTold(OperatorMessage.Kind kind) {
    return told.stream().anyMatch(sentence -> sentence.kind() == kind);
  }

  /** Works out again all that was written down so far. */
  Replay replay() {
    Replay replay = new Replay(newAcquisition(), newPointMaker(), plan);
    for (Written written : journal) {
      written.row().ifPresent(replay::row);
      written.event().ifPresent(replay::event);
    }
    return replay;
  }
}
