package meniscus.recorder.session;

import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.TreeMap;
import java.util.function.Consumer;
import meniscus.core.bench.Bench;
import meniscus.core.bench.PointMeans;
import meniscus.core.bench.Use;
import meniscus.core.instrument.Channel;
import meniscus.core.pipeline.Acquisition;
import meniscus.core.pipeline.Frame;
import meniscus.core.pipeline.Window;
import meniscus.core.steadiness.Judged;

/**
 * Averages on a bench outside a lift test: plates, leakage, zero, the calm record. One frame at a
 * time, on the caller's thread.
 */
public final class Measuring {

  /** The test pressure must have been in its band for this long before a window opens [s]. */
  private static final double REST_SECONDS = 1;

  /** Somebody who brings a blower to its pressure by hand has this long [s] (our own choice). */
  private static final double PATIENCE_SECONDS = 120;

  private final Feed feed;

  public Measuring(Feed feed) {
    this.feed = feed;
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
   * A mean at one test pressure.
   *
   * @param means over the window
   * @param judged what is said of it
   */
  public record Averaged(PointMeans means, Judged judged) {}

  /** What a wait for a point is to do. */
  public record Asked(
      double testPressurePa, double band, double leastSeconds, double longestSeconds) {

    /** After this long without a point there is none [s]. */
    public double patienceSeconds() {
      return PATIENCE_SECONDS + longestSeconds;
    }
  }

  /**
   * All readings of every channel over a time, as received.
   *
   * @param seconds how long [s]
   * @param progress is told the seconds gone
   * @return by {@code instrument.channel}
   */
  public Map<String, Readings> raw(double seconds, Consumer<Double> progress)
      throws InterruptedException {
    Map<String, List<double[]>> rows = new TreeMap<>();
    double start = feed.now().seconds();
    while (feed.now().seconds() - start < seconds) {
      feed.next(0.05)
          .ifPresent(
              happening -> {
                if (happening instanceof Happening.Arrived arrived) {
                  add(rows, arrived.frame());
                }
              });
      progress.accept(feed.now().seconds() - start);
    }
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
   * Waits until the test pressure rests in its band, then averages the flow until the average is
   * good.
   *
   * @param acquisition of the range that is used
   * @param asked test pressure, and for how long to average
   * @param samples is shown every flow sample of the window
   * @return empty when the test pressure did not come, or nothing could be averaged, in all the
   *     patience there is
   */
  public Optional<Averaged> point(Acquisition acquisition, Asked asked, Window.SampleSink samples)
      throws InterruptedException {
    double start = feed.now().seconds();
    double restsSince = Double.NaN;
    acquisition.end();
    while (feed.now().seconds() - start < asked.patienceSeconds()) {
      Optional<Happening> happening = feed.next(0.05);
      if (happening.isEmpty() || !(happening.get() instanceof Happening.Arrived arrived)) {
        continue;
      }
      acquisition.accept(arrived.frame());
      double now = arrived.frame().moment().seconds();
      boolean inBand = inBand(acquisition, asked) && acquisition.roomKnown();
      Optional<Window> window = acquisition.window();
      if (window.isEmpty()) {
        restsSince = !inBand ? Double.NaN : Double.isNaN(restsSince) ? now : restsSince;
        if (now - restsSince >= REST_SECONDS) {
          acquisition.begin(arrived.frame().moment()).show(samples);
        }
      } else if (done(window.get(), asked, now)) {
        Optional<Averaged> averaged =
            window.get().means().map(means -> new Averaged(means, window.get().judged()));
        acquisition.end();
        return averaged;
      }
    }
    acquisition.end();
    return Optional.empty();
  }

  private static boolean inBand(Acquisition acquisition, Asked asked) {
    double pressure = acquisition.latest(Use.TEST_PRESSURE);
    return Math.abs(pressure - asked.testPressurePa()) <= asked.band() * asked.testPressurePa();
  }

  private static boolean done(Window window, Asked asked, double now) {
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
