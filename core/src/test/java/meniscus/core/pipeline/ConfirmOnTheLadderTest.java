package meniscus.core.pipeline;

import static meniscus.core.pipeline.HandFedBench.AIM_PA;
import static meniscus.core.pipeline.HandFedBench.rung;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.List;
import meniscus.core.lift.LiftPoint;
import meniscus.core.lift.TestEvent.Kind;
import org.junit.jupiter.api.Test;

/** The confirming experiment on the ladder of a running test. */
class ConfirmOnTheLadderTest {

  private static final Command CONFIRM = new Command.Confirm(6e-3);

  /** Interrupted on the way, and gone on with. */
  @Test
  void itIsAddedBehindTheLadderAndLeadsUpAndDownAtAHealthyLiftAndAtTheSuspectedOne() {
    HandFedBench bench = HandFedBench.withDial(true, plan -> plan).start();
    bench.run().command(CONFIRM);
    climb(bench, 8);
    bench.interruptAndResume(30);
    climb(bench, 18);

    assertTrue(bench.run().finished());
    assertEquals(1, bench.count(Kind.CONFIRM));
    List<LiftPoint> added = bench.run().points().subList(3, 25);
    assertEquals(4e-3, added.get(0).liftM());
    assertEquals(AIM_PA / 4, added.get(0).setting().testPressurePa(), 1);
    assertEquals(AIM_PA, added.get(5).setting().testPressurePa(), 1);
    assertEquals(6e-3, added.get(11).liftM());
    assertEquals(bench.run().points(), bench.replay().points());
  }

  /** A slow gauge: all of it at one reading a second, within the time of a rung. */
  @Test
  void aGaugeOfOneReadingASecondIsEnough() {
    HandFedBench bench = HandFedBench.withDial(true, plan -> plan);
    bench.rateHz = 1;
    bench.start();
    bench.run().command(CONFIRM);
    climb(bench, 25);
    assertTrue(bench.run().finished());
    assertEquals(bench.run().points(), bench.replay().points());
    assertTrue(bench.run().points().stream().noneMatch(LiftPoint::doubtful));
  }

  @Test
  void oneLiftIsNotConfirmedTwice() {
    HandFedBench bench = HandFedBench.withDial(true, plan -> plan).start();
    bench.run().command(CONFIRM);
    bench.run().command(CONFIRM);
    assertEquals(1, bench.count(Kind.CONFIRM));
    assertTrue(bench.wasTold(OperatorMessage.Kind.REFUSED));
  }

  @Test
  void flowThatFallsAtHighLiftIsAskedAboutAndWaitedFor() {
    HandFedBench bench = falling();
    assertTrue(bench.wasTold(OperatorMessage.Kind.CONFIRM));
    assertFalse(bench.run().finished());
    bench.hold(61);
    assertTrue(bench.run().finished());
  }

  @Test
  void aConfirmationInThatTimeGoesOn() {
    HandFedBench bench = falling();
    bench.run().command(new Command.Confirm(11e-3));
    assertEquals(9e-3, bench.run().wanted().orElseThrow().liftM(), 1e-9);
    bench.hold(61);
    assertFalse(bench.run().finished());
  }

  @Test
  void stopEndsTheWait() {
    HandFedBench bench = falling();
    bench.run().command(new Command.Stop("by the operator"));
    assertTrue(bench.run().finished());
  }

  /** Three lifts; at the last it flows less. */
  private static HandFedBench falling() {
    HandFedBench bench =
        HandFedBench.withDial(true, plan -> plan.ladder(rung(1, 9), rung(2, 10), rung(3, 11)))
            .start();
    climb(bench, 2);
    bench.flowFactor = 0.8;
    climb(bench, 1);
    return bench;
  }

  /**
   * Sets what is wanted, and waits until so many rungs more are kept. The gauge shows tens of
   * pascals: a fine one that never moved would rightly be called stuck.
   */
  private static void climb(HandFedBench bench, int rungs) {
    for (int i = 0; i < rungs; i++) {
      bench
          .blower(10 * Math.rint(bench.run().aimPa() / 10))
          .lift(1e3 * bench.run().wanted().orElseThrow().liftM());
      assertTrue(bench.holdUntilKept(), "rung " + bench.run().wanted());
    }
  }
}
