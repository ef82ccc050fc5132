package meniscus.recorder.demo;

import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.SortedMap;
import java.util.stream.IntStream;
import meniscus.core.bench.Repeatability;
import meniscus.core.compare.LearnedRepeatability;
import meniscus.core.lift.LiftPoint;
import meniscus.core.lift.Rung;
import meniscus.core.lift.TestCurve;
import meniscus.core.lift.TestEvent;
import meniscus.core.pipeline.LadderRun;
import meniscus.core.pipeline.OperatorMessage;
import meniscus.core.pipeline.RunLog;
import meniscus.core.time.Moment;
import meniscus.drivers.simulated.Mounted;
import meniscus.drivers.simulated.Scenario;
import meniscus.drivers.simulated.SimulatedBench;
import meniscus.recorder.feed.BenchEvent;
import meniscus.recorder.feed.Feed;
import meniscus.recorder.feed.Feeds;
import meniscus.recorder.session.Assembly;

/**
 * One unchanged head, taken off and put back: what the bench gives again. Short averages will do,
 * for only what differs from fitting to fitting is wanted.
 */
final class DemoRepeats {

  static final int FITTINGS = 6;

  private static final double STABILITY_SECONDS = 8;

  private DemoRepeats() {}

  /**
   * @param files of bench and plan
   * @param openFeed opens a simulated bench with a seed of its own
   */
  static Repeatability learned(SortedMap<String, byte[]> files, long seed, OpenFeed openFeed) {
    List<TestCurve> curves =
        IntStream.range(0, FITTINGS)
            .parallel()
            .mapToObj(i -> curve(briefer(files), "fitting " + (i + 1), seed + i, openFeed))
            .toList();
    return LearnedRepeatability.of(curves);
  }

  private static Assembly briefer(SortedMap<String, byte[]> files) {
    return Assembly.of(files).withStabilitySeconds(STABILITY_SECONDS);
  }

  /** Opens the lines of a simulated bench. */
  @FunctionalInterface
  interface OpenFeed {
    Feed open(Assembly assembly, SimulatedBench bench, Feeds.Simulation simulation);
  }

  private static TestCurve curve(Assembly assembly, String name, long seed, OpenFeed openFeed) {
    SimulatedBench bench = new SimulatedBench(Scenario.demo(), seed);
    Mounted head = new Mounted.Head(Scenario.demo().before());
    bench.mount(head);
    Feeds.Simulation simulation = new Feeds.Simulation(true, seed, head);
    try (Feed feed = openFeed.open(assembly, bench, simulation)) {
      return new TestCurve(
          name,
          assembly.bench().name(),
          assembly.calibration().map(calibration -> calibration.id()).orElse(""),
          Optional.empty(),
          assembly.plan(),
          Optional.empty(),
          List.of(),
          points(assembly, feed));
    } catch (InterruptedException e) {
      Thread.currentThread().interrupt();
      throw new IllegalStateException("interrupted", e);
    }
  }

  private static List<LiftPoint> points(Assembly assembly, Feed feed) throws InterruptedException {
    LadderRun run =
        new LadderRun(
            assembly.acquisition(feed.channels()),
            assembly.pointMaker(),
            assembly.plan(),
            true,
            new Unwritten());
    run.segment(Moment.START, Instant.EPOCH);
    Optional<Rung> asked = Optional.empty();
    while (!run.finished()) {
      if (!run.wanted().equals(asked)) {
        asked = run.wanted();
        feed.asks(new Feed.Asked(asked.get().liftM(), asked.get().sweep(), run.aimPa()));
      }
      Optional<BenchEvent> happening = feed.next(0.1);
      if (happening.isPresent() && happening.get() instanceof BenchEvent.Arrived arrived) {
        run.frame(arrived.frame());
      }
    }
    return new ArrayList<>(run.points());
  }

  /** These runs leave nothing behind but what is learned. */
  private static final class Unwritten implements RunLog {
    @Override
    public void event(TestEvent event) {}

    @Override
    public void kept(TestEvent event, LiftPoint point) {}

    @Override
    public void told(OperatorMessage told) {}
  }
}
