package meniscus.core.pipeline;

import java.util.EnumMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.function.Supplier;
import java.util.stream.IntStream;
import java.util.stream.Stream;
import meniscus.core.bench.Bench;
import meniscus.core.bench.FlowElement;
import meniscus.core.bench.PortFlow;
import meniscus.core.bench.PortFlow.Surroundings;
import meniscus.core.bench.Range;
import meniscus.core.bench.Use;
import meniscus.core.flow.Direction;
import meniscus.core.flow.ReferenceState;
import meniscus.core.instrument.Channel;
import meniscus.core.lift.Sweep;
import meniscus.core.quantity.Unit;
import meniscus.core.refusal.Refusal;
import meniscus.core.remark.Remark;
import meniscus.core.settle.GaugeTransfer;
import meniscus.core.steadiness.BandLevels;
import meniscus.core.steadiness.CalmRecord;
import meniscus.core.steadiness.JudgeSettings;
import meniscus.core.time.Moment;

/**
 * The main path: bytes → readings → frames → quantities → aligned pairs → flow samples → window →
 * lift point. A pure fold: the same bytes, cut anywhere, give the same lift points.
 *
 * <ol>
 *   <li>{@link FrameDecoder} turns the bytes of one line into {@link Frame}s (one an instrument,
 *       which may live on that line's own thread);
 *   <li>{@link #accept} takes every frame, in order of arrival: zero and sign give quantities;
 *   <li>{@link Pairing} brings drop and test pressure to one moment, by interpolation where two
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

  /** Uses whose readings are ordered by when they were taken. */
  private static final Use[] CLOCKED = {Use.ELEMENT_DROP, Use.TEST_PRESSURE, Use.LIFT};

  private final Wiring wiring;
  private final SideChannels side;
  private final List<List<Channel>> channels;

  /** By instrument. */
  private final Wiring.Feed[][] fedBy;

  private final Way plansWay;
  private Optional<Supplier<Way>> otherWay = Optional.empty();
  private Way way;
  private final GaugeTransfer dropGauge;
  private final Latest latest = new Latest();
  private final RoomAir air;
  private final Pairing pairing;

  /** Which of drop and test pressure a person reads. */
  private final List<Use> pressuresByEye;

  private final ReadingClocks clocks;
  private final Map<Use, FrozenWatch> frozenWatches = new EnumMap<>(Use.class);
  private Reckoning reckoning = Reckoning.NOW;
  private final Recent pressureTrace = new Recent(RATE_SPAN_SECONDS);
  private final Recent areaTrace = new Recent(LIVE_SPAN_SECONDS);
  private Optional<RungWindow> window = Optional.empty();

  /**
   * One way of the air.
   *
   * @param flow with the calibrated element, leakage and plenum of this direction and range
   * @param rules how a window is averaged and judged
   */
  private record Way(PortFlow flow, RungWindow.Rules rules) {}

  /**
   * @param bench for the values typed in
   * @param portFlow with the calibrated element, leakage and plenum of this direction and range
   * @param wiring of the bench's channels
   * @param channels of each instrument
   * @param rules how a window is averaged and judged
   * @param dropGauge through which the flow's fluctuation is seen
   */
  private Acquisition(
      Bench bench,
      PortFlow portFlow,
      Wiring wiring,
      List<List<Channel>> channels,
      RungWindow.Rules rules,
      GaugeTransfer dropGauge) {
    this.wiring = wiring;
    this.dropGauge = dropGauge;
    this.side = new SideChannels(bench, wiring, channels);
    this.channels = channels;
    this.clocks = new ReadingClocks(wiring, channels);
    this.air = new RoomAir(bench, portFlow, wiring, latest);
    this.pairing =
        new Pairing(
            (at, drop, pressure) -> flowSample(at, drop, pressure, clocks.alignmentSeconds()));
    this.fedBy =
        IntStream.range(0, bench.instruments().size())
            .mapToObj(wiring::fedBy)
            .toArray(Wiring.Feed[][]::new);
    this.pressuresByEye =
        Stream.of(Use.ELEMENT_DROP, Use.TEST_PRESSURE).filter(this::byEye).toList();
    this.plansWay = way(portFlow, rules);
    this.way = plansWay;
    restart();
  }

  private Way way(PortFlow flow, RungWindow.Rules rules) {
    RungWindow.Rules judged = pressuresByEye.isEmpty() ? rules : rules.withoutCalm();
    return new Way(flow, judged.through(dropGauge));
  }

  /**
   * The same, and it can be told that the air goes the other way.
   *
   * @param flow of that way
   * @param judge target, cap, that way's calm record; asked for once the air goes that way
   */
  public Acquisition withOtherWay(PortFlow flow, Supplier<JudgeSettings> judge) {
    otherWay =
        Optional.of(
            () -> way(flow, new RungWindow.Rules(judge.get(), plansWay.rules().reference())));
    return this;
  }

  /** What an element's drop says of the port, with all that a bench knows of one way of the air. */
  public static PortFlow flow(Bench bench, FlowElement element, Direction way) {
    return new PortFlow(element, bench.layout(), way, bench.upkeep().leakage(way), bench.plenum());
  }

  /** True where flows can be worked out with the air going the other way too. */
  boolean knowsOtherWay() {
    return otherWay.isPresent();
  }

  /**
   * From here on the air goes this way.
   *
   * @throws Refusal when the bench knows no flow that way
   */
  void faces(Sweep sweep) {
    if (sweep.plansWay() == (way == plansWay)) {
      return;
    }
    end();
    way =
        sweep.plansWay()
            ? plansWay
            : otherWay
                .orElseThrow(
                    () ->
                        new Refusal(
                            "the bench was neither calibrated nor tried for leaks with the air"
                                + " going the other way"))
                .get();
    areaTrace.clear();
    air.through(way.flow);
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
        flow(bench, element, direction),
        Wiring.of(bench, range, channels),
        channels,
        new RungWindow.Rules(judge, reference),
        range.drop().transfer());
  }

  // ---------------------------------------------------------------- 2, 3. frames → quantities →
  // aligned pairs

  /** Takes the next frame; moments never fall. */
  public void accept(Frame frame) {
    double seconds = frame.moment().seconds();
    for (Wiring.Feed fed : fedBy[frame.instrument()]) {
      Use use = fed.use();
      if (fed.tap().feeds(frame)) {
        double read = frame.valuesSi()[fed.tap().column()];
        latest.read(use, fed.tap().quantity(read), seconds);
        latest.takenAt(use, clocks.sampled(use, seconds, frame));
        FrozenWatch frozen = frozenWatches.get(use);
        if (frozen != null) {
          frozen.reading(seconds, read, latest(use));
        }
        if (use == Use.TEST_PRESSURE && frozenWatches.containsKey(Use.ELEMENT_DROP)) {
          frozenWatches.get(Use.ELEMENT_DROP).beside(latest(use));
        }
      }
      if (fed.halfSwing().isPresent() && fed.halfSwing().get().feeds(frame)) {
        Wiring.ChannelInput swing = fed.halfSwing().get();
        latest.swings(use, swing.quantity(frame.valuesSi()[swing.column()]));
      }
    }
    if (window.isPresent()) {
      side.accept(frame, side.fast().map(this::sampledSeconds).orElse(Double.NaN));
    }
    if (pressuresByEye.size() == 1) {
      besideTyped(frame, seconds);
    } else if (pressuresByEye.isEmpty()) {
      pairs(frame);
    }
    if (feeds(frame, Use.LIFT)) {
      window.ifPresent(open -> open.lift(seconds, latest(Use.LIFT)));
    }
  }

  private void pairs(Frame frame) {
    boolean drop = feeds(frame, Use.ELEMENT_DROP);
    if (drop) {
      pairing.drop(sampledSeconds(Use.ELEMENT_DROP), latest(Use.ELEMENT_DROP));
    }
    if (feeds(frame, Use.TEST_PRESSURE)) {
      if (drop) {
        // Two readings of one frame are of one moment, whatever each clock makes of it.
        latest.takenAt(
            Use.TEST_PRESSURE,
            Math.max(pairing.newestPressureSeconds(), sampledSeconds(Use.ELEMENT_DROP)));
      }
      pairing.pressure(sampledSeconds(Use.TEST_PRESSURE), latest(Use.TEST_PRESSURE));
    }
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
    if (!Double.isFinite(dropPa) || !(pressurePa > 0) || !air.known()) {
      window.ifPresent(open -> open.dropped(seconds));
      return;
    }
    Surroundings now = air.surroundings();
    double rate = byEye(Use.TEST_PRESSURE) ? 0 : pressureTrace.rate(clocks.leastStepSeconds());
    double massFlow = way.flow.massFlow(dropPa, pressurePa, rate, now);
    double area = way.flow.effectiveArea(massFlow, pressurePa, now);
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
          open.swing(halfSwing(Use.ELEMENT_DROP), halfSwing(Use.TEST_PRESSURE));
        });
  }

  /** Smallest step of a gauge over what it shows [1]; the flow goes by the root of both. */
  private OptionalDouble step(Use use, double pascals) {
    FrozenWatch gauge = frozenWatches.get(use);
    double share = gauge == null ? Double.NaN : gauge.quantum() / Math.abs(pascals);
    return Double.isFinite(share) ? OptionalDouble.of(share) : OptionalDouble.empty();
  }

  /** True once temperature and pressure of the room have been read or are typed in. */
  public boolean roomKnown() {
    return air.known();
  }

  /**
   * An instrument was lost. One that tells of the air alone, or of nothing that is used, is done
   * without: its last readings stand, and the points say so.
   *
   * @param id of the instrument; another name is of something that no flow can do without
   * @return whether flows go on without it
   */
  boolean goesOnWithout(String id) {
    return air.goesOnWithout(id);
  }

  /** A gauge of a pressure that stands still and should not. */
  private Optional<Remark> frozen() {
    return frozenWatches.values().stream().flatMap(watch -> watch.frozen().stream()).findFirst();
  }

  // ---------------------------------------------------------------- 5. the window of a rung

  /** {@link #restart(Reckoning)} as tests are reckoned now. */
  public void restart() {
    restart(Reckoning.NOW);
  }

  /**
   * Forgets all that was read, as after an interruption; typed values stay.
   *
   * @param by how the readings from here on become flow samples
   */
  public void restart(Reckoning by) {
    end();
    pairing.clear();
    reckoning = by;
    clocks.clear();
    frozenWatches.clear();
    for (Use use : CLOCKED) {
      if (wiring.taps().containsKey(use) && !byEye(use)) {
        clocks.start(use, by.clock(use != Use.LIFT && pressuresByEye.isEmpty() && clocks.two()));
        if (by != Reckoning.BY_ARRIVAL && use != Use.LIFT) {
          Wiring.ChannelInput tap = wiring.taps().get(use);
          Unit unit = channels.get(tap.instrument()).get(tap.column()).unit();
          frozenWatches.put(use, new FrozenWatch(use, unit, tap.quantumSi()));
        }
      }
    }
    side.fast().ifPresent(use -> clocks.start(use, ReadingClock.ofStream()));
    side.begin();
    pressureTrace.clear();
    areaTrace.clear();
    latest.clear();
    air.restart();
  }

  /**
   * Opens a window: samples from here on belong to a rung, and what a person has read last. An open
   * window is dropped.
   */
  public RungWindow begin(Moment at) {
    air.forget(); // Nothing from before the window may move its last digit.
    Optional<CalmRecord> calm = way.rules.judge().calm();
    RungWindow opened =
        new RungWindow(
            reckoning.rules(way.rules),
            at,
            air::silent,
            this::frozen,
            pressuresByEye,
            areaM2 -> side.besides(areaM2, calm));
    side.begin();
    window = Optional.of(opened);
    if (pressuresByEye.size() == 2) {
      flowSample(at.seconds(), latest(Use.ELEMENT_DROP), latest(Use.TEST_PRESSURE), 0);
    }
    return opened;
  }

  /** The same for a rung of a sweep: the air goes its way. */
  public RungWindow begin(Moment at, Sweep sweep) {
    faces(sweep);
    return begin(at);
  }

  /** Shows the fast channel's levels, tenth of a second by tenth, of windows from here on. */
  void bandLevels(BandLevels.Tenths shown) {
    side.tenths(shown);
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
    return latest.value(use);
  }

  /** When it arrived [s]; negative infinity when never. */
  public double latestSeconds(Use use) {
    return latest.arrivedSeconds(use);
  }

  /** When it was taken, as far as the stream's clock tells [s]. */
  public double sampledSeconds(Use use) {
    return latest.takenSeconds(use);
  }

  /** The usual time from one arrival of readings to the next [s]; NaN when not known. */
  double spacingSeconds(Use use) {
    return clocks.spacingSeconds(use);
  }

  /** How often it was read since the beginning or the last interruption. */
  int timesRead(Use use) {
    return latest.times(use);
  }

  /** How far a person saw it swing to either side [SI]; 0 when it stood still or is not typed. */
  double halfSwing(Use use) {
    return latest.swing(use);
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
