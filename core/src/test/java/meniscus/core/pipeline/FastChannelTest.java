package meniscus.core.pipeline;

import static meniscus.core.pipeline.HandFedBench.rung;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.List;
import java.util.Optional;
import meniscus.core.finding.Finding;
import meniscus.core.finding.SignSearch;
import meniscus.core.lift.Beside;
import meniscus.core.lift.LiftPoint;
import meniscus.core.lift.TestCurve;
import meniscus.core.quantity.Unit;
import meniscus.core.steadiness.Band;
import org.junit.jupiter.api.Test;

/** A fast channel, a probe and a channel without a use beside the flow of a test. */
class FastChannelTest {

  /** Flow falls at the last of four high lifts; the air is as calm as before to the flow gauges. */
  private static HandFedBench falling(double louder) {
    HandFedBench bench =
        HandFedBench.withBoard(
                plan -> plan.ladder(rung(1, 9), rung(2, 9.5), rung(3, 10), rung(4, 11)))
            .start();
    climb(bench, 3);
    bench.flowFactor = 0.8;
    bench.loudPa *= louder;
    climb(bench, 1);
    bench.hold(61);
    assertTrue(bench.run().finished());
    return bench;
  }

  private static Finding finding(HandFedBench bench) {
    return SignSearch.in(
            new TestCurve(
                "t",
                "",
                "",
                Optional.empty(),
                bench.plan,
                Optional.empty(),
                List.of(),
                bench.replay().points()))
        .orElseThrow();
  }

  @Test
  void aLossWithALouderTapIsLikelyTheShortSide() {
    Finding finding = finding(falling(4));
    assertEquals(Finding.Kind.LIKELY_SHORT_SIDE, finding.kind());
    assertTrue(
        finding.evidence().stream().anyMatch(e -> e.contains("the fast channel is louder")),
        finding.evidence().toString());
  }

  @Test
  void aLossWithATapAsLoudAsBeforeIsNot() {
    assertEquals(Finding.Kind.LOSES_AT_HIGH_LIFT, finding(falling(1)).kind());
  }

  @Test
  void levelsVelocityAndMeanStandBesideTheFlowAndWorkOutTheSameAgain() {
    HandFedBench bench = falling(1);
    List<LiftPoint> points = bench.run().points();
    assertEquals(points, bench.replay().points());
    LiftPoint point = points.get(0);
    // White noise of 30 Pa at 1 kHz: its share of 20 to 100 Hz out of 500 Hz goes with the root.
    double expected = 30 * Math.sqrt(80 / 500.0);
    Beside low = point.beside(Band.LOW.word()).orElseThrow();
    assertEquals(expected, low.value(), 0.1 * expected);
    assertTrue(point.beside(Band.HIGH.word()).isEmpty());
    Beside swirl = point.beside("board.swirl").orElseThrow();
    assertEquals(Unit.ONE, swirl.unit());
    assertEquals(0.25, swirl.value(), 1e-9);
    assertEquals(0, swirl.u95().orElseThrow(), 1e-9);
    assertFalse(
        point.beside("manometer.drop").isPresent(), "a channel with a use is none of these");
  }

  /** The flow goes on without it. */
  @Test
  void aBoardThatGoesDoesNotStopTheTest() {
    HandFedBench bench = HandFedBench.withBoard(plan -> plan.ladder(rung(1, 4))).start();
    bench.blower(HandFedBench.AIM_PA).lift(4).hold(2);
    bench.run().happened(bench.now(), new meniscus.core.lift.TestEvent.Lost("board", "unplugged"));
    bench.boardOn = false;
    assertTrue(bench.holdUntilKept());
    assertFalse(bench.wasTold(OperatorMessage.Kind.BROKEN_OFF));
  }

  private static void climb(HandFedBench bench, int rungs) {
    for (int i = 0; i < rungs; i++) {
      bench
          .blower(10 * Math.rint(bench.run().aimPa() / 10))
          .lift(1e3 * bench.run().wanted().orElseThrow().liftM());
      assertTrue(bench.holdUntilKept(), "rung " + bench.run().wanted());
    }
  }
}
