package meniscus.recorder.page;

import com.fasterxml.jackson.databind.node.ArrayNode;
import com.fasterxml.jackson.databind.node.ObjectNode;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.TreeMap;
import java.util.concurrent.TimeUnit;
import meniscus.core.bench.Bench;
import meniscus.core.instrument.Channel;
import meniscus.core.pipeline.Frame;
import meniscus.core.quantity.Unit;
import meniscus.core.time.Moment;
import meniscus.recorder.file.BenchFile;
import meniscus.recorder.session.Drivers;
import meniscus.recorder.session.Feed;
import meniscus.recorder.session.Feeds;
import meniscus.recorder.session.Happening;

/**
 * Live readings of the bench while no test runs, before zero and calibration: to see that each
 * gauge is alive and that the right one moves the right way. Ends by itself when nobody looks.
 */
final class Listening implements AutoCloseable {

  private static final long SHOWN_NANOS = TimeUnit.MILLISECONDS.toNanos(250);
  private static final long UNSEEN_NANOS = TimeUnit.SECONDS.toNanos(10);

  private final LiveEvents events;
  private final Drivers drivers;
  private Optional<Thread> thread = Optional.empty();

  Listening(LiveEvents events, Drivers drivers) {
    this.events = events;
    this.drivers = drivers;
  }

  /**
   * @throws IllegalArgumentException when a line's settings do not fit
   */
  synchronized void start(Path benchFile) {
    close();
    Bench bench = BenchFile.read(benchFile);
    Feed feed =
        Feeds.open(bench, benchFile, drivers, Feeds.Simulation.usual(), Moment.START).feed();
    Thread owner = new Thread(() -> listen(feed), "listening");
    owner.setDaemon(true);
    owner.start();
    thread = Optional.of(owner);
  }

  private void listen(Feed feed) {
    try (feed) {
      List<Heard> heard = new ArrayList<>();
      for (int i = 0; i < feed.channels().size(); i++) {
        String id = feed.bench().instruments().get(i).id();
        for (Channel channel : feed.channels().get(i)) {
          heard.add(new Heard(i, id + "." + channel.name(), channel.unit()));
        }
      }
      Map<Integer, String> lost = new TreeMap<>();
      long shown = System.nanoTime();
      long seen = shown;
      while (System.nanoTime() - seen < UNSEEN_NANOS && !Thread.interrupted()) {
        feed.next(0.05).ifPresent(happening -> take(happening, heard, lost));
        long now = System.nanoTime();
        if (now - shown >= SHOWN_NANOS) {
          shown = now;
          ObjectNode json = json(heard, lost);
          events.show("readings", () -> json);
          seen = events.count() > 0 ? now : seen;
        }
      }
    } catch (InterruptedException e) {
      // Asked to end: a test begins, or the page closes.
    }
  }

  private static void take(Happening happening, List<Heard> heard, Map<Integer, String> lost) {
    happening.fold(
        arrived -> add(arrived.frame(), heard, lost),
        unread -> null,
        gone -> lost.put(gone.instrument(), gone.reason()),
        back -> lost.remove(back.instrument()),
        ended -> null,
        remark -> null);
  }

  private static Object add(Frame frame, List<Heard> heard, Map<Integer, String> lost) {
    lost.remove(frame.instrument());
    int channel = 0;
    for (Heard each : heard) {
      if (each.instrument == frame.instrument()) {
        each.add(frame.valuesSi()[channel++]);
      }
    }
    return null;
  }

  private static ObjectNode json(List<Heard> heard, Map<Integer, String> lost) {
    ObjectNode json = Showing.object();
    ArrayNode channels = json.putArray("channels");
    for (Heard each : heard) {
      each.addTo(channels.addObject());
      if (lost.containsKey(each.instrument)) {
        ((ObjectNode) channels.get(channels.size() - 1)).put("lost", lost.get(each.instrument));
      }
    }
    return json;
  }

  /** One channel: the mean since it was last shown, and how it has moved since the beginning. */
  private static final class Heard {
    final int instrument;
    private final String name;
    private final Unit unit;
    private double sum;
    private int count;
    private int overRange;
    private double first = Double.NaN;
    private double mean = Double.NaN;

    Heard(int instrument, String name, Unit unit) {
      this.instrument = instrument;
      this.name = name;
      this.unit = unit;
    }

    void add(double si) {
      if (si == Frame.OVERLOAD) {
        overRange++;
      } else if (!Double.isNaN(si)) {
        sum += si;
        count++;
      }
    }

    void addTo(ObjectNode json) {
      if (count > 0) {
        mean = sum / count;
        first = Double.isNaN(first) ? mean : first;
      } else if (overRange > 0) {
        mean = Double.NaN;
      }
      json.put("name", name).put("unit", unit.symbol());
      Showing.put(json, "mean", mean, unit);
      Showing.put(json, "moved", unit.fromSi(mean) - unit.fromSi(first), 1);
      json.put("readings", count).put("over_range", overRange > 0);
      sum = 0;
      count = 0;
      overRange = 0;
    }
  }

  @Override
  public synchronized void close() {
    thread.ifPresent(
        owner -> {
          owner.interrupt();
          try {
            owner.join(5_000);
          } catch (InterruptedException e) {
            Thread.currentThread().interrupt();
          }
        });
    thread = Optional.empty();
  }
}
