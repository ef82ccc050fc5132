package meniscus.recorder.feed;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.io.InputStream;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Arrays;
import java.util.List;
import java.util.Optional;
import java.util.Random;
import meniscus.core.air.AirState;
import meniscus.core.bench.Bench;
import meniscus.core.bench.Range;
import meniscus.core.flow.Direction;
import meniscus.core.flow.ReferenceState;
import meniscus.core.instrument.Channel;
import meniscus.core.lift.Sweep;
import meniscus.core.pipeline.Acquisition;
import meniscus.core.pipeline.Frame;
import meniscus.core.steadiness.JudgeSettings;
import meniscus.core.time.Moment;
import meniscus.drivers.simulated.Mounted;
import meniscus.drivers.simulated.Scenario;
import meniscus.recorder.file.BenchFile;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/**
 * Readings of a bench whose computer or line stalls now and then: what was taken meanwhile arrives
 * all at once afterwards. On the simulated bench's own clock.
 */
class BurstsTest {

  private static final double AIM_PA = 24 * 249.08891;

  @TempDir Path folder;

  /** The simulated bench with stalls up to a length, beginning and ending by chance. */
  private static final class Stalling implements Feed {
    private final Feed inner;
    private final Random random;
    private final double longestSeconds;
    private double arrives;
    private double flows;
    private double now;

    Stalling(Feed inner, double longestSeconds, long seed) {
      this.inner = inner;
      this.longestSeconds = longestSeconds;
      this.random = new Random(seed);
    }

    @Override
    public Optional<BenchEvent> next(double waitSeconds) throws InterruptedException {
      Optional<BenchEvent> event = inner.next(waitSeconds);
      double taken = event.map(each -> each.moment().seconds()).orElse(inner.now().seconds());
      while (taken > flows) { // the next stall
        arrives = flows + longestSeconds * random.nextDouble();
        flows = arrives + 0.3 * random.nextDouble();
      }
      now = Math.max(now, Math.max(taken, arrives));
      return event.map(
          each ->
              each instanceof BenchEvent.Arrived arrived
                  ? new BenchEvent.Arrived(
                      new Frame(
                          arrived.frame().instrument(),
                          Moment.ofSeconds(now),
                          arrived.frame().valuesSi()))
                  : each);
    }

    @Override
    public Moment now() {
      return Moment.ofSeconds(now);
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
    public void asks(Asked asked) {
      inner.asks(asked);
    }

    @Override
    public void close() {
      inner.close();
    }
  }

  private Bench bench() throws IOException {
    Path file = folder.resolve("bench.json");
    try (InputStream in = getClass().getResourceAsStream("/meniscus/recorder/record/bench.json")) {
      Files.write(file, in.readAllBytes());
    }
    return BenchFile.read(file);
  }

  private Feed feed(Bench bench, double longestStallSeconds, long seed) {
    Mounted.Plate plate =
        Scenario.demo().plates().stream()
            .filter(each -> each.boreM() == 0.044)
            .findFirst()
            .orElseThrow();
    Feed inner =
        Feeds.open(
                bench,
                folder.resolve("bench.json"),
                Drivers.shipped(),
                new Feeds.Simulation(true, 7, plate),
                Moment.START)
            .feed();
    return longestStallSeconds > 0 ? new Stalling(inner, longestStallSeconds, seed) : inner;
  }

  private static Acquisition acquisition(Bench bench, Feed feed) {
    Range range = bench.ranges().get(0);
    return Acquisition.of(
        bench,
        range,
        range.element(),
        Direction.SUCTION,
        feed.channels(),
        JudgeSettings.usual().withTarget(0.02).withCapSeconds(46),
        new ReferenceState(AirState.DRY_20C, AIM_PA));
  }

  private static final GaugeReader NOBODY = sentence -> {};

  private double areaM2(double longestStallSeconds, long seed) throws Exception {
    Bench bench = bench();
    try (Feed feed = feed(bench, longestStallSeconds, seed)) {
      Acquisition acquisition = acquisition(bench, feed);
      feed.asks(new Feed.Asked(0, Sweep.OPENING, AIM_PA));
      return new Measuring(feed, NOBODY)
          .point(
              acquisition,
              new Measuring.Asked(AIM_PA, 0.05, 12, 45, List.of(), List.of()),
              (seconds, area) -> {})
          .fold(
              averaged -> averaged.means().effectiveAreaM2(),
              none -> {
                throw new AssertionError(none.toString());
              });
    }
  }

  /** A pressure that still rises looks at rest to who goes by when its readings arrived. */
  @Test
  void aPlateReadsTheSameHoweverItsReadingsArrive() throws Exception {
    double even = areaM2(0, 0);
    for (double longest : new double[] {0.2, 1, 3}) {
      for (long seed = 1; seed <= 5; seed++) {
        assertEquals(even, areaM2(longest, seed), 0.006 * even, longest + " s, seed " + seed);
      }
    }
  }

  /** A zero begins when the blower stood still: what was read before it did is none of it. */
  @Test
  void readingsThatAStallHeldBackAreNoneOfAZero() throws Exception {
    double[] even = pressureAfterBlower(0, 0);
    for (double longest : new double[] {0.2, 1, 3}) {
      for (long seed = 1; seed <= 3; seed++) {
        double[] read = pressureAfterBlower(longest, seed);
        String where = longest + " s, seed " + seed;
        assertTrue(read.length > 0.7 * even.length, where + ": " + read.length + " readings");
        assertTrue(read.length < 1.02 * even.length, where + ": " + read.length + " readings");
        assertTrue(most(read) < 1.1 * most(even), where + ": " + most(read) + " Pa");
      }
    }
  }

  private static double most(double[] pascals) {
    return Arrays.stream(pascals).map(Math::abs).max().orElseThrow();
  }

  /** Ten seconds of the test pressure, from three seconds after the blower went off [Pa]. */
  private double[] pressureAfterBlower(double longestStallSeconds, long seed) throws Exception {
    Bench bench = bench();
    try (Feed feed = feed(bench, longestStallSeconds, seed)) {
      RawReadings raw = new RawReadings(feed, NOBODY);
      Acquisition acquisition = acquisition(bench, feed);
      feed.asks(new Feed.Asked(0, Sweep.OPENING, AIM_PA));
      raw.raw(acquisition, 20);
      feed.asks(Feed.Asked.NOTHING);
      return raw.raw(acquisition, 3, 10).get("manometer.test_pressure").valuesSi();
    }
  }
}
