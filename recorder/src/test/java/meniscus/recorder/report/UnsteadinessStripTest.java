package meniscus.recorder.report;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import meniscus.core.finding.SuspectPoints;
import meniscus.core.lift.LiftPoint;
import meniscus.core.lift.Rung;
import meniscus.core.lift.Sweep;
import meniscus.core.lift.TestCurve;
import meniscus.core.steadiness.Verdict;
import meniscus.core.time.Moment;
import meniscus.core.uncertainty.Contribution;
import org.junit.jupiter.api.Test;

/** The report's row of boxes: colour and sign are of what differs from the port itself alone. */
class UnsteadinessStripTest {

  private static final String AMBER = "#d55e00";

  @Test
  void roughIsNeutralAndUnsteadyAndSwitchingAreNot() {
    String healthy = drawn(Verdict.STEADY, Verdict.ROUGH, Verdict.ROUGH);
    assertFalse(healthy.contains(AMBER), healthy);
    assertFalse(healthy.contains("⇅<") || healthy.contains("~<"), healthy);
    for (Verdict odd : List.of(Verdict.UNSTEADY, Verdict.SWITCHING)) {
      String told = drawn(Verdict.ROUGH, Verdict.ROUGH, odd);
      assertTrue(told.contains(AMBER), odd + ": " + told);
      assertEquals(1, told.split("(⇅|~)<", -1).length - 1, odd + ": " + told);
    }
  }

  private static String drawn(Verdict... verdicts) {
    List<Rung> ladder = new ArrayList<>();
    List<LiftPoint> points = new ArrayList<>();
    for (int i = 1; i <= verdicts.length; i++) {
      double lift = 4e-3 * i;
      ladder.add(new Rung(i, lift, Sweep.OPENING, OptionalDouble.empty(), false));
      points.add(
          SuspectPoints.point(
              i,
              Moment.ofSeconds(30 * i),
              lift,
              0.05,
              7000,
              List.of(new Contribution("air", Contribution.Kind.REPEAT, 1e-4, 60, 1, "")),
              verdicts[i - 1],
              2 + i,
              60));
    }
    Markup out = new Markup();
    UnsteadinessStrip.draw(
        out,
        List.of(
            new TestCurve(
                "test",
                "",
                "",
                Optional.empty(),
                SuspectPoints.plan(ladder, OptionalDouble.empty()),
                Optional.empty(),
                List.of(),
                points)));
    return out.toString();
  }
}
