package meniscus.core.lift;

import java.util.ArrayList;
import java.util.List;
import java.util.Objects;
import java.util.Optional;
import java.util.OptionalDouble;
import meniscus.core.remark.Remark;
import meniscus.core.remark.RemarkText;
import meniscus.core.steadiness.Verdict;
import meniscus.core.time.Moment;
import meniscus.core.uncertainty.Contribution;

/**
 * What was learned at one kept rung.
 *
 * @param taken which rung, and when
 * @param flow what passed
 * @param setting how rung and bench stood meanwhile
 * @param average what the readings were worth
 * @param remarks on the value
 * @param budget of the flow [m³/s]
 * @param beside what was measured beside the flow
 */
public record LiftPoint(
    Taken taken,
    Flow flow,
    Setting setting,
    Average average,
    List<Remark> remarks,
    List<Contribution> budget,
    List<Beside> beside) {

  /**
   * Which rung was taken, and when.
   *
   * @param rung number on the ladder
   * @param attempt 1 for the first time at this rung
   * @param segment of the test
   * @param keptAt moment of keeping
   * @param liftM as asked [m]
   * @param sweep side from which it was approached
   * @param range of the bench
   */
  public record Taken(
      int rung, int attempt, int segment, Moment keptAt, double liftM, Sweep sweep, String range) {
    public Taken {
      Objects.requireNonNull(keptAt);
      Objects.requireNonNull(sweep);
      Objects.requireNonNull(range);
    }
  }

  /**
   * What passed.
   *
   * @param effectiveAreaM2 CdA of the port [m²]
   * @param m3PerS volume flow of reference air at the reference test pressure [m³/s]
   * @param u95 half-width of its 95 % interval, all sources [m³/s]; empty when not known
   * @param repeatU95 half-width from fluctuation alone [m³/s]; empty when not known
   * @param cdCurtain CdA over the curtain areas of the opened valves [1]
   */
  public record Flow(
      double effectiveAreaM2,
      double m3PerS,
      OptionalDouble u95,
      OptionalDouble repeatU95,
      OptionalDouble cdCurtain) {}

  /**
   * How rung and bench stood meanwhile.
   *
   * @param testPressurePa mean over the window [Pa]
   * @param pressureAsAsked false when the blower could not reach the aim
   * @param liftReadM mean of the lift channel [m]
   * @param liftU95 of the lift [m]
   */
  public record Setting(
      double testPressurePa,
      boolean pressureAsAsked,
      OptionalDouble liftReadM,
      OptionalDouble liftU95) {}

  /**
   * What the readings of the window were worth.
   *
   * @param verdict on the air
   * @param unsteadiness against the calm record [1], when there is one
   * @param seconds length of the averaging window [s]
   * @param effectiveSamples independent readings it is worth [1]
   * @param byEye true when a person read drop or test pressure: a wide interval, and an honest one
   */
  public record Average(
      Verdict verdict,
      OptionalDouble unsteadiness,
      double seconds,
      double effectiveSamples,
      boolean byEye) {
    public Average {
      Objects.requireNonNull(verdict);
    }
  }

  public LiftPoint {
    Objects.requireNonNull(taken);
    Objects.requireNonNull(flow);
    Objects.requireNonNull(setting);
    Objects.requireNonNull(average);
    remarks = List.copyOf(remarks);
    budget = List.copyOf(budget);
    beside = List.copyOf(beside);
  }

  /** With nothing measured beside the flow. */
  public LiftPoint(
      Taken taken,
      Flow flow,
      Setting setting,
      Average average,
      List<Remark> remarks,
      List<Contribution> budget) {
    this(taken, flow, setting, average, remarks, budget, List.of());
  }

  // ------------------------------------------------------------------ what is asked for most

  public int rung() {
    return taken.rung();
  }

  public int attempt() {
    return taken.attempt();
  }

  public Moment keptAt() {
    return taken.keptAt();
  }

  public double liftM() {
    return taken.liftM();
  }

  public Sweep sweep() {
    return taken.sweep();
  }

  public String range() {
    return taken.range();
  }

  public double effectiveAreaM2() {
    return flow.effectiveAreaM2();
  }

  public double flowM3PerS() {
    return flow.m3PerS();
  }

  public OptionalDouble flowU95() {
    return flow.u95();
  }

  public OptionalDouble flowRepeatU95() {
    return flow.repeatU95();
  }

  public double testPressurePa() {
    return setting.testPressurePa();
  }

  public boolean pressureAsAsked() {
    return setting.pressureAsAsked();
  }

  public Verdict verdict() {
    return average.verdict();
  }

  public OptionalDouble unsteadiness() {
    return average.unsteadiness();
  }

  public boolean readByEye() {
    return average.byEye();
  }

  /**
   * True when the point is kept but should be looked at again. Unsteady air alone is said, not
   * alarmed. So is that nothing can be said of its steadiness where a person read the pressures:
   * looking again would show no more.
   */
  public boolean doubtful() {
    return !verdict().sound() || !pressureAsAsked() || flowU95().isEmpty();
  }

  /**
   * The same point of a record that says in its remarks alone whether a person read drop or test
   * pressure: a journal, or a test folder older than the column for it.
   */
  public LiftPoint readByEyeAsRemarked() {
    return called(
        verdict(), remarks.stream().anyMatch(remark -> remark.kind() == Remark.Kind.READ_BY_EYE));
  }

  /**
   * The same point of a record older than the verdicts {@code rough} and {@code by eye}: what was
   * called unsteady then was rougher than a plate, and nothing more; what was read by eye was
   * called brief.
   */
  public LiftPoint withVerdictOfToday() {
    boolean byEye = verdict() == Verdict.BRIEF && readByEye();
    boolean rough = verdict() == Verdict.UNSTEADY;
    return called(byEye ? Verdict.BY_EYE : rough ? Verdict.ROUGH : verdict(), readByEye());
  }

  /** The same point with another verdict. */
  public LiftPoint called(Verdict verdict) {
    return called(verdict, readByEye());
  }

  private LiftPoint called(Verdict verdict, boolean byEye) {
    Average said =
        new Average(verdict, unsteadiness(), average.seconds(), average.effectiveSamples(), byEye);
    return new LiftPoint(taken, flow, setting, said, remarks, budget, beside);
  }

  /** The same point with another lift read. */
  public LiftPoint withLift(OptionalDouble liftReadM, OptionalDouble liftU95) {
    Setting other =
        new Setting(setting.testPressurePa(), setting.pressureAsAsked(), liftReadM, liftU95);
    return new LiftPoint(taken, flow, other, average, remarks, budget, beside);
  }

  /** What was measured beside the flow, by its name. */
  public Optional<Beside> beside(String name) {
    return beside.stream().filter(each -> each.name().equals(name)).findFirst();
  }

  /** The same point with what was measured beside its flow. */
  public LiftPoint withBeside(List<Beside> measured) {
    return new LiftPoint(taken, flow, setting, average, remarks, budget, measured);
  }

  /**
   * The same point, set aside by a person who knows why it is wrong: out of every mean, comparison
   * and finding, yet shown.
   */
  public LiftPoint setAside(String because) {
    List<Remark> more = new ArrayList<>(remarks);
    more.add(0, Remark.about(Remark.Kind.SET_ASIDE, because));
    return new LiftPoint(taken, flow, setting, average, more, budget, beside);
  }

  public boolean isSetAside() {
    return remarks.stream().anyMatch(remark -> remark.kind() == Remark.Kind.SET_ASIDE);
  }

  /** {@code set aside: spring held the valve}; empty text where it was not. */
  public String setAsideBecause() {
    return remarks.stream()
        .filter(remark -> remark.kind() == Remark.Kind.SET_ASIDE)
        .map(RemarkText::sentence)
        .findFirst()
        .orElse("");
  }

  /** The remarks as sentences. */
  public List<String> remarkSentences() {
    return remarks.stream().map(RemarkText::sentence).toList();
  }

  /** The same point with its budget worked out. */
  public LiftPoint withBudget(
      List<Contribution> contributions, OptionalDouble u95, OptionalDouble repeatU95) {
    Flow wider = new Flow(flow.effectiveAreaM2(), flow.m3PerS(), u95, repeatU95, flow.cdCurtain());
    return new LiftPoint(taken, wider, setting, average, remarks, contributions, beside);
  }
}
