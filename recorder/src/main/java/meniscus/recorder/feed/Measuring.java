package meniscus.recorder.feed;

import java.util.List;
import java.util.Optional;
import java.util.function.Function;
import meniscus.core.bench.PointMeans;
import meniscus.core.bench.Use;
import meniscus.core.lift.Beside;
import meniscus.core.pipeline.Acquisition;
import meniscus.core.pipeline.BreakOff;
import meniscus.core.pipeline.Frame;
import meniscus.core.pipeline.RungWindow;
import meniscus.core.steadiness.Judged;

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

  private final Feed feed;
  private final GaugeReader reader;
  private final LiveShow live;

  /**
   * @param reader who reads what does not send by itself
   */
  public Measuring(Feed feed, GaugeReader reader) {
    this.feed = feed;
    this.reader = reader;
    this.live = new LiveShow(reader);
  }

  /** What came of a wait for a point. */
  public sealed interface Point {
    default <T> T fold(Function<Averaged, T> averaged, Function<NotRead, T> notRead) {
      return this instanceof Averaged it ? averaged.apply(it) : notRead.apply((NotRead) this);
    }
  }

  /**
   * A mean at one test pressure.
   *
   * @param means over the window
   * @param judged what is said of it
   * @param beside what was measured beside the flow
   */
  public record Averaged(PointMeans means, Judged judged, List<Beside> beside) implements Point {}

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
      Optional<BreakOff> torn,
      Optional<Judged> judged)
      implements Point {}

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
          ? standing(acquisition, asked, asking, samples)
          : averaged(acquisition, asked, asking, samples);
    } finally {
      acquisition.end();
      asking.end();
    }
  }

  /** Both pressures are read by eye. */
  private Point standing(
      Acquisition acquisition, Asked asked, GaugePrompts asking, RungWindow.SampleSink samples)
      throws InterruptedException {
    while (true) {
      asking.listen();
      Optional<Frame> frame = feed.frame(reader);
      frame.ifPresent(acquisition::accept);
      if (frame.isPresent() && asking.arrived(frame.get())) {
        answer(acquisition, asked, asking);
      }
      if (asking.takesKeep()) {
        if (acquisition.roomKnown()) {
          RungWindow window = acquisition.begin(feed.now());
          window.show(samples);
          return averaged(window, new Seen(acquisition, feed.now().seconds()));
        }
        reader.told(new ReadingMessage.AirUnread());
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
      Optional<Frame> arrived = feed.frame(reader);
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
      live.show(
          acquisition, asked.testPressurePa(), asked.band(), still, asked.longestSeconds(), now);
      if (window.isEmpty()) {
        boolean ready = inBand && asking.complete();
        restsSince = !ready ? Double.NaN : Double.isNaN(restsSince) ? taken : restsSince;
        if (taken - restsSince >= REST_SECONDS) {
          acquisition.begin(frame.moment()).show(samples);
        }
      } else if (window.get().torn().isPresent()) {
        acquisition.end();
        restsSince = Double.NaN;
        seen.torn = window.get().torn();
        reader.told(new ReadingMessage.Anew(seen.torn.orElseThrow()));
      } else if (acquisition.byEye(Use.ELEMENT_DROP) && !inBand) {
        acquisition.end();
        asking.anew("the test pressure left the " + band(asked));
      } else if (done(window.get(), asked, now)) {
        return averaged(window.get(), seen);
      }
    }
    return seen.notRead(acquisition.window().map(RungWindow::judged));
  }

  /** What was seen while a point was waited for. */
  private final class Seen {
    private final Acquisition acquisition;
    private final double since;
    private double lowestPa = Double.POSITIVE_INFINITY;
    private double highestPa = Double.NEGATIVE_INFINITY;
    private Optional<BreakOff> torn = Optional.empty();

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
        ? new Averaged(means.get(), window.judged(), window.beside(means.get()))
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
    return age >= asked.longestSeconds()
        || age >= asked.leastSeconds()
            && window.judgement().precise()
            && window.judged().mean().isPresent();
  }
}
