package meniscus.core.pipeline;

import java.nio.ByteBuffer;
import java.util.ArrayDeque;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.Deque;
import java.util.EnumMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.function.Consumer;
import java.util.stream.IntStream;
import java.util.stream.Stream;
import meniscus.core.air.AirState;
import meniscus.core.bench.Bench;
import meniscus.core.bench.FlowElement;
import meniscus.core.bench.PortFlow;
import meniscus.core.bench.PortFlow.Surroundings;
import meniscus.core.bench.Range;
import meniscus.core.bench.Source;
import meniscus.core.bench.Use;
import meniscus.core.flow.Direction;
import meniscus.core.flow.ReferenceState;
import meniscus.core.instrument.Channel;
import meniscus.core.instrument.Decoder;
import meniscus.core.instrument.Next;
import meniscus.core.instrument.Rejected;
import meniscus.core.instrument.Sink;
import meniscus.core.lift.Remark;
import meniscus.core.quantity.Unit;
import meniscus.core.refusal.Refusal;
import meniscus.core.steadiness.JudgeSettings;
import meniscus.core.time.Moment;

/**
 * The main path: bytes → readings → frames → quantities → aligned pairs → flow samples → window →
 * lift point. A pure fold: the same bytes, cut anywhere, give the same lift points.
 *
 * <ol>
 *   <li>{@link FrameDecoder} turns the bytes of one line into {@link Frame}s (one tap an
 *       instrument, which may live on that line's own thread);
 *   <li>{@link #accept} takes every frame, in order of arrival: zero and sign give quantities;
 *   <li>{@link #pair} brings drop and test pressure to one moment, by interpolation where two
 *       instruments give them;
 *   <li>{@link #flowSample} works out the port's effective area of that moment: the flow is
 *       averaged, not the pressure;
 *   <li>{@link RungWindow} averages the samples of a rung, with an honest interval and a verdict.
 * </ol>
 */
public final class Acquisition {

  /** The test pressure's rate of change is taken over this long [s]. */
  private static final double RATE_SPAN_SECONDS = 0.1;

  /** What is shown live is the flow samples of this long [s]. */
  private static final double LIVE_SPAN_SECONDS = 0.04;

  private static final double[] NO_PRESSURE = {Double.NaN, Double.NaN};

  /** Readings that wait for one of the other gauge; more than this and that gauge is gone. */
  private static final int LONGEST_WAIT = 2000;

  /** Uses whose readings are ordered by when they were taken. */
  private static final Use[] CLOCKED = {Use.ELEMENT_DROP, Use.TEST_PRESSURE, Use.LIFT};

  private static final Use[] AIR_USES = {
    Use.ROOM_TEMPERATURE,
    Use.ROOM_PRESSURE,
    Use.ROOM_HUMIDITY,
    Use.PLENUM_TEMPERATURE,
    Use.ELEMENT_TEMPERATURE
  };

  /** Slow stations speak once in some seconds; one that is silent for longer has gone [s]. */
  private static final double LONGEST_AIR_SILENCE = 60;

  /** What has been read less often than this is typed now and then, and never goes silent. */
  private static final int SPEAKS_BY_ITSELF = 3;

  /** The air is worked out anew when a reading moved by more than these [K, Pa, 1, K, K]. */
  private static final double[] AIR_STEPS = {0.02, 5, 0.005, 0.02, 0.02};

  private final Wiring wiring;
  private final SideChannels side;
  private final List<List<Channel>> channels;

  /** By instrument. */
  private final Wiring.Feed[][] fedBy;

  private final PortFlow portFlow;
  private final RungWindow.Rules rules;
  private final Bench bench;
  private final double[] latest = new double[Use.values().length];
  private final double[] swings = new double[Use.values().length];
  private final double[] latestSeconds = new double[Use.values().length];
  private final int[] timesRead = new int[Use.values().length];
  private final boolean[] lost = new boolean[Use.values().length];

  /** Which of drop and test pressure a person reads. */
  private final List<Use> pressuresByEye;

  private final Deque<double[]> drops = new ArrayDeque<>();
  private final Map<Use, ReadingClock> clocks = new EnumMap<>(Use.class);
  private final double[] sampled = new double[Use.values().length];

