package meniscus.recorder.upkeep;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Instant;
import java.time.InstantSource;
import java.util.Comparator;
import java.util.List;
import java.util.Optional;
import meniscus.core.bench.Bench;
import meniscus.core.bench.Calibration;
import meniscus.core.bench.CalibrationRef;
import meniscus.core.bench.FlowElement;
import meniscus.core.bench.Leakage;
import meniscus.core.bench.OrificeElement;
import meniscus.core.bench.Range;
import meniscus.core.calibrate.Plate;
import meniscus.core.flow.Direction;
import meniscus.drivers.simulated.Mounted;
import meniscus.recorder.feed.Drivers;
import meniscus.recorder.feed.Feeds;
import meniscus.recorder.file.BenchFile;
import meniscus.recorder.file.CalibrationFile;
import meniscus.recorder.file.FileNotAccepted;
import meniscus.recorder.file.PlatesFile;
import meniscus.recorder.session.PlateRecording;

/**
 * Where upkeep is done: the bench's files, how its instruments are reached, and the time of day.
 *
 * @param benchFile read at the beginning, written at the end
 * @param platesFile of the shop's orifice plates
 * @param library of plans and tests
 * @param drivers that can be used
 * @param clock when a task is done
 */
public record UpkeepPlace(
    Path benchFile, Path platesFile, Library library, Drivers drivers, InstantSource clock) {

  /** Where plans and tests are found by the names that a person gives them. */
  public interface Library {

    /**
     * @throws WrongRequest when there is none of that name
     */
    Path plan(String name) throws WrongRequest;

    /**
     * @throws WrongRequest when there is none of that name
     */
    Path test(String name) throws WrongRequest;
  }

  /** Names are paths, as at the terminal. */
  public static final Library PATHS =
      new Library() {
        @Override
        public Path plan(String name) throws WrongRequest {
          return there("plan", name);
        }

        @Override
        public Path test(String name) throws WrongRequest {
          return there("from", name);
        }

        private Path there(String option, String name) throws WrongRequest {
          Path path = Path.of(name);
          if (!Files.exists(path)) {
            throw WrongRequest.notUnderstood(option, "there is no " + name);
          }
          return path;
        }
      };

  Bench bench() {
    return BenchFile.atHome(benchFile);
  }

  void write(Bench learned) throws IOException {
    // Perhaps drawn since the task began.
    BenchFile.write(benchFile, learned.as(BenchFile.identified(benchFile).identity()));
  }

  /** The time of day. */
  Instant now() {
    return clock.instant();
  }

  Path folder() {
    return benchFile.toAbsolutePath().getParent();
  }

  /** The folder beside the bench file that holds the raw readings of plates. */
  Path plateReadings() {
    return plateReadings(benchFile);
  }

  /** That folder of any bench. */
  public static Path plateReadings(Path benchFile) {
    return benchFile.resolveSibling(PlateRecording.FOLDER);
  }

  /** What a killed program has left of them is finished first. */
  void finishPlateReadings(BenchOperator operator) {
    PlateRecording.finishLeft(
        plateReadings(), why -> operator.told(new UpkeepMessage.RawLeft(why)));
  }

  List<Plate> plates() throws WrongRequest {
    if (!Files.exists(platesFile)) {
      throw WrongRequest.notNow(
          "there is no plates file "
              + platesFile
              + ": write down what each of your orifice plates passes");
    }
    return PlatesFile.read(platesFile);
  }

  /** The bench as it is reached for a task. */
  BenchAt at(Bench bench, UpkeepRequest request, Mounted mounted) throws WrongRequest {
    return new BenchAt(
        bench, benchFile, drivers, request.simulation(mounted), BenchAt.Pace.CAREFUL);
  }

  /** True when every instrument is simulated. */
  boolean simulated(Bench bench) {
    return Feeds.isSimulated(Feeds.wire(bench, benchFile, drivers));
  }

  /** The leak that plates are read beside: that of the blanked bench, when it was measured. */
  static Optional<Leakage> leakage(Bench bench, Direction direction) {
    return bench
        .upkeep()
        .leakage(direction, LeakTest.BLANKED)
        .or(() -> bench.upkeep().leakage(direction));
  }

  /** The range with the smallest bore; the last one where bores are not known. */
  public static Range smallest(Bench bench) {
    return bench.ranges().stream()
        .filter(range -> bore(range.element()) > 0)
        .min(Comparator.comparingDouble(range -> bore(range.element())))
        .orElseGet(() -> bench.ranges().get(bench.ranges().size() - 1));
  }

  private static double bore(FlowElement element) {
    return element.fold(
        OrificeElement::boreM,
        nozzle -> nozzle.throatM(),
        linear -> 0.0,
        chart -> 0.0,
        fitted -> bore(fitted.base()));
  }

  /**
   * The calibration that a range uses now, from its file beside the bench file.
   *
   * @throws WrongRequest when there is none yet
   * @throws FileNotAccepted when its file is gone or not what it was
   */
  public static Calibration calibration(
      Bench bench, Path benchFile, Direction direction, Range range)
      throws WrongRequest, IOException {
    Optional<CalibrationRef> current = bench.upkeep().calibration(direction, range.name());
    if (current.isEmpty()) {
      throw WrongRequest.notNow(
          "range \""
              + range.name()
              + "\" has no calibration on "
              + direction.word()
              + " yet: run calibrate first");
    }
    return CalibrationFile.beside(benchFile, current.get().sha256());
  }
}
