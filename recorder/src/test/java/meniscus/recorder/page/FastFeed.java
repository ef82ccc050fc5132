package meniscus.recorder.page;

import java.nio.file.Path;
import java.time.Duration;
import java.time.Instant;
import java.util.List;
import java.util.Optional;
import java.util.Random;
import java.util.concurrent.atomic.AtomicLongArray;
import java.util.concurrent.locks.LockSupport;
import meniscus.core.bench.Bench;
import meniscus.core.instrument.Channel;
import meniscus.core.pipeline.Frame;
import meniscus.core.quantity.Unit;
import meniscus.core.time.Moment;
import meniscus.recorder.feed.BenchEvent;
import meniscus.recorder.feed.Drivers;
import meniscus.recorder.feed.Feed;
import meniscus.recorder.feed.Feeds;
import meniscus.recorder.file.BenchFile;

/**
 * The demo's bench with two pressures and the lift a thousand times a second, by the clock on the
 * wall; notes when each was handed over.
 */
final class FastFeed implements Feed {

  private static final long STEP_NANOS = 1_000_000;
  private static final int LONGEST = 600_000;

  private final Bench bench;
  private final List<List<Channel>> channels;
  private final Random random = new Random(20260301);
  private final long start = System.nanoTime();
  private final Instant wallStart = Instant.now();

  /** When reading k was handed over, in microseconds since the epoch. */
  private final AtomicLongArray handedOver = new AtomicLongArray(LONGEST);

  private int tick;
  private int part;
  private Asked asked = Asked.NOTHING;

  FastFeed(Path benchFile) {
    bench = BenchFile.read(benchFile);
    channels =
        Feeds.wire(bench, benchFile, Drivers.shipped()).stream()
            .map(wired -> wired.channels())
            .toList();
  }

  /** Wall clock when the reading of this moment was handed over [µs since the epoch]. */
  long handedOverMicros(int reading) {
    return handedOver.get(reading);
  }

  int readings() {
    return tick;
  }

  @Override
  public Bench bench() {
    return bench;
  }

  @Override
  public List<List<Channel>> channels() {
    return channels;
  }

  @Override
  public Optional<BenchEvent> next(double waitSeconds) throws InterruptedException {
    if (Thread.interrupted()) {
      throw new InterruptedException();
    }
    if (part == 0) {
      tick++;
      long ahead = tick * STEP_NANOS - (System.nanoTime() - start);
      if (ahead > 0) {
        LockSupport.parkNanos(ahead);
      }
      Duration since = Duration.ofNanos(System.nanoTime() - start);
      Instant wall = wallStart.plus(since);
      handedOver.set(tick, wall.getEpochSecond() * 1_000_000 + wall.getNano() / 1_000);
    }
    Frame frame = new Frame(part, new Moment(tick * STEP_NANOS), values(part));
    part = part == 0 ? 1 : part == 1 && tick % 1_000 == 1 ? 2 : 0;
    return Optional.of(new BenchEvent.Arrived(frame));
  }

  private double[] values(int instrument) {
    double pressure = asked.testPressurePa() * (1 + 0.002 * random.nextGaussian());
    return switch (instrument) {
      case 0 -> new double[] {pressure, pressure * 0.2 * (1 + 0.005 * random.nextGaussian())};
      case 1 -> new double[] {asked.liftM()};
      default -> new double[] {Unit.DEGREE_CELSIUS.toSi(21), 99_800, 0.45};
    };
  }

  @Override
  public Moment now() {
    return new Moment(Math.max(tick * STEP_NANOS, System.nanoTime() - start));
  }

  @Override
  public void asks(Asked wanted) {
    asked = wanted;
  }

  @Override
  public void close() {}
}