  /** By instrument, where its frames say which sample they are; −1 where they do not. */
  private final int[] indexColumns;

  private final double[] indices = new double[Use.values().length];
  private final Map<Use, FrozenWatch> frozenWatches = new EnumMap<>(Use.class);
  private Reckoning reckoning = Reckoning.BY_STREAM;
  private final Recent pressureTrace = new Recent(RATE_SPAN_SECONDS);
  private final Recent areaTrace = new Recent(LIVE_SPAN_SECONDS);
  private final Deque<double[]> pressures = new ArrayDeque<>();
  private double[] pressureBefore = NO_PRESSURE;
  private final double[] airInputs = new double[AIR_USES.length];
  private Surroundings air;
  private Optional<RungWindow> window = Optional.empty();

  /**
   * @param bench for the values typed in
   * @param portFlow with the calibrated element, leakage and plenum of this direction and range
   * @param wiring of the bench's channels
   * @param channels of each instrument
   * @param rules how a window is averaged and judged
   */
  Acquisition(
      Bench bench,
      PortFlow portFlow,
      Wiring wiring,
      List<List<Channel>> channels,
      RungWindow.Rules rules) {
    this.portFlow = portFlow;
    this.wiring = wiring;
    this.side = new SideChannels(bench, wiring, channels);
    this.channels = channels;
    this.indexColumns =
        channels.stream()
            .mapToInt(all -> all.stream().map(Channel::name).toList().indexOf(Channel.SAMPLE_INDEX))
            .toArray();
    this.bench = bench;
    this.fedBy =
        IntStream.range(0, bench.instruments().size())
            .mapToObj(wiring::fedBy)
            .toArray(Wiring.Feed[][]::new);
    this.pressuresByEye =
        Stream.of(Use.ELEMENT_DROP, Use.TEST_PRESSURE).filter(this::byEye).toList();
    this.rules = pressuresByEye.isEmpty() ? rules : rules.withoutCalm();
    restart();
  }

  /**
   * The path of one bench, range and direction, at its beginning.
   *
   * @param element calibrated, of that range
   * @param channels of each instrument, in the bench's order
   * @param judge target, cap, calm record
   * @param reference that flows are reported for
   * @throws Refusal when the bench names a channel that its instrument has not
   */
  public static Acquisition of(
      Bench bench,
      Range range,
      FlowElement element,
      Direction direction,
      List<List<Channel>> channels,
      JudgeSettings judge,
      ReferenceState reference) {
    return new Acquisition(
        bench,
        new PortFlow(
            element, bench.layout(), direction, bench.upkeep().leakage(direction), bench.plenum()),
        Wiring.of(bench, range, channels),
        channels,
        new RungWindow.Rules(judge, reference));
  }

  // ---------------------------------------------------------------- 1. bytes → readings → frames

  /** The first half of the path, for one instrument: feeds its decoder and gathers its frames. */
  public static final class FrameDecoder implements Sink {

    private final int instrument;
    private final Decoder decoder;
    private final List<Channel> channels;
    private final Consumer<Frame> frames;
    private final Consumer<Rejected> rejects;
    private double[] row;

    /**
     * @param instrument index in the bench
     * @param channels of it
     * @param decoder of its line
     * @param frames takes each complete frame
     * @param rejects takes what could not be read
     */
    public FrameDecoder(
        int instrument,
        List<Channel> channels,
        Decoder decoder,
        Consumer<Frame> frames,
        Consumer<Rejected> rejects) {
      this.instrument = instrument;
      this.channels = List.copyOf(channels);
      this.decoder = decoder;
      this.frames = frames;
      this.rejects = rejects;
      this.row = emptyRow();
    }

    public Next opened(Moment at) {
      return decoder.opened(at);
    }

    public Next bytes(Moment at, ByteBuffer buffer) {
      return decoder.bytes(at, buffer, this);
    }

    public Next tick(Moment at) {
      return decoder.tick(at, this);
    }

    public void lost(Moment at) {
      decoder.lost(at);
      row = emptyRow();
    }

    @Override
    public void reading(int channel, double value, Moment moment) {
      row[channel] =
          Double.isFinite(value) ? channels.get(channel).unit().toSi(value) : Frame.OVERLOAD;
    }

