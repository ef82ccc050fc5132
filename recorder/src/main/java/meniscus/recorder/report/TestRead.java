package meniscus.recorder.report;

import java.io.IOException;
import java.nio.file.Path;
import java.time.Instant;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import meniscus.core.bench.Bench;
import meniscus.core.bench.CalibrationRef;
import meniscus.core.bench.HealthEntry;
import meniscus.core.calibrate.EpochTasks;
import meniscus.core.lift.LiftPoint;
import meniscus.core.lift.Plan;
import meniscus.core.lift.SeatReadings;
import meniscus.core.lift.TestCurve;
import meniscus.recorder.archive.NotesOfTest;
import meniscus.recorder.file.BenchFile;
import meniscus.recorder.file.FileNotAccepted;
import meniscus.recorder.file.Notes;
import meniscus.recorder.folder.BadTestFolder;
import meniscus.recorder.folder.TestFolder;
import meniscus.recorder.journal.Header;

/**
 * A test folder, read for comparing and reporting.
 *
 * @param folder it was read from
 * @param bench as it was on the day
 * @param calibration used, when there was one
 * @param curve of the test
 * @param health every check of the bench that stood when the test began, newest of its kind
 */
public record TestRead(
    TestFolder folder,
    Bench bench,
    Optional<CalibrationRef> calibration,
    TestCurve curve,
    List<HealthEntry> health) {

  /**
   * Reads a test folder.
   *
   * @throws FileNotAccepted naming folder, file and row when it is damaged or not ours
   */
  public static TestRead open(Path path) {
    try {
      TestFolder folder = TestFolder.open(path);
      if (folder.isOfPlate()) {
        throw new FileNotAccepted(
            path
                + " holds readings of a plate, no test of a port: recompute and compare --benches"
                + " take it");
      }
      Bench bench =
          BenchFile.parse(path.resolve(Header.BENCH).toString(), folder.text(Header.BENCH));
      NotesOfTest notes = NotesOfTest.of(folder);
      Plan plan = notes.plan();
      List<LiftPoint> points = notes.points();
      return read(name(folder.folder()), folder, bench, plan, points);
    } catch (BadTestFolder e) {
      throw new FileNotAccepted(named(path, e.getMessage()), e);
    } catch (IOException e) {
      throw new FileNotAccepted(path + ": cannot be read: " + e.getMessage(), e);
    }
  }

  private static TestRead read(
      String name, TestFolder folder, Bench bench, Plan plan, List<LiftPoint> points)
      throws IOException {
    Optional<CalibrationRef> calibration = calibration(bench, plan, points);
    List<HealthEntry> health = standing(bench, folder.created());
    TestCurve curve =
        new TestCurve(
            name,
            bench.stretch(name, calibration),
            calibration.map(CalibrationRef::sha256).orElse(""),
            bench.upkeep().repeatability(),
            plan,
            RoomAir.of(folder, bench),
            notInOrder(bench, health, points),
            points);
    return new TestRead(folder, bench, calibration, curve, health);
  }

  /** The calibration that a test was taken with, when there was one. */
  public static Optional<CalibrationRef> calibration(
      Bench bench, Plan plan, List<LiftPoint> points) {
    String range =
        plan.range()
            .or(() -> points.stream().map(LiftPoint::range).findFirst())
            .orElse(bench.ranges().get(0).name());
    return bench.upkeep().calibration(plan.direction(), range);
  }

  /**
   * What was written to it afterwards.
   *
   * @throws FileNotAccepted when its {@code notes.json} was spoiled by hand
   */
  public Notes notes() {
    try {
      return NotesOfTest.of(folder).notes();
    } catch (IOException e) {
      throw new FileNotAccepted(named(folder.folder(), e.getMessage()), e);
    }
  }

  /** What the dial showed on the seat. */
  public SeatReadings seat() {
    try {
      return SeatReadings.of(folder.events());
    } catch (IOException e) {
      throw new FileNotAccepted(named(folder.folder(), e.getMessage()), e);
    }
  }

  /** When the test began. */
  public Instant at() {
    return folder.created();
  }

  boolean samePort(TestRead other) {
    Plan.Part part = curve.plan().part();
    Plan.Part another = other.curve.plan().part();
    return curve.plan().port() == other.curve.plan().port()
        && part.head().equals(another.head())
        && part.chamber().equals(another.chamber())
        && part.port().equals(another.port());
  }

  static String name(Path path) {
    Path last = path.toAbsolutePath().normalize().getFileName();
    return last == null ? path.toString() : last.toString();
  }

  private static String named(Path path, String message) {
    return message.contains(path.toString()) ? message : path + ": " + message;
  }

  /** The newest check of each thing, of the bench's epoch and before the test began. */
  private static List<HealthEntry> standing(Bench bench, Instant began) {
    Map<String, HealthEntry> newest = new LinkedHashMap<>();
    for (HealthEntry entry : bench.upkeep().health()) {
      if (entry.epoch() == bench.upkeep().epoch().number() && !entry.at().isAfter(began)) {
        newest.merge(
            entry.kind() + entry.subject() + entry.direction() + entry.range(),
            entry,
            (one, other) -> other.at().isBefore(one.at()) ? one : other);
      }
    }
    return new ArrayList<>(newest.values());
  }

  private static List<String> notInOrder(
      Bench bench, List<HealthEntry> health, List<LiftPoint> points) {
    List<String> words = new ArrayList<>();
    health.stream().filter(entry -> !entry.withinLimit()).map(TestRead::words).forEach(words::add);
    // A bench that nobody has begun to keep is not out of order; its budget says what is unknown.
    if (bench.upkeep().epoch().number() > 1) {
      boolean calm = points.stream().noneMatch(LiftPoint::readByEye);
      EpochTasks.openWords(bench, calm).ifPresent(words::add);
    }
    return words;
  }

  private static String words(HealthEntry entry) {
    return entry.kind().word().replace('_', ' ')
        + " of "
        + entry.subject()
        + " was beyond its limit on "
        + entry.at().toString().substring(0, 10)
        + (entry.remark().isBlank() ? "" : " (" + entry.remark() + ")");
  }
}
