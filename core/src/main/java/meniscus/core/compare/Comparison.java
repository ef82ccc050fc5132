package meniscus.core.compare;

import java.util.ArrayList;
import java.util.List;
import java.util.Objects;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.stream.Stream;
import meniscus.core.finding.Finding;
import meniscus.core.finding.InUnits;
import meniscus.core.finding.PressureSweep;
import meniscus.core.finding.TestDoubts;
import meniscus.core.lift.Lifts;
import meniscus.core.lift.Plan;
import meniscus.core.lift.TestCurve;
import meniscus.core.refusal.Refusal;

/**
 * Before against after: one answer for the whole curve, then one for each lift.
 *
 * @param units of the before test's plan
 * @param question that was asked
 * @param lifts compared, rising
 * @param left lifts that could not be compared, with why
 * @param mean difference of the mean flow over the compared lifts
 * @param scatter how re-fixing scatter was known, in words; empty when it is not known
 * @param findings about the comparison
 */
public record Comparison(
    Plan.Units units,
    Question question,
    List<LiftDifference> lifts,
    List<LeftOut> left,
    Difference mean,
    String scatter,
    List<Finding> findings) {

  /**
   * A lift that is not compared.
   *
   * @param liftM asked [m]
   * @param before flow before [m³/s], where there is one
   * @param after flow after [m³/s], where there is one
   * @param reason in words
   */
  public record LeftOut(double liftM, OptionalDouble before, OptionalDouble after, String reason) {}

  public Comparison {
    Objects.requireNonNull(units);
    lifts = List.copyOf(lifts);
    left = List.copyOf(left);
    findings = List.copyOf(findings);
  }

  /**
   * Compares the runs of one side with those of the other.
   *
   * @param before one run or more, of the part as it was
   * @param after one run or more, of the part as it is now
   * @throws Refusal when no lift can be compared
   */
  public static Comparison of(List<TestCurve> before, List<TestCurve> after, Question question) {
    return of(before, after, question, Optional.empty());
  }

  /**
   * The same with a control: the port before and after the change, with the air going the other
   * way.
   *
   * @param otherBefore before the change
   * @param otherAfter after it
   */
  public static Comparison of(
      List<TestCurve> before,
      List<TestCurve> after,
      Question question,
      TestCurve otherBefore,
      TestCurve otherAfter) {
    if (before.isEmpty()) {
      throw new Refusal("a comparison needs a test before and a test after");
    }
    return of(
        before,
        after,
        question,
        Optional.of(OtherDirection.of(before.get(0), otherBefore, otherAfter, question)));
  }

  private static Comparison of(
      List<TestCurve> before,
      List<TestCurve> after,
      Question question,
      Optional<OtherDirection> control) {
    if (before.isEmpty() || after.isEmpty()) {
      throw new Refusal("a comparison needs a test before and a test after");
    }
    Comparability comparability = Comparability.of(before, after);
    CommonLifts common = CommonLifts.of(before, after, comparability.sameBench(), question);
    Optional<Scatter> scatter = Scatter.of(common.before(), common.after());
    boolean mayBeCompared = comparability.sameSetUp() || question.despite().isPresent();
    List<Difference> decided =
        new Columns(common.before(), common.after(), scatter, question).decided(mayBeCompared);
    List<LiftDifference> lifts = new ArrayList<>();
    for (int i = 0; i < common.lifts().length; i++) {
      lifts.add(new LiftDifference(common.lifts()[i], common.interpolated()[i], decided.get(i)));
    }
    Optional<BenchLike> benchLike =
        comparability.sameSetUp() ? BenchLike.in(common) : Optional.empty();
    List<LiftDifference> said =
        withoutMovedValves(
            benchLike.map(like -> like.withheld(lifts)).orElse(lifts),
            Stream.concat(before.stream(), after.stream()).toList());
    Difference whole = decided.get(decided.size() - 1);
    Difference mean = benchLike.map(like -> like.withheld(whole, lifts)).orElse(whole);
    if (said.stream().anyMatch(Comparison::inDoubt)) {
      mean = mean.withheld(Decided.Withheld.POINT_IN_DOUBT);
    }
    Comparison bare =
        new Comparison(
            before.get(0).plan().units(),
            question,
            said,
            common.left(),
            mean,
            scatter.map(Scatter::told).orElse(""),
            comparability.findings());
    List<Finding> findings = new ArrayList<>(comparability.findings());
    findings.addAll(0, ChangeFindings.of(bare, before, after, comparability, control));
    benchLike.ifPresent(like -> findings.add(like.finding(new InUnits(bare.units))));
    findings.addAll(Expected.findings(bare, after.get(after.size() - 1).plan()));
    findings.addAll(TestDoubts.cautions(after.get(after.size() - 1)));
    return new Comparison(bare.units, question, said, bare.left, bare.mean, bare.scatter, findings);
  }

  private static boolean inDoubt(LiftDifference lift) {
    return lift.difference().decided().withheld() == Decided.Withheld.POINT_IN_DOUBT;
  }

  /** What was measured while the valve may have moved decides nothing. */
  private static List<LiftDifference> withoutMovedValves(
      List<LiftDifference> lifts, List<TestCurve> tests) {
    return lifts.stream()
        .map(
            lift ->
                tests.stream().anyMatch(test -> movedAt(test, lift.liftM()))
                    ? new LiftDifference(
                        lift.liftM(),
                        lift.interpolated(),
                        lift.difference().withheld(Decided.Withheld.POINT_IN_DOUBT))
                    : lift)
        .toList();
  }

  private static boolean movedAt(TestCurve test, double liftM) {
    return test.at(liftM).map(point -> PressureSweep.valveMoves(test.plan(), point)).orElse(false);
  }

  /** True when some lift, or the mean, gained or lost. */
  public boolean changedSomewhere() {
    return Stream.concat(lifts.stream().map(LiftDifference::difference), Stream.of(mean))
        .anyMatch(d -> d.outcome() == Outcome.GAIN || d.outcome() == Outcome.LOSS);
  }

  /** Compared lifts with an outcome, rising [m]. */
  public List<Double> lifts(Outcome outcome) {
    return lifts.stream()
        .filter(lift -> lift.outcome() == outcome)
        .map(LiftDifference::liftM)
        .toList();
  }

  /** {@code 2.00–4.00 and 8.00 mm}: some of the compared lifts, neighbours drawn together. */
  String at(List<Double> liftsM) {
    List<List<Double>> stretches = new ArrayList<>();
    boolean open = false;
    for (LiftDifference lift : lifts) {
      boolean meant = liftsM.contains(lift.liftM());
      if (meant && !open) {
        stretches.add(new ArrayList<>());
      }
      if (meant) {
        stretches.get(stretches.size() - 1).add(lift.liftM());
      }
      open = meant;
    }
    return new InUnits(units).spans(stretches);
  }

  /** What came out at a lift. */
  public Optional<LiftDifference> at(double liftM) {
    return lifts.stream().filter(lift -> Lifts.same(lift.liftM(), liftM)).findFirst();
  }
}