    @Override
    public void frame(Moment moment) {
      if (isEmpty(row)) {
        return;
      }
      Frame complete = new Frame(instrument, moment, row);
      row = emptyRow();
      frames.accept(complete);
    }

    @Override
    public void rejected(Rejected rejected) {
      rejects.accept(rejected);
    }

    private static boolean isEmpty(double[] row) {
      for (double value : row) {
        if (!Double.isNaN(value)) {
          return false;
        }
      }
      return true;
    }

    private double[] emptyRow() {
      double[] values = new double[channels.size()];
      Arrays.fill(values, Double.NaN);
      return values;
    }
  }

  // ---------------------------------------------------------------- 2. frames → quantities

  /** Takes the next frame; moments never fall. */
  public void accept(Frame frame) {
    double seconds = frame.moment().seconds();
    for (Wiring.Feed fed : fedBy[frame.instrument()]) {
      int use = fed.use().ordinal();
      if (fed.tap().feeds(frame)) {
        latest[use] = fed.tap().quantity(frame.valuesSi()[fed.tap().column()]);
        latestSeconds[use] = seconds;
        timesRead[use]++;
        lost[use] = false;
        sampled[use] = sampled(fed.use(), seconds, frame);
        FrozenWatch frozen = frozenWatches.get(fed.use());
        if (frozen != null) {
          frozen.reading(seconds, frame.valuesSi()[fed.tap().column()], latest[use]);
        }
      }
      if (fed.halfSwing().isPresent() && fed.halfSwing().get().feeds(frame)) {
        Wiring.ChannelInput swing = fed.halfSwing().get();
        swings[use] = swing.quantity(frame.valuesSi()[swing.column()]);
      }
    }
    if (window.isPresent()) {
      side.accept(frame, sampledSeconds(Use.FLUCTUATION));
    }
    if (pressuresByEye.size() == 1) {
      besideTyped(frame, seconds);
    } else if (pressuresByEye.isEmpty()) {
      pairs(frame, seconds);
    }
    if (feeds(frame, Use.LIFT)) {
      window.ifPresent(open -> open.lift(seconds, latest(Use.LIFT)));
    }
  }

  /** When a reading that has just arrived was taken [s]. */
  private double sampled(Use use, double arrival, Frame frame) {
    ReadingClock clock = clocks.get(use);
    return clock == null ? arrival : clock.sampled(arrival, steps(use, frame));
  }

  /** How many samples further a reading is than the one before, by the instrument's own count. */
  private long steps(Use use, Frame frame) {
    int column = indexColumns[frame.instrument()];
    double index = column < 0 ? Double.NaN : frame.valuesSi()[column];
    double before = indices[use.ordinal()];
    indices[use.ordinal()] = index;
    return index > before ? Math.round(index - before) : 1;
  }

  private void pairs(Frame frame, double seconds) {
    boolean drop = feeds(frame, Use.ELEMENT_DROP);
    if (drop) {
      drops.add(new double[] {sampledSeconds(Use.ELEMENT_DROP), latest(Use.ELEMENT_DROP)});
      if (drops.size() > LONGEST_WAIT) {
        drops.removeFirst();
      }
      pair();
    }
    if (feeds(frame, Use.TEST_PRESSURE)) {
      if (drop) {
        // Two readings of one frame are of one moment, whatever each clock makes of it.
        sampled[Use.TEST_PRESSURE.ordinal()] =
            Math.max(newestPressureSeconds(), sampledSeconds(Use.ELEMENT_DROP));
      }
      pressures.add(new double[] {sampledSeconds(Use.TEST_PRESSURE), latest(Use.TEST_PRESSURE)});
      if (pressures.size() > LONGEST_WAIT) {
        pressureBefore = pressures.removeFirst();
      }
      pair();
    }
  }

  private double newestPressureSeconds() {
    double[] newest = pressures.isEmpty() ? pressureBefore : pressures.peekLast();
    return Double.isNaN(newest[0]) ? Double.NEGATIVE_INFINITY : newest[0];
  }

