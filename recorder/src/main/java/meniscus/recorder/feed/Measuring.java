package meniscus.recorder.feed;

import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import java.util.TreeMap;
import java.util.function.Function;
import meniscus.core.bench.Bench;
import meniscus.core.bench.PointMeans;
import meniscus.core.bench.Use;
import meniscus.core.instrument.Channel;
import meniscus.core.pipeline.Acquisition;
import meniscus.core.pipeline.Frame;
import meniscus.core.pipeline.RunWords;
import meniscus.core.pipeline.RungWindow;
import meniscus.core.refusal.Refusal;
import meniscus.core.steadiness.Judged;
import meniscus.core.time.StreamTimes;

/**
 * Averages on a bench outside a lift test: plates, leakage, zero, the calm record. One frame at a
 * time, on the caller's thread. Gauges that a person reads are asked for.
 */
public final class Measuring {

  /**
   * The test pressure must have been in its band for this long before a window opens, by the times
   * at which it was read: after a stall of the line many arrive at one moment [s].
   */
  private static final double REST_SECONDS = 1;

  /** Somebody who brings a blower to its pressure by hand has this long [s] (our own choice). */
  private static final double PATIENCE_SECONDS = 120;

  /** How often it is told how a reading stands, on the bench's clock [s] (our own choice). */
  private static final double LIVE_SECONDS = 0.25;

  /** Test pressure that is wanted, and how far it may be from that. */
  private record Aim(double pascals, double band) {}

  private static final Aim AT_REST = new Aim(0, 0);

  private final Feed feed;
  private final GaugeReader reader;
  private double toldSeconds = Double.NEGATIVE_INFINITY;

  /**
   * @param reader who reads what does not send by itself
   */
  public Measuring(Feed feed, GaugeReader reader) {
    this.feed = feed;
    this.reader = reader;
  }

  /**
   * Readings of one channel.
   *
   * @param seconds times [s]
   * @param valuesSi as received [SI]; NaN where the gauge was over range
   */
  public record Readings(double[] seconds, double[] valuesSi) {

    /** Of a channel that said nothing. */
    public static final Readings NONE = new Readings(new double[0], new double[0]);
  }

  /** What came of a wait for a point. */
  public sealed interface Point {
    <T> T fold(Function<Averaged, T> averaged, Function<NotRead, T> notRead);
  }

  /**
   * A mean at one test pressure.
   *
   * @param means over the window
   * @param judged what is said of it
   */
  public record Averaged(PointMeans means, Judged judged) implements Point {
    @Override
    public <T> T fold(Function<Averaged, T> averaged, Function<NotRead, T> notRead) {
      return averaged.apply(this);
    }
  }

  /**
   * Nothing that could be averaged.
   *
   * @param seconds that were waited [s]
   * @param lowestPa test pressure [Pa]; infinite when none was heard
   * @param highestPa test pressure [Pa]
   * @param roomKnown whether the room's air was heard
   * @param torn why averaging began anew the last time, when it did
   * @param judged what the last try to average came to, when the pressure rested
   */
  public record NotRead(
      double seconds,
      double lowestPa,
      double highestPa,
      boolean roomKnown,
      Optional<String> torn,
      Optional<Judged> judged)
      implements Point {
    @Override
    public <T> T fold(Function<Averaged, T> averaged, Function<NotRead, T> notRead) {
      return notRead.apply(this);
    }
  }

  /**
   * What a wait for a point is to do.
   *
   * @param pressuresByEye gauges that a person is to read at this test pressure
   * @param airByEye gauges of the air that he is to read besides, and has not yet
   */
  public record Asked(
      double testPressurePa,
      double band,
      double leastSeconds,
      double longestSeconds,
      List<ByEye> pressuresByEye,
      List<ByEye> airByEye) {

    /** After this long without a point there is none [s]. */
    double patienceSeconds() {
      return PATIENCE_SECONDS + longestSeconds;
    }
  }

