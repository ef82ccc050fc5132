package meniscus.core.calibrate;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.time.LocalDate;
import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import meniscus.core.bench.Bench;
import meniscus.core.bench.CalibrationRef;
import meniscus.core.bench.Epoch;
import meniscus.core.bench.HealthEntry;
import meniscus.core.bench.HealthEntry.Kind;
import meniscus.core.bench.Leakage;
import meniscus.core.bench.Repeatability;
import meniscus.core.bench.Upkeep;
import meniscus.core.budget.SmallBench;
import meniscus.core.flow.Direction;
import org.junit.jupiter.api.Test;

/** What a new epoch asks for, and what takes a task off the list. */
class EpochTasksTest {

  private static HealthEntry done(
      Upkeep upkeep, Kind kind, String subject, Optional<Direction> direction) {
    return new HealthEntry(
        SmallBench.AT,
        upkeep.epoch().number(),
        kind,
        subject,
        direction,
        Optional.empty(),
        1,
        1,
        0.001,
        OptionalDouble.empty(),
        "");
  }

  private static Bench with(Bench bench, Kind kind, String subject, Direction direction) {
    return bench.with(
        upkeep -> upkeep.withHealth(done(upkeep, kind, subject, Optional.ofNullable(direction))));
  }

  /** Calibrated on suction, its leakage known both ways, nothing checked in this epoch. */
  private static Bench unchecked() {
    return SmallBench.bench()
        .with(
            old ->
                Upkeep.none(new Epoch(1, LocalDate.of(2026, 3, 1), "new"))
                    .withLeakage(leak(Direction.SUCTION))
                    .withLeakage(leak(Direction.BLOWING))
                    .withCalibration(
                        new CalibrationRef(
                            Direction.SUCTION, "large", "0".repeat(64), SmallBench.AT)));
  }

  private static Leakage leak(Direction direction) {
    return new Leakage(direction, "bench blanked", 1e-6, 0.6, 0.05, 2e-4, SmallBench.AT);
  }

  @Test
  void asksForLevelZeroLeakagePlateCheckAndCalmRecordInThatOrder() {
    assertEquals(
        List.of(
            "see that the bench stands level",
            "take the zero of gauges.depression, gauges.drop",
            "compare both pressure gauges on one pressure (gauges): plates do not show a wrong gain",
            "measure the leakage on suction",
            "measure the leakage on blowing",
            "check one plate against the calibration on suction",
            "check one plate against the calibration on blowing",
            "take the calm record (how much the bench itself fluctuates, on plates) on suction",
            "take the calm record (how much the bench itself fluctuates, on plates) on blowing",
            "learn the repeatability: the same head off and on six times"),
        EpochTasks.open(unchecked(), true));
  }

  @Test
  void aNewBenchIsAskedForACalibrationToo() {
    Bench bench = SmallBench.bench().with(old -> Upkeep.none(Epoch.FIRST));
    assertTrue(EpochTasks.open(bench, true).contains("calibrate the flow element on plates"));
    assertEquals(8, EpochTasks.open(bench, true).size());
    assertTrue(
        EpochTasks.open(bench, true).stream().anyMatch(task -> task.contains("on one pressure")));
  }

  @Test
  void aCalibrationThatIsSetAsideIsAskedForAgainAndTheOneBeforeCounts() {
    CalibrationRef aside =
        new CalibrationRef(
            Direction.SUCTION,
            "large",
            "1".repeat(64),
            SmallBench.AT.plusSeconds(60),
            new CalibrationRef.Standing(false, "chi squared 1250 of 9"));
    Bench bench = unchecked().with(upkeep -> upkeep.withCalibration(aside));
    assertEquals(
        "0".repeat(64),
        bench.upkeep().calibration(Direction.SUCTION, "large").orElseThrow().sha256());
    assertTrue(
        EpochTasks.open(bench, true)
            .contains(
                "calibrate range large on suction again: the calibration taken last is not in use,"
                    + " chi squared 1250 of 9"));
    Bench used =
        bench.with(
            upkeep ->
                upkeep.withStanding(
                    aside.sha256(), new CalibrationRef.Standing(true, "the plates are right")));
    assertEquals(
        aside.sha256(),
        used.upkeep().calibration(Direction.SUCTION, "large").orElseThrow().sha256());
    assertTrue(used.upkeep().setAside().isEmpty());
  }

  @Test
  void whatIsDoneIsNotAskedForAgainUntilTheNextEpoch() {
    Bench bench =
        unchecked()
            .with(upkeep -> EpochTasks.level(upkeep, SmallBench.AT))
            .with(
                upkeep ->
                    upkeep.withRepeatability(
                        new Repeatability(List.of(new Repeatability.Node(5e-3, 0.003)), 0.5, 5)));
    bench = with(bench, Kind.ZERO, "gauges.depression", null);
    assertTrue(
        EpochTasks.open(bench, true).contains("take the zero of gauges.drop"), "one is not all");
    bench = with(bench, Kind.ZERO, "gauges.drop", null);
    bench = compared(bench, 1.02);
    assertTrue(
        EpochTasks.open(bench, true)
            .contains(
                "find out which gauge is wrong: depression against drop shows +2.00 % on one"
                    + " pressure"));
    bench = compared(bench, 1.001);
    for (Direction way : Direction.values()) {
      bench = with(bench, Kind.LEAKAGE, "bench blanked", way);
      bench = with(bench, Kind.PLATE_CHECK, "44", way);
      bench = with(bench, Kind.CALM_RECORD, "flow on plates", way);
    }
    assertEquals(List.of(), EpochTasks.open(bench, true));
    Bench moved =
        bench.with(
            upkeep -> EpochTasks.begin(upkeep, EpochTasks.Cause.MOVED, LocalDate.of(2026, 11, 21)));
    assertEquals(new Epoch(2, LocalDate.of(2026, 11, 21), "moved"), moved.upkeep().epoch());
    assertEquals(9, EpochTasks.open(moved, true).size());
    assertEquals(bench.upkeep().calibrations(), moved.upkeep().calibrations());
    assertEquals(bench.upkeep().health(), moved.upkeep().health(), "the log is kept");
  }

  private static Bench compared(Bench bench, double ratio) {
    return bench.with(
        upkeep ->
            upkeep.withHealth(
                new HealthEntry(
                    SmallBench.AT,
                    1,
                    Kind.GAUGES,
                    "depression against drop",
                    Optional.empty(),
                    Optional.empty(),
                    ratio,
                    1,
                    0.001,
                    OptionalDouble.of(0.006),
                    "")));
  }

  @Test
  void causesAreThoseOfTheFile() {
    assertEquals(EpochTasks.Cause.GAUGE_CHANGED, EpochTasks.Cause.of("gauge changed"));
    String message =
        assertThrows(IllegalArgumentException.class, () -> EpochTasks.Cause.of("painted"))
            .getMessage();
    assertTrue(message.contains("\"moved\" or \"repaired\" or a \"gauge changed\""), message);
  }
}
