package meniscus.recorder.upkeep;

import java.nio.file.Path;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import meniscus.core.air.ReferenceAir;
import meniscus.core.bench.Bench;
import meniscus.core.bench.PointMeans;
import meniscus.core.bench.Range;
import meniscus.core.bench.Upkeep;
import meniscus.core.flow.Direction;
import meniscus.core.flow.ReferenceState;
import meniscus.core.lift.Sweep;
import meniscus.core.pipeline.Acquisition;
import meniscus.core.quantity.Unit;
import meniscus.core.steadiness.JudgeSettings;
import meniscus.core.time.Moment;
import meniscus.recorder.session.Drivers;
import meniscus.recorder.session.Feed;
import meniscus.recorder.session.Feeds;
import meniscus.recorder.session.Measuring;

/**
 * A bench with its lines open and something mounted, for readings outside a lift test. Flows are
 * worked out with the range's uncorrected element and no leak subtracted.
 */
public final class Stand implements AutoCloseable {

  private static final double BAND = 0.05;
  private static final double LEAST_SECONDS = 12;
  private static final double LONGEST_SECONDS = 45;

  /** Asked relative half-width of a mean; the longest time ends what does not get there. */
  private static final double TARGET = 0.001;

  private static final double TEST_PRESSURE_PA = 28 * Unit.INCH_OF_WATER.factor();

  private final Bench bench;
  private final Range range;
  private final Feed feed;
  private final Measuring measuring;
  private final Acquisition acquisition;

  private Stand(Bench bench, Range range, Direction direction, Feed feed) {
    this.bench = bench;
    this.range = range;
    this.feed = feed;
    this.measuring = new Measuring(feed);
    this.acquisition =
        Acquisition.of(
            withoutLeaks(bench),
            range,
            range.element(),
            direction,
            feed.channels(),
            JudgeSettings.usual()
                .withTarget(TARGET)
                .withCapSeconds(LONGEST_SECONDS)
                .withMainsHertz(bench.site().mainsHz()),
            new ReferenceState(ReferenceAir.DRY_20C, TEST_PRESSURE_PA));
  }

  /**
   * Opens the lines.
   *
   * @param simulation of the built-in bench; of no effect on a real one
   */
  public static Stand open(
      Bench bench,
      Path benchFile,
      Drivers drivers,
      Range range,
      Direction direction,
      Feeds.Simulation simulation) {
    Feed feed =
        Feeds.open(bench, benchFile, drivers, simulation.on(direction, range.name()), Moment.START)
            .feed();
    return new Stand(bench, range, direction, feed);
  }

  private static Bench withoutLeaks(Bench bench) {
    return bench.with(
        upkeep ->
            new Upkeep(
                upkeep.epoch(),
                upkeep.zeros(),
                List.of(),
                upkeep.calibrations(),
                upkeep.repeatability(),
                upkeep.calm(),
                upkeep.health()));
  }

  /**
   * Means at a test pressure.
   *
   * @throws IllegalArgumentException when it is not reached, or nothing can be averaged
   */
  public PointMeans at(double testPressurePa) throws InterruptedException {
    feed.asks(new Feed.Asked(0, Sweep.OPENING, testPressurePa));
    return measuring
        .point(
            acquisition,
            new Measuring.Asked(testPressurePa, BAND, LEAST_SECONDS, LONGEST_SECONDS),
            (seconds, area) -> {})
        .map(Measuring.Averaged::means)
        .orElseThrow(
            () ->
                new IllegalArgumentException(
                    String.format(
                        Locale.ROOT,
                        "no steady reading at %.0f Pa on range \"%s\" within %.0f s: is the blower"
                            + " on and strong enough, is the drop within its gauge's range, do all"
                            + " instruments send?",
                        testPressurePa,
                        range.name(),
                        2 * LONGEST_SECONDS)));
  }

  /** All readings with the blower off, as received, by {@code instrument.channel}. */
  public Map<String, Measuring.Readings> resting(double settleSeconds, double seconds)
      throws InterruptedException {
    rest();
    measuring.raw(settleSeconds, gone -> {});
    return measuring.raw(seconds, gone -> {});
  }

  /** Blower off. */
  public void rest() {
    feed.asks(Feed.Asked.NOTHING);
  }

  public Bench bench() {
    return bench;
  }

  @Override
  public void close() {
    rest();
    feed.close();
  }
}