  /**
   * All readings of every channel over a time, as received, each at the time at which it was taken.
   *
   * @param acquisition shows the person how both pressures stand
   * @param seconds how long [s]
   * @return by {@code instrument.channel}
   */
  public Map<String, Readings> raw(Acquisition acquisition, double seconds)
      throws InterruptedException {
    return raw(acquisition, 0, seconds);
  }

  /**
   * The same after a wait. A reading that a line held back until the wait was over is not of them.
   *
   * @param settleSeconds how long to wait first [s]
   */
  public Map<String, Readings> raw(Acquisition acquisition, double settleSeconds, double seconds)
      throws InterruptedException {
    Map<String, List<double[]>> rows = new TreeMap<>();
    double start = feed.now().seconds();
    double longest = settleSeconds + seconds;
    while (feed.now().seconds() - start < longest) {
      Optional<Frame> arrived = arrived(0.05);
      if (arrived.isPresent()) {
        add(rows, arrived.get());
        acquisition.accept(arrived.get());
        double now = arrived.get().moment().seconds();
        tell(acquisition, AT_REST, longest, now - start, now);
      }
    }
    rows.replaceAll((channel, pairs) -> taken(pairs, start + settleSeconds));
    return readings(rows);
  }

  /** Readings by their stream's own clock, from a moment on. */
  private static List<double[]> taken(List<double[]> pairs, double from) {
    List<double[]> taken = new ArrayList<>();
    StreamTimes times =
        new StreamTimes(
            (seconds, value) -> {
              if (seconds >= from) {
                taken.add(new double[] {seconds, value});
              }
            });
    pairs.forEach(pair -> times.reading(pair[0], pair[1]));
    times.finish();
    return taken;
  }

  /**
   * Readings of gauges that a person reads, each once, as received.
   *
   * @param what to do before they are read
   * @return by {@code instrument.channel}; nothing when there are none
   * @throws Refusal when they are left out
   */
  public Map<String, Readings> typed(List<ByEye> gauges, String what) throws InterruptedException {
    Map<String, List<double[]>> rows = new TreeMap<>();
    GaugePrompts asking =
        new GaugePrompts(feed, reader, gauges, List.of(), "keep takes them", true);
    if (gauges.isEmpty()) {
      return Map.of();
    }
    reader.told(what);
    asking.begin();
    try {
      while (!asking.takesKeep()) {
        asking.listen();
        Optional<Frame> frame = arrived(0.05);
        if (frame.isPresent() && asking.arrived(frame.get())) {
          add(rows, frame.get());
          asking.sayWhatIsRead();
        }
      }
    } finally {
      asking.end();
    }
    rows.values().forEach(pairs -> pairs.subList(0, pairs.size() - 1).clear());
    return readings(rows);
  }

  /**
   * Readings of a column while it falls, typed as it passes its marks, and all else that came in
   * meanwhile, as received.
   *
   * @param column one gauge
   * @param seconds how long it is watched [s]; the person may end it earlier
   * @return by {@code instrument.channel}
   * @throws Refusal when the person leaves it out
   */
  public Map<String, Readings> falling(List<ByEye> column, double seconds)
      throws InterruptedException {
    Map<String, List<double[]>> rows = new TreeMap<>();
    GaugePrompts asking = new GaugePrompts(feed, reader, column, List.of(), "keep ends it", true);
    reader.told(
        String.format(
            Locale.ROOT,
            "watch the column fall for %.0f s: type the mark that it comes to next, and press Enter"
                + " the moment it passes; ten marks or more, a few seconds apart, do well",
            seconds));
    asking.begin();
    try {
      double start = feed.now().seconds();
      while (feed.now().seconds() - start < seconds && !asking.takesKeep()) {
        asking.listen();
        Optional<Frame> frame = arrived(0.05);
        frame.ifPresent(any -> add(rows, any));
        if (frame.isPresent() && asking.arrived(frame.get())) {
          asking.sayWhatIsRead();
        }
      }
    } finally {
      asking.end();
    }
    return readings(rows);
  }

