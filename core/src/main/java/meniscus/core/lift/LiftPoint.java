package meniscus.core.lift;

import java.util.List;
import java.util.Objects;
import java.util.OptionalDouble;
import meniscus.core.steadiness.Verdict;
import meniscus.core.time.Moment;
import meniscus.core.uncertainty.Contribution;

/**
 * What was learned at one kept rung.
 *
 * @param rung number on the ladder
 * @param keptAt moment of keeping
 * @param liftM as asked [m]
 * @param sweep side from which it was approached
 * @param effectiveAreaM2 CdA of the port [m²]
 * @param flowM3PerS volume flow of reference air at the reference test pressure [m³/s]
 * @param flowU95 half-width of its 95 % interval, all sources [m³/s]; empty when not known
 * @param flowRepeatU95 half-width from fluctuation alone [m³/s]; empty when not known
 * @param testPressurePa mean over the window [Pa]
 * @param pressureAsAsked false when the blower could not reach the aim
 * @param verdict on the air
 * @param unsteadiness against the calm record [1], when there is one
 * @param seconds length of the averaging window [s]
 * @param effectiveSamples independent readings it is worth [1]
 * @param cdCurtain CdA over the curtain areas of the opened valves [1]
 * @param liftReadM mean of the lift channel [m]
 * @param liftU95 of the lift [m]
 * @param attempt 1 for the first time at this rung
 * @param range of the bench
 * @param segment of the test
 * @param readByEye true when a person read drop or test pressure: a wide interval, and an honest
 *     one
 * @param remarks on the value, in words
 * @param budget of the flow [m³/s]
 */
public record LiftPoint(
    int rung,
    Moment keptAt,
    double liftM,
    Sweep sweep,
    double effectiveAreaM2,
    double flowM3PerS,
    OptionalDouble flowU95,
    OptionalDouble flowRepeatU95,
    double testPressurePa,
    boolean pressureAsAsked,
    Verdict verdict,
    OptionalDouble unsteadiness,
    double seconds,
    double effectiveSamples,
    OptionalDouble cdCurtain,
    OptionalDouble liftReadM,
    OptionalDouble liftU95,
    int attempt,
    String range,
    int segment,
    boolean readByEye,
    List<String> remarks,
    List<Contribution> budget) {

  /** Stands in a remark where a person read drop or test pressure. */
  public static final String READ_BY_EYE = "read by eye";

  public LiftPoint {
    Objects.requireNonNull(keptAt);
    Objects.requireNonNull(sweep);
    Objects.requireNonNull(verdict);
    remarks = List.copyOf(remarks);
    budget = List.copyOf(budget);
  }

  /**
   * True when the point is kept but should be looked at again. Unsteady air alone is said, not
   * alarmed: a healthy port is rougher than a plate. So is that nothing can be said of its
   * steadiness where a person read the pressures: looking again would show no more.
   */
  public boolean doubtful() {
    boolean sound = verdict.sound() || verdict == Verdict.BRIEF && readByEye;
    return !sound || !pressureAsAsked || flowU95.isEmpty();
  }

  /**
   * The same point of a record that says in its remarks alone whether a person read drop or test
   * pressure: a journal, or a test folder older than the column for it.
   */
  public LiftPoint readByEyeAsRemarked() {
    boolean remarked = remarks.stream().anyMatch(remark -> remark.contains(READ_BY_EYE));
    return with(verdict, flowU95, flowRepeatU95, remarked, budget);
  }

  /**
   * The same point of a record older than the verdict {@code rough}: what was called unsteady then
   * was rougher than a plate, and nothing more.
   */
  public LiftPoint withVerdictOfToday() {
    Verdict today = verdict == Verdict.UNSTEADY ? Verdict.ROUGH : verdict;
    return with(today, flowU95, flowRepeatU95, readByEye, budget);
  }

  /** The same point with its budget worked out. */
  public LiftPoint withBudget(
      List<Contribution> contributions, OptionalDouble u95, OptionalDouble repeatU95) {
    return with(verdict, u95, repeatU95, readByEye, contributions);
  }

  private LiftPoint with(
      Verdict called,
      OptionalDouble u95,
      OptionalDouble repeatU95,
      boolean byEye,
      List<Contribution> contributions) {
    return new LiftPoint(
        rung,
        keptAt,
        liftM,
        sweep,
        effectiveAreaM2,
        flowM3PerS,
        u95,
        repeatU95,
        testPressurePa,
        pressureAsAsked,
        called,
        unsteadiness,
        seconds,
        effectiveSamples,
        cdCurtain,
        liftReadM,
        liftU95,
        attempt,
        range,
        segment,
        byEye,
        remarks,
        contributions);
  }
}
