package meniscus.recorder.page.bench;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.node.ArrayNode;
import com.fasterxml.jackson.databind.node.ObjectNode;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.TreeMap;
import java.util.concurrent.TimeUnit;
import meniscus.core.bench.Bench;
import meniscus.core.instrument.Channel;
import meniscus.core.lift.Sweep;
import meniscus.core.pipeline.Frame;
import meniscus.core.quantity.Unit;
import meniscus.core.refusal.Refusal;
import meniscus.core.time.Moment;
import meniscus.recorder.feed.BenchEvent;
import meniscus.recorder.feed.Drivers;
import meniscus.recorder.feed.Feed;
import meniscus.recorder.feed.Feeds;
import meniscus.recorder.file.BenchFile;
import meniscus.recorder.json.JsonOut;
import meniscus.recorder.page.http.LiveEvents;

/**
 * Live readings of the bench while no test runs, before zero and calibration: to see that each
 * gauge is alive and that the right one moves the right way. Ends by itself when nobody looks.
 */
public final class Listening implements AutoCloseable {

  private static final long SHOWN_NANOS = TimeUnit.MILLISECONDS.toNanos(250);
  private static final long UNSEEN_NANOS = TimeUnit.SECONDS.toNanos(10);

  /** What the simulated bench shows with its blower on. */
  private static final double SHOWN_LIFT_M = Unit.INCH_LENGTH.toSi(0.3);

  private static final double SHOWN_PA = Unit.INCH_OF_WATER.toSi(28);

  private final LiveEvents events;
  private final Drivers drivers;
  private final OwnThread thread = new OwnThread("listening", true);
  private volatile Feed.Asked wanted = Feed.Asked.NOTHING;
  private volatile boolean allHeard;

  public Listening(LiveEvents events, Drivers drivers) {
    this.events = events;
    this.drivers = drivers;
  }

  /**
   * @throws Refusal when a line's settings do not fit
   */
  public synchronized void start(Path benchFile) {
    close();
    wanted = Feed.Asked.NOTHING;
    Bench bench = BenchFile.read(benchFile);
    Feed feed =
        Feeds.open(bench, benchFile, drivers, Feeds.Simulation.usual(), Moment.START).feed();
    thread.begin(() -> listen(feed));
  }

  /** True when every gauge was alive and none over range when the bench was last listened to. */
  public boolean allHeard() {
    return allHeard;
  }

  /** The bench is another one now. */
  public void forget() {
    close();
    allHeard = false;
  }

  /** Blower of the simulated bench on or off; on a real bench the operator has his hand on it. */
  public void blower(boolean on) {
    wanted = on ? new Feed.Asked(SHOWN_LIFT_M, Sweep.OPENING, SHOWN_PA) : Feed.Asked.NOTHING;
  }

  private void listen(Feed feed) {
    try (feed) {
      List<ChannelMean> heard = new ArrayList<>();
      for (int i = 0; i < feed.channels().size(); i++) {
        for (Channel channel : feed.channels().get(i)) {
          heard.add(new ChannelMean(feed.bench(), i, channel));
        }
      }
      Map<Integer, String> lost = new TreeMap<>();
      long shown = System.nanoTime();
      long seen = shown;
      Feed.Asked asked = Feed.Asked.NOTHING;
      while (System.nanoTime() - seen < UNSEEN_NANOS && !Thread.interrupted()) {
        if (!wanted.equals(asked)) {
          asked = wanted;
          feed.asks(asked);
        }
        feed.next(0.05).ifPresent(happening -> take(happening, heard, lost));
        long now = System.nanoTime();
        if (now - shown >= SHOWN_NANOS) {
          shown = now;
          ObjectNode json = json(heard, lost, feed.now().seconds());
          allHeard = lost.isEmpty() && allFine(json.withArray("channels"));
          json.put("all_heard", allHeard);
          events.show("readings", () -> json);
          seen = events.counted().watching() > 0 ? now : seen;
        }
      }
    } catch (InterruptedException e) {
      // Asked to end: a test begins, or the page closes.
    }
  }

  private static void take(
      BenchEvent happening, List<ChannelMean> heard, Map<Integer, String> lost) {
    happening.fold(
        arrived -> add(arrived.frame(), heard, lost),
        unread -> null,
        gone -> lost.put(gone.instrument(), gone.reason()),
        back -> lost.remove(back.instrument()),
        ended -> null,
        remark -> null);
  }

  private static Object add(Frame frame, List<ChannelMean> heard, Map<Integer, String> lost) {
    lost.remove(frame.instrument());
    int channel = 0;
    for (ChannelMean each : heard) {
      if (each.instrument == frame.instrument()) {
        each.add(frame.valuesSi()[channel++]);
      }
    }
    return null;
  }

  private static ObjectNode json(List<ChannelMean> heard, Map<Integer, String> lost, double now) {
    ObjectNode json = JsonOut.object();
    JsonOut.put(json, "seconds", now, 1);
    ArrayNode channels = json.putArray("channels");
    for (ChannelMean each : heard) {
      each.addTo(channels.addObject(), now);
      if (lost.containsKey(each.instrument)) {
        ((ObjectNode) channels.get(channels.size() - 1)).put("lost", lost.get(each.instrument));
      }
    }
    return json;
  }

  private static boolean allFine(ArrayNode channels) {
    boolean fine = !channels.isEmpty();
    for (JsonNode channel : channels) {
      fine &= channel.path("alive").asBoolean() && !channel.path("over_range").asBoolean();
    }
    return fine;
  }

  @Override
  public synchronized void close() {
    thread.end();
  }
}