  /** What was typed stands while the other gauge is read; how old it is counts. */
  private void besideTyped(Frame frame, double seconds) {
    Use typed = pressuresByEye.get(0);
    Use read = typed == Use.ELEMENT_DROP ? Use.TEST_PRESSURE : Use.ELEMENT_DROP;
    if (feeds(frame, read)) {
      flowSample(
          sampledSeconds(read),
          latest(Use.ELEMENT_DROP),
          latest(Use.TEST_PRESSURE),
          seconds - latestSeconds(typed));
    }
  }

  /** True when a frame brings a reading of this use. */
  boolean feeds(Frame frame, Use use) {
    Wiring.ChannelInput tap = wiring.taps().get(use);
    return tap != null && tap.feeds(frame);
  }

  // ---------------------------------------------------------------- 3. aligned pairs

  /**
   * True when two instruments give drop and test pressure: their clocks must be brought together.
   */
  private boolean twoClocks() {
    return wiring.taps().get(Use.ELEMENT_DROP).instrument()
        != wiring.taps().get(Use.TEST_PRESSURE).instrument();
  }

  /** How well the moments of drop and test pressure are known against each other [s]. */
  private double alignmentSeconds() {
    return twoClocks()
        ? Math.hypot(
            clocks.get(Use.ELEMENT_DROP).standardUncertaintySeconds(),
            clocks.get(Use.TEST_PRESSURE).standardUncertaintySeconds())
        : 0;
  }

  /** Each drop gets the pressure of its own moment, once the pressures around it are known. */
  private void pair() {
    while (!drops.isEmpty()) {
      double at = drops.peekFirst()[0];
      while (!pressures.isEmpty() && pressures.peekFirst()[0] <= at) {
        pressureBefore = pressures.removeFirst();
      }
      if (pressureBefore[0] != at && pressures.isEmpty()) {
        return;
      }
      double dropPa = drops.removeFirst()[1];
      if (pressureBefore[0] == at) {
        flowSample(at, dropPa, pressureBefore[1], alignmentSeconds());
      } else if (pressureBefore[0] < at) {
        double[] after = pressures.peekFirst();
        double share = (at - pressureBefore[0]) / (after[0] - pressureBefore[0]);
        double pressurePa = pressureBefore[1] + share * (after[1] - pressureBefore[1]);
        flowSample(at, dropPa, pressurePa, alignmentSeconds());
      }
    }
  }

  // ---------------------------------------------------------------- 4. flow samples

  /**
   * @param alignmentSeconds how well the moments of the two are known against each other [s]
   */
  private void flowSample(
      double seconds, double dropPa, double pressurePa, double alignmentSeconds) {
    if (Double.isFinite(pressurePa)) {
      pressureTrace.add(seconds, pressurePa);
    }
    Optional<RungWindow> window = this.window.filter(open -> reckoning.belongs(seconds, open));
    if (!Double.isFinite(dropPa) || !(pressurePa > 0) || !roomKnown()) {
      window.ifPresent(open -> open.dropped(seconds));
      return;
    }
    Surroundings now = surroundings();
    double rate = byEye(Use.TEST_PRESSURE) ? 0 : pressureTrace.rate(leastStepSeconds());
    double massFlow = portFlow.massFlow(dropPa, pressurePa, rate, now);
    double area = portFlow.effectiveArea(massFlow, pressurePa, now);
    if (pressuresByEye.isEmpty() || window.isPresent()) {
      areaTrace.add(seconds, area);
    }
    window.ifPresent(
        open -> {
          if (byEye(Use.LIFT)) {
            open.lift(seconds, latest(Use.LIFT));
          }
          step(Use.ELEMENT_DROP, dropPa)
              .ifPresent(
                  drop ->
                      step(Use.TEST_PRESSURE, pressurePa)
                          .ifPresent(
                              pressure ->
                                  open.quantum(0.5 * Math.abs(area) * Math.max(drop, pressure))));
          open.sample(seconds, area, dropPa, pressurePa, rate, now);
          open.aligned(alignmentSeconds);
          open.swing(swings[Use.ELEMENT_DROP.ordinal()], swings[Use.TEST_PRESSURE.ordinal()]);
        });
  }

