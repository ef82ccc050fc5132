package meniscus.recorder.feed;

import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.TreeMap;
import meniscus.core.bench.Bench;
import meniscus.core.instrument.Channel;
import meniscus.core.pipeline.Acquisition;
import meniscus.core.pipeline.Frame;
import meniscus.core.refusal.Refusal;
import meniscus.core.time.StreamTimes;

/** Readings of a bench's gauges as they were received, neither zeroed nor averaged. */
public final class RawReadings {

  private final Feed feed;
  private final GaugeReader reader;
  private final LiveShow live;

  /**
   * @param reader who reads what does not send by itself
   */
  public RawReadings(Feed feed, GaugeReader reader) {
    this.feed = feed;
    this.reader = reader;
    this.live = new LiveShow(reader);
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
      Optional<Frame> arrived = feed.frame(reader);
      if (arrived.isPresent()) {
        add(rows, arrived.get());
        acquisition.accept(arrived.get());
        double now = arrived.get().moment().seconds();
        live.show(acquisition, 0, 0, now - start, longest, now);
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
  public Map<String, Readings> typed(List<ByEye> gauges, ReadingMessage what)
      throws InterruptedException {
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
        Optional<Frame> frame = feed.frame(reader);
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
    reader.told(new ReadingMessage.Falls(seconds));
    asking.begin();
    try {
      double start = feed.now().seconds();
      while (feed.now().seconds() - start < seconds && !asking.takesKeep()) {
        asking.listen();
        Optional<Frame> frame = feed.frame(reader);
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