  /** The frame that came in next, if one did. */
  private Optional<Frame> arrived(double waitSeconds) throws InterruptedException {
    if (reader.stopped()) {
      throw new Stopped();
    }
    return feed.next(waitSeconds)
        .flatMap(
            happening ->
                happening instanceof BenchEvent.Arrived arrived
                    ? Optional.of(arrived.frame())
                    : Optional.empty());
  }

  private static Map<String, Readings> readings(Map<String, List<double[]>> rows) {
    Map<String, Readings> readings = new TreeMap<>();
    rows.forEach(
        (name, pairs) ->
            readings.put(
                name,
                new Readings(
                    pairs.stream().mapToDouble(pair -> pair[0]).toArray(),
                    pairs.stream().mapToDouble(pair -> pair[1]).toArray())));
    return readings;
  }

  /**
   * Waits until the test pressure rests in its band and what a person reads is typed, then averages
   * the flow until the average is good. Where a person reads both pressures there is nothing to
   * average: the reading is taken when he says so, and he has all the time he wants.
   *
   * @param acquisition of the range that is used
   * @param asked test pressure, and for how long to average
   * @param samples is shown every flow sample of the window
   * @throws LeftOut when the person leaves it out
   */
  public Point point(Acquisition acquisition, Asked asked, RungWindow.SampleSink samples)
      throws InterruptedException {
    boolean stands = acquisition.byEye(Use.TEST_PRESSURE) && acquisition.byEye(Use.ELEMENT_DROP);
    GaugePrompts asking =
        new GaugePrompts(
            feed,
            reader,
            asked.pressuresByEye(),
            asked.airByEye(),
            (stands ? "keep takes it" : "then the gauges are averaged while that stands")
                + ", skip leaves it out",
            stands);
    acquisition.end();
    asking.begin();
    try {
      return stands
          ? standing(acquisition, asked, asking)
          : averaged(acquisition, asked, asking, samples);
    } finally {
      acquisition.end();
      asking.end();
    }
  }

  /** Both pressures are read by eye. */
  private Point standing(Acquisition acquisition, Asked asked, GaugePrompts asking)
      throws InterruptedException {
    while (true) {
      asking.listen();
      Optional<Frame> frame = arrived(0.05);
      frame.ifPresent(acquisition::accept);
      if (frame.isPresent() && asking.arrived(frame.get())) {
        answer(acquisition, asked, asking);
      }
      if (asking.takesKeep()) {
        if (acquisition.roomKnown()) {
          return averaged(
              acquisition.begin(feed.now()), new Seen(acquisition, feed.now().seconds()));
        }
        reader.told("the room's air was not read yet: see that its station sends, then keep");
      }
    }
  }

  /** One pressure or both come by themselves. */
  private Point averaged(
      Acquisition acquisition, Asked asked, GaugePrompts asking, RungWindow.SampleSink samples)
      throws InterruptedException {
    double since = feed.now().seconds();
    double restsSince = Double.NaN;
    Seen seen = new Seen(acquisition, since);
    while (!asking.complete() || feed.now().seconds() - since < asked.patienceSeconds()) {
      asking.listen();
      Optional<Frame> arrived = arrived(0.05);
      if (arrived.isEmpty()) {
        continue;
      }
      Frame frame = arrived.get();
      acquisition.accept(frame);
      double now = frame.moment().seconds();
      seen.look();
      boolean inBand = inBand(acquisition, asked) && acquisition.roomKnown();
      double taken =
          acquisition.byEye(Use.TEST_PRESSURE)
              ? now
              : acquisition.sampledSeconds(Use.TEST_PRESSURE);
      if (asking.arrived(frame)) {
        acquisition.end();
        since = now;
        answer(acquisition, asked, asking);
      }
      Optional<RungWindow> window = acquisition.window();
      double still = window.map(open -> now - open.began().seconds()).orElse(0.0);
      tell(
          acquisition,
          new Aim(asked.testPressurePa(), asked.band()),
          asked.longestSeconds(),
          still,
          now);
      if (window.isEmpty()) {
        boolean ready = inBand && asking.complete();
        restsSince = !ready ? Double.NaN : Double.isNaN(restsSince) ? taken : restsSince;
        if (taken - restsSince >= REST_SECONDS) {
          acquisition.begin(frame.moment()).show(samples);
        }
      } else if (window.get().torn().isPresent()) {
        acquisition.end();
        restsSince = Double.NaN;
        String why = RunWords.why(window.get().torn().get());
        seen.torn = Optional.of(why);
        reader.told("averaging begins anew: " + why);
      } else if (acquisition.byEye(Use.ELEMENT_DROP) && !inBand) {
        acquisition.end();
        asking.anew("the test pressure left the " + band(asked));
      } else if (done(window.get(), asked, now)) {
        return averaged(window.get(), seen);
      }
    }
    return seen.notRead(acquisition.window().map(RungWindow::judged));
  }