  /** Smallest step of a gauge over what it shows [1]; the flow goes by the root of both. */
  private OptionalDouble step(Use use, double pascals) {
    FrozenWatch gauge = frozenWatches.get(use);
    return gauge == null ? OptionalDouble.empty() : optional(gauge.quantum() / Math.abs(pascals));
  }

  /** Over times of arrival a rate would be that of the line, not of the air: see the clock's. */
  private double leastStepSeconds() {
    double ofPressure = clocks.get(Use.TEST_PRESSURE).leastStepSeconds();
    ReadingClock drop = clocks.get(Use.ELEMENT_DROP);
    return drop == null || Double.isInfinite(ofPressure) ? ofPressure : drop.leastStepSeconds();
  }

  /** True once temperature and pressure of the room have been read or are typed in. */
  public boolean roomKnown() {
    return Double.isFinite(latest(Use.ROOM_TEMPERATURE) + latest(Use.ROOM_PRESSURE));
  }

  /** The air around the bench, worked out anew only when a reading has moved. */
  private Surroundings surroundings() {
    double moved = 0;
    for (int i = 0; i < AIR_USES.length; i++) {
      double value = latest(AIR_USES[i]);
      if (Double.isFinite(value) || Double.isFinite(airInputs[i])) {
        moved = Math.max(moved, Math.abs(value - airInputs[i]) / AIR_STEPS[i]);
      }
    }
    if (air == null || !(moved <= 1)) {
      for (int i = 0; i < AIR_USES.length; i++) {
        airInputs[i] = latest(AIR_USES[i]);
      }
      air =
          portFlow.surroundings(
              new AirState(
                  airInputs[0], bench.site().stationPa(airInputs[1]), humidity(airInputs[2])),
              optional(airInputs[3]),
              optional(airInputs[4]));
    }
    return air;
  }

  /** Without a hygrometer the middle is taken; the budget counts 0 to 100 %. */
  private static double humidity(double read) {
    return Double.isFinite(read) ? Math.min(1, Math.max(0, read)) : 0.5;
  }

  private static OptionalDouble optional(double value) {
    return Double.isFinite(value) ? OptionalDouble.of(value) : OptionalDouble.empty();
  }

  /**
   * An instrument was lost. One that tells of the air alone, or of nothing that is used, is done
   * without: its last readings stand, and the points say so.
   *
   * @param id of the instrument; another name is of something that no flow can do without
   * @return whether flows go on without it
   */
  boolean goesOnWithout(String id) {
    boolean known = bench.instruments().stream().anyMatch(each -> each.id().equals(id));
    List<Use> uses = wiring.usesOf(bench, id);
    boolean needless = uses.stream().allMatch(use -> use.besideTheFlow() || isOfAir(use));
    if (!known || !needless) {
      return false;
    }
    uses.forEach(use -> lost[use.ordinal()] = true);
    return true;
  }

  private static boolean isOfAir(Use use) {
    return List.of(AIR_USES).contains(use);
  }

  /** Which readings of the air have gone silent: the last ones are used on. */
  private List<Remark> silent(Moment at) {
    List<Remark> gone = new ArrayList<>();
    for (Use use : AIR_USES) {
      double seconds = at.seconds() - latestSeconds(use);
      boolean silent =
          !byEye(use)
              && timesRead[use.ordinal()] >= SPEAKS_BY_ITSELF
              && seconds > LONGEST_AIR_SILENCE;
      if (silent || lost[use.ordinal()]) {
        gone.add(Remark.about(Remark.Kind.AIR_MISSING, use.words(), seconds));
      }
    }
    return gone;
  }

  /** A gauge of a pressure that stands still and should not, in words; empty when there is none. */
  private String frozen() {
    return frozenWatches.values().stream()
        .map(FrozenWatch::frozen)
        .filter(words -> !words.isEmpty())
        .findFirst()
        .orElse("");
  }

  // ---------------------------------------------------------------- 5. the window of a rung

  /** {@link #restart(Reckoning)} as tests are reckoned now. */
  public void restart() {
    restart(Reckoning.BY_STREAM);
  }

