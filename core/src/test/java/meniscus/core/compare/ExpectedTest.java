package meniscus.core.compare;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.function.DoubleUnaryOperator;
import meniscus.core.bench.Repeatability;
import meniscus.core.finding.Finding;
import meniscus.core.lift.InventedBench;
import meniscus.core.lift.Plan;
import meniscus.core.lift.PortKind;
import meniscus.core.lift.TestCurve;
import org.junit.jupiter.api.Test;

/** What was expected of a change, and what became of a suspicion. */
class ExpectedTest {

  private static final Plan.Part PART = new Plan.Part("H1", "chamber 1", "port 1", "", "");
  private static final Optional<Repeatability> KNOWN =
      Optional.of(new Repeatability(List.of(new Repeatability.Node(5e-3, 0.002)), 0.5, 40));
  private static final DoubleUnaryOperator SAME = lift -> 1;
  private static final DoubleUnaryOperator LOST_HIGH = lift -> lift > 9.5e-3 ? 0.95 : 1;

  private Optional<Repeatability> known = KNOWN;
  private final InventedBench bench =
      new InventedBench(21, new InventedBench.Errors(0.001, 1e-6, 1e-4, 1e-3, 0));

  @Test
  void aGainThatCameIsSaidToHaveCome() {
    assertTrue(said(Plan.Expectation.Effect.GAIN, 0, lift -> 1.03).contains("it did."));
  }

  @Test
  void aLossWhereAGainWasExpectedCameOtherwise() {
    assertTrue(said(Plan.Expectation.Effect.GAIN, 9e-3, LOST_HIGH).contains("otherwise"));
  }

  @Test
  void whatIsBelowTheNamedLiftDoesNotCount() {
    DoubleUnaryOperator lostLow = lift -> lift < 4.5e-3 ? 0.95 : 1;
    assertTrue(said(Plan.Expectation.Effect.NONE, 6e-3, lostLow).contains("it did."));
    assertTrue(said(Plan.Expectation.Effect.NONE, 0, lostLow).contains("otherwise"));
  }

  /** Nobody knows how far this bench's tests scatter. */
  @Test
  void whatTheTestsCannotTellIsSaidToBeOpen() {
    known = Optional.empty();
    String said = said(Plan.Expectation.Effect.GAIN, 0, lift -> 1.01);
    assertTrue(said.contains("cannot tell yet"), said);
  }

  @Test
  void aSuspicionThatTheNextChangeTookAwayIsSaidToBeGone() {
    assertTrue(followedUp(SAME).contains("is gone after change 2"), followedUp(SAME));
  }

  @Test
  void aSuspicionThatStaysIsSaidToStay() {
    assertTrue(followedUp(LOST_HIGH).contains("is still there after change 2"));
  }

  private String followedUp(DoubleUnaryOperator last) {
    List<Finding> found =
        History.of(
                List.of(
                    new History.Taken(test("a", SAME, List.of()), Optional.empty()),
                    new History.Taken(
                        test("b", LOST_HIGH, note("cut", Optional.empty())), Optional.empty()),
                    new History.Taken(
                        test("c", last, note("filled", Optional.empty())), Optional.empty())),
                Question.PLAIN)
            .followUps();
    assertEquals(1, found.size());
    return found.get(0).sentence();
  }

  private String said(Plan.Expectation.Effect effect, double fromM, DoubleUnaryOperator change) {
    Plan.Expectation expected = new Plan.Expectation(effect, fromM);
    Comparison c =
        ReadAloud.compared(
            List.of(test("before", SAME, List.of())),
            List.of(test("after", change, note("blended", Optional.of(expected)))),
            Question.PLAIN);
    return c.findings().stream()
        .filter(finding -> finding.kind() == Finding.Kind.EXPECTED)
        .findFirst()
        .orElseThrow()
        .sentence();
  }

  private static List<Plan.ChangeNote> note(String what, Optional<Plan.Expectation> expect) {
    return List.of(
        new Plan.ChangeNote(what, "", OptionalDouble.empty(), OptionalDouble.empty(), expect));
  }

  private TestCurve test(String name, DoubleUnaryOperator change, List<Plan.ChangeNote> notes) {
    return InventedBench.of(PART, PortKind.INTAKE, notes, bench.run(name, known, change));
  }
}
