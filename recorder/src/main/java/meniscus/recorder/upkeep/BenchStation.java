package meniscus.recorder.upkeep;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.TreeMap;
import java.util.stream.Stream;
import meniscus.core.bench.Bench;
import meniscus.core.bench.PointMeans;
import meniscus.core.bench.Range;
import meniscus.core.bench.Source;
import meniscus.core.bench.Use;
import meniscus.core.flow.Direction;
import meniscus.core.lift.Sweep;
import meniscus.core.pipeline.Acquisition;
import meniscus.core.pipeline.RungWindow;
import meniscus.core.refusal.Refusal;
import meniscus.core.steadiness.JudgeSettings;
import meniscus.core.time.Moment;
import meniscus.recorder.feed.ByEye;
import meniscus.recorder.feed.Feed;
import meniscus.recorder.feed.Feeds;
import meniscus.recorder.feed.GaugeReader;
import meniscus.recorder.feed.Measuring;
import meniscus.recorder.feed.RawReadings;
import meniscus.recorder.feed.ReadingMessage;
import meniscus.recorder.file.PlateMounted;
import meniscus.recorder.session.PlateRecording;
import meniscus.recorder.session.Uncorrected;

/**
 * A bench with its lines open and something mounted, for readings outside a lift test. Flows are
 * worked out with the range's uncorrected element and no leak subtracted.
 */
public final class BenchStation implements AutoCloseable {

  /** The simulated blower needs this long to bring a closed plenum to its pressure [s]. */
  private static final double BUILD_UP_SECONDS = 15;

  /** A valve takes this long, and the air in the plenum to come to rest [s]. */
  private static final double VALVE_SECONDS = 2;

  private static final Use[] AIR = {
    Use.ROOM_TEMPERATURE,
    Use.ROOM_PRESSURE,
    Use.ROOM_HUMIDITY,
    Use.PLENUM_TEMPERATURE,
    Use.ELEMENT_TEMPERATURE
  };

  private final BenchAt at;
  private final Range range;
  private final Direction direction;
  private final Feed feed;
  private final Measuring measuring;
  private final RawReadings raw;
  private final Optional<PlateRecording> recording;
  private Acquisition acquisition;

  private BenchStation(
      BenchAt at,
      Range range,
      Direction direction,
      Feed heard,
      Optional<PlateRecording> recording,
      GaugeReader reader) {
    this.at = at;
    this.range = range;
    this.direction = direction;
    this.recording = recording;
    this.feed = recording.map(PlateRecording::feed).orElse(heard);
    this.measuring = new Measuring(feed, reader);
    this.raw = new RawReadings(feed, reader);
    this.acquisition = acquisition(at.pace().longestSeconds() + 1);
  }

  /**
   * Opens the lines and waits until every instrument has been heard.
   *
   * @param reader who reads the gauges that do not send by themselves
   * @throws meniscus.recorder.session.BenchFault when one cannot be heard
   */
  public static BenchStation open(BenchAt at, Range range, Direction direction, GaugeReader reader)
      throws InterruptedException {
    return open(at, range, direction, reader, heard -> Optional.empty());
  }

  /** Keeps the raw readings of what is mounted, if that can be done. */
  interface Keeping {
    Optional<PlateRecording> of(Feed heard);
  }

  /** The same, with the raw readings kept. */
  static BenchStation open(
      BenchAt at, Range range, Direction direction, GaugeReader reader, Keeping keeping)
      throws InterruptedException {
    Feed feed =
        Feeds.open(
                at.bench(),
                at.file(),
                at.drivers(),
                at.simulation().on(direction, range.name()),
                Moment.START)
            .feed();
    try {
      feed.hearAll(reader::stopped);
      return new BenchStation(at, range, direction, feed, keeping.of(feed), reader);
    } catch (InterruptedException | RuntimeException e) {
      feed.close();
      throw e;
    }
  }

  private Acquisition acquisition(double longestSeconds) {
    return Uncorrected.path(
        at.bench(),
        range,
        direction,
        feed.channels(),
        JudgeSettings.usual()
            .withTarget(at.pace().target())
            .withCapSeconds(longestSeconds)
            .withMainsHertz(at.bench().site().mainsHz()));
  }

  /** What the operator is to do for a reading; empty where he is simulated. */
  Optional<UpkeepMessage> wanted(double testPressurePa) {
    return at.simulated()
        ? Optional.empty()
        : Optional.of(
            new UpkeepMessage.SetPressure(at.text(testPressurePa), pressuresByEye().isEmpty()));
  }

  /** Those of some gauges that a person reads. */
  List<ByEye> byEye(List<Source.Measured> gauges) {
    return ByEye.among(gauges, at.bench(), feed.channels());
  }

  private List<ByEye> pressuresByEye() {
    return ByEye.pressures(at.bench(), range, feed.channels());
  }

  /** The air is read once, as long as this stands open. */
  private List<ByEye> airByEye() {
    return byEye(
        gauges(
            Stream.of(AIR)
                .filter(use -> Double.isNaN(acquisition.latest(use)))
                .toArray(Use[]::new)));
  }

  /** What the bench measures of some uses. */
  private List<Source.Measured> gauges(Use... uses) {
    List<Source.Measured> gauges = new ArrayList<>();
    for (Use use : uses) {
      at.bench().source(use).ifPresent(source -> source.fold(gauges::add, typed -> false));
    }
    return gauges;
  }

  /**
   * Means at a test pressure.
   *
   * @throws Refusal when it is not reached, or nothing can be averaged
   */
  public PointMeans at(double testPressurePa) throws InterruptedException {
    return at(testPressurePa, 1);
  }