  private void tell(Acquisition acquisition, Aim aim, double longest, double still, double now) {
    if (now - toldSeconds >= LIVE_SECONDS || now < toldSeconds) {
      toldSeconds = now;
      reader.live(
          new GaugeReader.Live(
              aim.pascals(),
              aim.band(),
              acquisition.latest(Use.TEST_PRESSURE),
              acquisition.latest(Use.ELEMENT_DROP),
              still,
              longest));
    }
  }

  /** What was seen while a point was waited for. */
  private final class Seen {
    private final Acquisition acquisition;
    private final double since;
    private double lowestPa = Double.POSITIVE_INFINITY;
    private double highestPa = Double.NEGATIVE_INFINITY;
    private Optional<String> torn = Optional.empty();

    Seen(Acquisition acquisition, double since) {
      this.acquisition = acquisition;
      this.since = since;
    }

    void look() {
      double pressure = acquisition.latest(Use.TEST_PRESSURE);
      if (Double.isFinite(pressure)) {
        lowestPa = Math.min(lowestPa, pressure);
        highestPa = Math.max(highestPa, pressure);
      }
    }

    NotRead notRead(Optional<Judged> judged) {
      return new NotRead(
          feed.now().seconds() - since, lowestPa, highestPa, acquisition.roomKnown(), torn, judged);
    }
  }

  /** To something that was typed. */
  private static void answer(Acquisition acquisition, Asked asked, GaugePrompts asking) {
    boolean pressure = acquisition.byEye(Use.TEST_PRESSURE);
    if (pressure && asking.complete() && !inBand(acquisition, asked)) {
      asking.anew("that test pressure is outside the " + band(asked));
    } else {
      asking.sayWhatIsRead();
    }
  }

  private static Point averaged(RungWindow window, Seen seen) {
    Optional<PointMeans> means = window.means();
    return means.isPresent()
        ? new Averaged(means.get(), window.judged())
        : seen.notRead(Optional.of(window.judged()));
  }

  private static String band(Asked asked) {
    return "band of ±" + Math.round(100 * asked.band()) + " %";
  }

  private static boolean inBand(Acquisition acquisition, Asked asked) {
    double pressure = acquisition.latest(Use.TEST_PRESSURE);
    return Math.abs(pressure - asked.testPressurePa()) <= asked.band() * asked.testPressurePa();
  }

  private static boolean done(RungWindow window, Asked asked, double now) {
    double age = now - window.began().seconds();
    Judged judged = window.judged();
    return age >= asked.longestSeconds()
        || age >= asked.leastSeconds() && judged.precise() && judged.mean().isPresent();
  }

  private void add(Map<String, List<double[]>> rows, Frame frame) {
    Bench bench = feed.bench();
    List<Channel> channels = feed.channels().get(frame.instrument());
    String instrument = bench.instruments().get(frame.instrument()).id();
    for (int c = 0; c < channels.size(); c++) {
      double value = frame.valuesSi()[c];
      if (!Double.isNaN(value)) {
        rows.computeIfAbsent(instrument + "." + channels.get(c).name(), name -> new ArrayList<>())
            .add(
                new double[] {
                  frame.moment().seconds(), value == Frame.OVERLOAD ? Double.NaN : value
                });
      }
    }
  }
}
