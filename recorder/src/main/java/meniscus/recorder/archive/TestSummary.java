package meniscus.recorder.archive;

import java.io.IOException;
import java.time.Instant;
import java.util.Comparator;
import java.util.List;
import java.util.Optional;
import meniscus.core.flow.Direction;
import meniscus.core.lift.LiftPoint;
import meniscus.core.lift.Plan;
import meniscus.core.lift.PortKind;
import meniscus.recorder.file.FileNotAccepted;
import meniscus.recorder.file.NotesFile;
import meniscus.recorder.file.PlanFile;
import meniscus.recorder.folder.TestFolder;
import meniscus.recorder.journal.Header;

/**
 * What is known of a finished test without opening it.
 *
 * @param title in words
 * @param at when it began
 * @param units of its plan
 * @param part tested
 * @param port intake or exhaust
 * @param direction of the air
 * @param rungs what was asked of them
 * @param changes on the part since the earlier test, in words
 * @param follows name of the earlier test, where someone wrote it down
 * @param spots lift and flow of the kept points, by rising lift
 * @param points kept
 * @param doubtful how many of them are
 */
public record TestSummary(
    String title,
    Instant at,
    Plan.Units units,
    Plan.Part part,
    PortKind port,
    Direction direction,
    Rungs rungs,
    List<String> changes,
    Optional<String> follows,
    List<Spot> spots,
    int points,
    int doubtful) {

  /**
   * A kept point, as small as can be.
   *
   * @param liftM [m]
   * @param flowM3PerS [m³/s]
   */
  public record Spot(double liftM, double flowM3PerS) {}

  /**
   * What the plan asks of every rung.
   *
   * @param count of the ladder
   * @param testPressurePa aim [Pa]
   * @param aimBand around it [1]
   * @param toleranceM of the lift [m]
   * @param target half-width of the repeat interval [1]
   * @param longestSeconds of averaging [s]
   */
  public record Rungs(
      int count,
      double testPressurePa,
      double aimBand,
      double toleranceM,
      double target,
      double longestSeconds) {

    public static Rungs of(Plan plan) {
      return new Rungs(
          plan.ladder().size(),
          plan.testPressurePa(),
          plan.aimBand(),
          plan.toleranceM(),
          plan.target(),
          plan.longestSeconds());
    }
  }

  public TestSummary {
    changes = List.copyOf(changes);
    spots = List.copyOf(spots);
  }

  /** Lifts of the kept points, rising, each once [m]. */
  public List<Double> liftsM() {
    return spots.stream().map(Spot::liftM).distinct().toList();
  }

  /** Highest flow of the points [m³/s]; NaN without points. */
  public double highestFlowM3PerS() {
    return spots.stream().mapToDouble(Spot::flowM3PerS).max().orElse(Double.NaN);
  }

  /** The same, sharing with other tests what they have in common. */
  TestSummary sharing(Alike alike) {
    return new TestSummary(
        alike.one(title),
        at,
        alike.one(units),
        alike.one(part),
        port,
        direction,
        alike.one(rungs),
        alike.one(changes),
        follows,
        spots,
        points,
        doubtful);
  }

  /** Out of a test folder. */
  public static TestSummary of(TestFolder test) throws IOException {
    Plan plan = PlanFile.parse(Header.PLAN, test.text(Header.PLAN));
    List<LiftPoint> points = test.points();
    return new TestSummary(
        test.title(),
        test.created(),
        test.units(),
        plan.part(),
        plan.port(),
        plan.direction(),
        Rungs.of(plan),
        changes(plan),
        follows(test),
        points.stream()
            .filter(point -> point.sweep().plansWay())
            .sorted(Comparator.comparingDouble(LiftPoint::liftM))
            .map(point -> new Spot(point.liftM(), point.flowM3PerS()))
            .toList(),
        points.size(),
        (int) points.stream().filter(LiftPoint::doubtful).count());
  }

  /** The change notes of a plan, in words. */
  public static List<String> changes(Plan plan) {
    return plan.changes().stream().map(TestSummary::words).toList();
  }

  private static String words(Plan.ChangeNote note) {
    return note.where().isBlank() ? note.what() : note.what() + " (" + note.where() + ")";
  }

  /** Notes that a slip of the hand has spoiled do not spoil the test. */
  private static Optional<String> follows(TestFolder test) throws IOException {
    try {
      return NotesFile.parse(TestFolder.NOTES, test.text(TestFolder.NOTES)).follows();
    } catch (FileNotAccepted spoiled) {
      return Optional.empty();
    }
  }
}