  /**
   * Forgets all that was read, as after an interruption; typed values stay.
   *
   * @param by how the readings from here on become flow samples
   */
  void restart(Reckoning by) {
    end();
    drops.clear();
    reckoning = by;
    clocks.clear();
    frozenWatches.clear();
    for (Use use : CLOCKED) {
      if (wiring.taps().containsKey(use) && !byEye(use)) {
        clocks.put(use, by.clock(use != Use.LIFT && pressuresByEye.isEmpty() && twoClocks()));
        if (by == Reckoning.BY_STREAM && use != Use.LIFT) {
          Wiring.ChannelInput tap = wiring.taps().get(use);
          Unit unit = channels.get(tap.instrument()).get(tap.column()).unit();
          frozenWatches.put(use, new FrozenWatch(use, unit, tap.quantumSi()));
        }
      }
    }
    if (wiring.taps().containsKey(Use.FLUCTUATION)) {
      clocks.put(Use.FLUCTUATION, ReadingClock.ofStream());
    }
    side.begin();
    pressureTrace.clear();
    areaTrace.clear();
    pressures.clear();
    pressureBefore = NO_PRESSURE;
    air = null;
    Arrays.fill(latest, Double.NaN);
    Arrays.fill(swings, 0);
    Arrays.fill(latestSeconds, Double.NEGATIVE_INFINITY);
    Arrays.fill(sampled, Double.NEGATIVE_INFINITY);
    Arrays.fill(indices, Double.NaN);
    Arrays.fill(timesRead, 0);
    Arrays.fill(lost, false);
    for (Use use : AIR_USES) {
      latest[use.ordinal()] =
          bench
              .source(use)
              .map(source -> source.fold(gauge -> Double.NaN, Source.Typed::valueSi))
              .orElse(Double.NaN);
    }
  }

  /**
   * Opens a window: samples from here on belong to a rung, and what a person has read last. An open
   * window is dropped.
   */
  public RungWindow begin(Moment at) {
    air = null; // Nothing from before the window may move its last digit.
    RungWindow opened =
        new RungWindow(rules, at, this::silent, this::frozen, pressuresByEye, side::besides);
    side.begin();
    window = Optional.of(opened);
    if (pressuresByEye.size() == 2) {
      flowSample(at.seconds(), latest(Use.ELEMENT_DROP), latest(Use.TEST_PRESSURE), 0);
    }
    return opened;
  }

  /** Closes the window, if one is open. */
  public void end() {
    window = Optional.empty();
  }

  public Optional<RungWindow> window() {
    return window;
  }

  /** The newest effective areas of the port, window or not: to be shown, not to be kept. */
  Recent areaTrace() {
    return areaTrace;
  }

  /** The newest quantity of a use [SI]; NaN when there is none or it is out of range. */
  public double latest(Use use) {
    return latest[use.ordinal()];
  }

  /** When it arrived [s]; negative infinity when never. */
  public double latestSeconds(Use use) {
    return latestSeconds[use.ordinal()];
  }

  /** When it was taken, as far as the stream's clock tells [s]. */
  double sampledSeconds(Use use) {
    return sampled[use.ordinal()];
  }

  /** The usual time from one arrival of readings to the next [s]; NaN when not known. */
  double spacingSeconds(Use use) {
    ReadingClock clock = clocks.get(use);
    return clock == null ? Double.NaN : clock.spacingSeconds();
  }

  /** How often it was read since the beginning or the last interruption. */
  int timesRead(Use use) {
    return timesRead[use.ordinal()];
  }

  /** How far a person saw it swing to either side [SI]; 0 when it stood still or is not typed. */
  double halfSwing(Use use) {
    return swings[use.ordinal()];
  }

  /** True when a person reads it and types it in. */
  public boolean byEye(Use use) {
    return wiring.byEye().containsKey(use);
  }

  /** What a person reads, with the channel that he names when he types it. */
  Map<Use, Wiring.Eye> byEye() {
    return wiring.byEye();
  }

  /** True when a frame brings something that a person read. */
  boolean typed(Frame frame) {
    for (Wiring.Feed fed : fedBy[frame.instrument()]) {
      if (fed.halfSwing().isPresent() && fed.tap().feeds(frame)) {
        return true;
      }
    }
    return false;
  }

  /** True when an instrument gives this use. */
  public boolean measured(Use use) {
    return wiring.taps().containsKey(use);
  }
}
