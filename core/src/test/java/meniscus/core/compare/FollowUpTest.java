package meniscus.core.compare;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.function.DoubleUnaryOperator;
import meniscus.core.bench.Repeatability;
import meniscus.core.compare.FollowUp.Stands;
import meniscus.core.compare.History.Taken;
import meniscus.core.finding.Finding;
import meniscus.core.finding.Finding.Kind;
import meniscus.core.lift.InventedBench;
import meniscus.core.lift.LiftPoint;
import meniscus.core.lift.Plan;
import meniscus.core.lift.PortKind;
import meniscus.core.lift.TestCurve;
import meniscus.core.steadiness.Verdict;
import org.junit.jupiter.api.Test;

/** The suspicion that one change brought, after the next. */
class FollowUpTest {

  private static final double LOST_FROM_M = 8.5e-3;

  private static final Optional<Repeatability> KNOWN =
      Optional.of(new Repeatability(List.of(new Repeatability.Node(5e-3, 0.003)), 0.5, 40));

  /** A margin that this bench can decide neither way. */
  private static final Question FINE =
      new Question(OptionalDouble.of(0.002), 0.01, Optional.empty(), false);

  private final InventedBench bench =
      new InventedBench(17, new InventedBench.Errors(0.001, 1e-6, 1e-4, 1e-3, 0));

  private final TestCurve received = taken("received", lift -> 1, false);
  private final TestCurve spoilt = taken("spoilt", FollowUpTest::lost, true, "lowered");

  @Test
  void aSignThatTheNextChangeTookAwayIsGone() {
    TestCurve mended = taken("mended", lift -> 1, false, "lowered", "raised again");
    assertEquals(Stands.GONE, stands(mended, Question.PLAIN));
  }

  @Test
  void flowStillLostIsStillThere() {
    TestCurve same = taken("same", FollowUpTest::lost, true, "lowered", "polished");
    assertEquals(Stands.STILL_THERE, stands(same, Question.PLAIN));
  }

  @Test
  void airStillRougherIsStillThereAlthoughTheFlowCameBack() {
    TestCurve rough = taken("rough", lift -> 1, true, "lowered", "raised again");
    assertEquals(Stands.STILL_THERE, stands(rough, Question.PLAIN));
  }

  @Test
  void whatIsNeitherSeenNorExcludedCannotBeTold() {
    TestCurve mended = taken("mended", lift -> 1, false, "lowered", "raised again");
    assertEquals(Stands.CANNOT_TELL, stands(mended, FINE));
  }

  @Test
  void airThatMayStillBeRougherCannotBeToldAlthoughTheFlowCameBack() {
    TestCurve back = taken("back", lift -> 1, false, "lowered", "raised again");
    TestCurve brief =
        InventedBench.named(
            back.name(),
            back,
            back.points().stream().map(p -> airOf(p, p.verdict(), 2.6, 6)).toList());
    assertEquals(Stands.CANNOT_TELL, stands(brief, Question.PLAIN));
  }

  private Stands stands(TestCurve now, Question question) {
    Finding suspicion =
        ReadAloud.compared(List.of(received), List.of(spoilt), question).findings().stream()
            .filter(finding -> finding.kind() == Kind.LIKELY_SHORT_SIDE)
            .findFirst()
            .orElseThrow();
    Comparison since = ReadAloud.compared(List.of(received), List.of(now), question);
    FollowUp followUp = new FollowUp(suspicion, "change 1", "change 2", since, received, now);
    History history =
        History.of(
            List.of(received, spoilt, now).stream()
                .map(test -> new Taken(test, Optional.empty()))
                .toList(),
            question);
    assertEquals(1, ReadAloud.read(history.followUps()).size());
    Finding told = history.followUps().get(0);
    assertEquals(Kind.SIGN_FOLLOWED_UP, told.kind());
    assertEquals(suspicion.liftsM(), told.liftsM());
    assertTrue(told.liftsM().stream().allMatch(lift -> lift > LOST_FROM_M));
    return followUp.stands();
  }

  private static double lost(double lift) {
    return lift > LOST_FROM_M ? 0.94 : 1;
  }

  private TestCurve taken(
      String name, DoubleUnaryOperator change, boolean rough, String... changes) {
    TestCurve run = bench.run(name, KNOWN, change);
    List<LiftPoint> points =
        run.points().stream()
            .map(p -> rough && p.liftM() > LOST_FROM_M ? airOf(p, Verdict.UNSTEADY, 6, 60) : p)
            .toList();
    return InventedBench.of(
        new Plan.Part("H1", "chamber 1", "port 1", "", ""),
        PortKind.INTAKE,
        InventedBench.notes(changes),
        InventedBench.named(name, run, points));
  }

  private static LiftPoint airOf(
      LiftPoint p, Verdict verdict, double unsteadiness, double samples) {
    LiftPoint.Average average = p.average();
    return new LiftPoint(
        p.taken(),
        p.flow(),
        p.setting(),
        new LiftPoint.Average(
            verdict, OptionalDouble.of(unsteadiness), average.seconds(), samples, false),
        p.remarks(),
        p.budget());
  }
}