  /**
   * The same with more patience.
   *
   * @param patience times as long at the most as usual
   */
  PointMeans at(double testPressurePa, double patience) throws InterruptedException {
    double longest = patience * at.pace().longestSeconds();
    if (patience > 1) {
      acquisition = acquisition(longest + 1);
      recording.ifPresent(PlateRecording::anew);
    }
    return averaged(acquisition, testPressurePa, at.pace().leastSeconds(), longest, (s, area) -> {})
        .means();
  }

  /**
   * Means over a given time with what was measured beside the flow, and every flow sample on the
   * way.
   *
   * @throws Refusal as {@link #at}
   */
  Measuring.Averaged watched(double testPressurePa, double seconds, RungWindow.SampleSink samples)
      throws InterruptedException {
    return averaged(acquisition(seconds + 1), testPressurePa, seconds, seconds, samples);
  }

  private Measuring.Averaged averaged(
      Acquisition path,
      double testPressurePa,
      double least,
      double longest,
      RungWindow.SampleSink samples)
      throws InterruptedException {
    feed.asks(new Feed.Asked(0, Sweep.OPENING, testPressurePa));
    recording.ifPresent(raw -> raw.asks(testPressurePa));
    Measuring.Asked asked =
        new Measuring.Asked(
            testPressurePa, PlateMounted.BAND, least, longest, pressuresByEye(), airByEye());
    return measuring
        .point(path, asked, begunIn(samples))
        .fold(
            averaged -> {
              recording.ifPresent(PlateRecording::kept);
              return averaged;
            },
            none -> {
              throw new Refusal(NoReading.words(at, range.name(), asked, none));
            });
  }

  /** The same, and the raw readings know where the window begins. */
  private RungWindow.SampleSink begunIn(RungWindow.SampleSink samples) {
    return new RungWindow.SampleSink() {
      @Override
      public void sample(double seconds, double areaM2) {
        samples.sample(seconds, areaM2);
      }

      @Override
      public void anew(Moment began) {
        recording.ifPresent(raw -> raw.begun(began));
        samples.anew(began);
      }
    };
  }

  /** All readings with the blower off, as received, by {@code instrument.channel}. */
  public Map<String, RawReadings.Readings> resting(double settleSeconds, double seconds)
      throws InterruptedException {
    rest();
    return raw.raw(acquisition, settleSeconds, seconds);
  }

  /**
   * What a person reads of columns with the blower off, as received.
   *
   * @throws Refusal when he leaves it out
   */
  Map<String, RawReadings.Readings> typedAtRest(List<ByEye> columns) throws InterruptedException {
    return raw.typed(columns, new ReadingMessage.AtRest());
  }

  /**
   * The test pressure while it falls, with everything closed.
   *
   * @param seconds of each reading [s]
   * @param testPressuresPa zero subtracted [Pa]
   * @param roomPa absolute, mean [Pa]
   * @param readPa standard uncertainty of a single reading by eye [Pa]; 0 for a gauge
   */
  record Fall(double[] seconds, double[] testPressuresPa, double roomPa, double readPa) {}

  /** The valve between plenum and blower. */
  public interface Valve {
    /** Returns when the operator has shut it. */
    void shut() throws InterruptedException;
  }

  /** Brings the plenum to a test pressure, has the blower's valve shut and watches. */
  Fall fall(double fromPa, double seconds, Valve valve) throws InterruptedException {
    Map<String, RawReadings.Readings> read = new TreeMap<>();
    read.putAll(raw.typed(byEye(gauges(Use.ROOM_PRESSURE)), new ReadingMessage.Barometer()));
    feed.asks(new Feed.Asked(0, Sweep.OPENING, fromPa));
    if (at.simulated()) {
      raw.raw(acquisition, BUILD_UP_SECONDS);
    }
    valve.shut();
    feed.valve(true);
    raw.raw(acquisition, VALVE_SECONDS);
    Source.Measured gauge = gauges(Use.TEST_PRESSURE).get(0);
    List<ByEye> column = byEye(List.of(gauge));
    read.putAll(column.isEmpty() ? raw.raw(acquisition, seconds) : raw.falling(column, seconds));
    feed.valve(false);
    RawReadings.Readings pressures = read.getOrDefault(gauge.key(), RawReadings.Readings.NONE);
    double offset = at.bench().zero(gauge).offsetSi();
    double sign = gauge.inverted() ? -1 : 1;
    double[] zeroed =
        Arrays.stream(pressures.valuesSi()).map(value -> sign * (value - offset)).toArray();
    double step = column.isEmpty() ? 0 : gauge.accuracy().quantumSi();
    return new Fall(pressures.seconds(), zeroed, roomPa(read), step / Math.sqrt(12));
  }

  private double roomPa(Map<String, RawReadings.Readings> read) {
    double shown =
        at.bench()
            .source(Use.ROOM_PRESSURE)
            .orElseThrow()
            .fold(
                gauge ->
                    Arrays.stream(
                            read.getOrDefault(gauge.key(), RawReadings.Readings.NONE).valuesSi())
                        .average()
                        .orElseThrow(() -> new Refusal(gauge.key() + " gave no reading")),
                Source.Typed::valueSi);
    return at.bench().site().stationPa(shown);
  }

  /** Blower off. */
  public void rest() {
    feed.asks(Feed.Asked.NOTHING);
  }

  public Bench bench() {
    return at.bench();
  }

  Range range() {
    return range;
  }

  Direction direction() {
    return direction;
  }

  @Override
  public void close() {
    rest();
    feed.close();
    recording.ifPresent(PlateRecording::close);
  }
}
