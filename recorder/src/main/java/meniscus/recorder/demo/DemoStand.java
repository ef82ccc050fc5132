package meniscus.recorder.demo;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Instant;
import java.time.LocalDate;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.SortedMap;
import java.util.concurrent.Callable;
import java.util.concurrent.ExecutionException;
import java.util.concurrent.ExecutorService;
import java.util.concurrent.Executors;
import java.util.concurrent.Future;
import meniscus.core.bench.Bench;
import meniscus.core.bench.Repeatability;
import meniscus.core.calibrate.EpochTasks;
import meniscus.core.compare.Question;
import meniscus.core.flow.Direction;
import meniscus.core.time.Moment;
import meniscus.drivers.simulated.Mounted;
import meniscus.recorder.feed.Drivers;
import meniscus.recorder.feed.Feeds;
import meniscus.recorder.file.BenchFile;
import meniscus.recorder.file.PlatesFile;
import meniscus.recorder.file.WholeFile;
import meniscus.recorder.journal.Header;
import meniscus.recorder.session.FolderFiles;
import meniscus.recorder.session.TestRecorder;
import meniscus.recorder.upkeep.BenchAt;

/**
 * The demo's bench in a folder of its own, as both jobs use it: made ready, then tested on.
 *
 * @param out folder to write into
 * @param quick in simulated time
 * @param seed of noise, weather and fitting
 * @param progress is told each step
 */
record DemoStand(Path out, boolean quick, long seed, DemoStep.Progress progress) {

  private static final String PLATES = "plates.json";

  Path benchFile() {
    return out.resolve(Header.BENCH);
  }

  void writeBench() throws IOException {
    Files.createDirectories(out);
    WholeFile.write(benchFile(), DemoFiles.text(Header.BENCH));
    WholeFile.write(out.resolve(PLATES), DemoFiles.text(PLATES));
  }

  /** The bench came to where it stands now: what is learned of it from then on counts. */
  void moved(LocalDate day) throws IOException {
    Bench bench = BenchFile.identified(benchFile());
    BenchFile.write(
        benchFile(), bench.with(upkeep -> EpochTasks.begin(upkeep, EpochTasks.Cause.MOVED, day)));
  }

  /** The bench as it is in its file, and someone to look after it. */
  private DemoBench keeper(Instant now, long noise) {
    BenchAt at =
        new BenchAt(
            BenchFile.read(benchFile()),
            benchFile(),
            Drivers.shipped(),
            new Feeds.Simulation(quick, noise, new Mounted.Blank()),
            BenchAt.Pace.BRISK);
    return new DemoBench(at, PlatesFile.read(out.resolve(PLATES)), now, progress);
  }

  /**
   * Upkeep as a person would do it, then what the bench gives again.
   *
   * @param ways that air is to be moved
   * @param plan of the head that is put on again and again
   * @param now date of it
   */
  void prepare(List<Direction> ways, Path plan, Instant now)
      throws IOException, InterruptedException {
    Bench bench = keeper(now, seed).prepared(ways);
    BenchFile.write(benchFile(), bench);
    progress.begins(
        DemoStep.REPEATABILITY,
        "repeatability: the head put on " + DemoRepeats.FITTINGS + " times (in simulated time)");
    Repeatability learned = repeatability(plan);
    BenchFile.write(benchFile(), bench.with(known -> known.withRepeatability(learned)));
  }

  /**
   * What is done before tests on a later day: zero, and a plate against the calibration.
   *
   * @param day that tells its noise from that of other days
   */
  void check(List<Direction> ways, int day, Instant now) throws IOException, InterruptedException {
    BenchFile.write(benchFile(), keeper(now, seed * 1000 + day).checked(ways));
  }

  /** Short averages: the calm record is not needed, only what the fitting does. */
  private Repeatability repeatability(Path plan) {
    SortedMap<String, byte[]> files = FolderFiles.gather(benchFile(), plan);
    return DemoRepeats.learned(
        files,
        seed * 1000 + 100,
        (assembly, bench, simulation) ->
            Feeds.simulated(
                assembly.bench(),
                Feeds.wire(assembly.bench(), benchFile(), Drivers.shipped()),
                bench,
                simulation,
                Moment.START));
  }

  /**
   * Of a test into a folder.
   *
   * @param day that tells its noise, weather and fitting from those of other tests
   */
  TestRecorder recorder(Path plan, Path folder, Mounted head, int day) {
    return new TestRecorder(
        new TestRecorder.Request(
            benchFile(),
            plan,
            folder,
            Optional.empty(),
            true,
            false,
            new Feeds.Simulation(quick, seed * 1000 + day, head)),
        Drivers.shipped());
  }

  /** Runs tests that know nothing of each other, as many at once as there are cores. */
  static void beside(List<Callable<?>> tests) throws IOException, InterruptedException {
    ExecutorService workers =
        Executors.newFixedThreadPool(
            Math.min(tests.size(), Runtime.getRuntime().availableProcessors()));
    try {
      List<Future<?>> running = new ArrayList<>();
      for (Callable<?> test : tests) {
        running.add(workers.submit(test));
      }
      for (Future<?> one : running) {
        one.get();
      }
    } catch (ExecutionException e) {
      if (e.getCause() instanceof RuntimeException refused) {
        throw refused;
      }
      throw new IOException(e.getCause().getMessage(), e.getCause());
    } finally {
      workers.shutdownNow();
    }
  }

  static Question question() {
    return new Question(OptionalDouble.empty(), Question.USUAL_RESOLUTION, Optional.empty(), false);
  }
}
