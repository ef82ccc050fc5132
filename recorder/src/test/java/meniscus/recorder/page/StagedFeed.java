package meniscus.recorder.page;

import java.nio.file.Path;
import java.util.List;
import java.util.Optional;
import java.util.concurrent.ConcurrentHashMap;
import java.util.concurrent.ConcurrentLinkedQueue;
import java.util.concurrent.locks.LockSupport;
import meniscus.core.bench.Bench;
import meniscus.core.instrument.Channel;
import meniscus.core.time.Moment;
import meniscus.drivers.simulated.Mounted;
import meniscus.drivers.simulated.Scenario;
import meniscus.drivers.simulated.SimulatedBench;
import meniscus.drivers.simulated.SimulatedOperator;
import meniscus.recorder.feed.BenchEvent;
import meniscus.recorder.feed.Drivers;
import meniscus.recorder.feed.Feed;
import meniscus.recorder.feed.Feeds;
import meniscus.recorder.feed.SimulatedFeed;
import meniscus.recorder.file.BenchFile;

/**
 * The simulated bench some times as fast as the clock on the wall, whose instruments can be pulled
 * out and plugged in again.
 */
final class StagedFeed implements Feed {

  private final Feed inner;
  private volatile Pace pace;
  private final ConcurrentHashMap<Integer, String> gone = new ConcurrentHashMap<>();
  private final ConcurrentLinkedQueue<BenchEvent> staged = new ConcurrentLinkedQueue<>();

  /** Simulated time runs from a moment on, some times as fast as the clock on the wall. */
  private record Pace(double speed, double fromSeconds, long sinceNanos) {
    long aheadNanos(double nowSeconds) {
      return Math.round((nowSeconds - fromSeconds) * 1e9 / speed)
          - (System.nanoTime() - sinceNanos);
    }
  }

  /**
   * @param changed the head after the change, whose short side gives up
   * @param speed simulated seconds a second
   */
  static StagedFeed of(Path benchFile, boolean changed, double speed, long seed) {
    Bench bench = BenchFile.read(benchFile);
    Scenario scenario = Scenario.demo();
    SimulatedBench simulated = new SimulatedBench(scenario, seed);
    simulated.mount(new Mounted.Head(changed ? scenario.after() : scenario.before()));
    return new StagedFeed(
        new SimulatedFeed(
            bench,
            Feeds.wire(bench, benchFile, Drivers.shipped()),
            simulated,
            new SimulatedOperator(simulated, seed),
            false,
            Moment.START),
        speed);
  }

  private StagedFeed(Feed inner, double speed) {
    this.inner = inner;
    speed(speed);
  }

  /** From here on at this speed. */
  void speed(double simulatedSecondsASecond) {
    pace = new Pace(simulatedSecondsASecond, inner.now().seconds(), System.nanoTime());
  }

  /** Pulls an instrument out. */
  void pull(int instrument, String reason) {
    gone.put(instrument, reason);
    staged.add(new BenchEvent.Lost(inner.now(), instrument, reason));
  }

  void plugIn(int instrument) {
    gone.remove(instrument);
    staged.add(new BenchEvent.Back(inner.now(), instrument));
  }

  /** Lets an instrument fall silent without anything being said. */
  void silence(int instrument) {
    gone.put(instrument, "silent");
  }

  @Override
  public Bench bench() {
    return inner.bench();
  }

  @Override
  public List<List<Channel>> channels() {
    return inner.channels();
  }

  @Override
  public Optional<BenchEvent> next(double waitSeconds) throws InterruptedException {
    BenchEvent first = staged.poll();
    if (first != null) {
      return Optional.of(first);
    }
    long ahead = pace.aheadNanos(inner.now().seconds());
    if (ahead > 0) {
      LockSupport.parkNanos(ahead);
    }
    if (Thread.interrupted()) {
      throw new InterruptedException();
    }
    return inner
        .next(waitSeconds)
        .filter(
            happening ->
                !(happening instanceof BenchEvent.Arrived arrived
                    && gone.containsKey(arrived.frame().instrument())));
  }

  @Override
  public Moment now() {
    return inner.now();
  }

  @Override
  public void asks(Asked asked) {
    inner.asks(asked);
  }

  @Override
  public void close() {
    inner.close();
  }
}
