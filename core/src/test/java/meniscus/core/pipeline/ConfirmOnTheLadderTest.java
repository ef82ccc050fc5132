package meniscus.core.pipeline;

import static meniscus.core.pipeline.HandFedBench.AIM_PA;
import static meniscus.core.pipeline.HandFedBench.rung;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.List;
import meniscus.core.lift.LiftPoint;
import meniscus.core.lift.Sweep;
import meniscus.core.lift.TestEvent.Kind;
import org.junit.jupiter.api.Tag;
import org.junit.jupiter.api.Test;

/** The confirming experiment on the ladder of a running test. */
@Tag("long")
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
    climb(bench, 3);
    bench.run().command(CONFIRM);
    climb(bench, 18);
    assertTrue(bench.run().finished());
    assertEquals(bench.run().points(), bench.replay().points());
    assertTrue(bench.run().points().stream().noneMatch(LiftPoint::doubtful));
  }

  /**
   * Without a calm record, so that every average takes its longest usual time; five seconds of
   * hands a rung.
   */
  @Test
  void confirmTakesTenMinutesAtMost() {
    for (double rate : new double[] {20, 1}) {
      HandFedBench bench =
          HandFedBench.withDial(true, plan -> plan.longest(60)).judgedAsUsual().bothWays();
      bench.rateHz = rate;
      bench.start();
      climb(bench, 3);
      bench.run().command(CONFIRM);
      double began = bench.now().seconds();
      for (int i = 0; i < (rate == 1 ? 18 : 22); i++) {
        bench.hold(5);
        climb(bench, 1);
      }
      double swept = bench.now().seconds() - began;
      assertTrue(swept <= 600, rate + " readings a second: " + swept + " s");
      bench.blower(0).hold(5);
      climb(bench, 3);
      double turned = bench.now().seconds() - began - swept;
      assertTrue(turned <= 120, "the other way, at " + rate + " readings a second: " + turned);
      assertTrue(bench.run().finished());
    }
  }

  /** Interrupted on the way; the hoses are changed once more after it. */
  @Test
  void whereTheBenchBlowsTheSameLiftIsBlownOnceTheHosesAreChanged() {
    HandFedBench bench = HandFedBench.withDial(true, plan -> plan).bothWays().start();
    climb(bench, 3);
    bench.run().command(CONFIRM);
    climb(bench, 22);
    assertEquals(1, turnings(bench));
    assertEquals(Sweep.OTHER_WAY, bench.run().wanted().orElseThrow().sweep());
    assertEquals(
        Question.Kind.OTHER_WAY, bench.run().questions().get(0).kind(), "asked on the page too");
    bench.blower(AIM_PA).lift(4).hold(40);
    assertEquals(25, bench.run().points().size(), "nothing is kept before the blower was off");
    bench.blower(0).hold(3);
    climb(bench, 2);
    bench.interruptAndResume(30);
    bench.blower(0).hold(3);
    climb(bench, 2);

    assertTrue(bench.run().finished());
    List<LiftPoint> all = bench.run().points();
    assertEquals(28, all.size());
    assertEquals(
        List.of(4e-3, 6e-3, 6e-3), all.subList(25, 28).stream().map(p -> p.liftM()).toList());
    assertEquals(AIM_PA / 4, all.get(26).setting().testPressurePa(), 1);
    double sucked = all.get(2).effectiveAreaM2();
    double blown = all.get(27).effectiveAreaM2();
    assertTrue(Math.abs(blown / sucked - 1) > 0.02, "the same drop is another flow blowing");
    assertEquals(all, bench.replay().points());
  }

  @Test
  void skipLeavesTheWholeControlOut() {
    HandFedBench bench = HandFedBench.withDial(true, plan -> plan).bothWays().start();
    climb(bench, 3);
    bench.run().command(CONFIRM);
    climb(bench, 22);
    bench.run().command(new Command.Skip());
    assertTrue(bench.run().finished());
    assertEquals(3, bench.count(Kind.SKIPPED));
    assertEquals(bench.run().points(), bench.replay().points());
  }

  @Test
  void whereTheBenchDoesNotBlowOneLineSaysSo() {
    HandFedBench bench = HandFedBench.withDial(true, plan -> plan).start();
    climb(bench, 3);
    bench.run().command(CONFIRM);
    assertTrue(bench.told(OperatorMessage.Kind.OTHER_WAY).contains("without the control blowing"));
    climb(bench, 22);
    assertTrue(bench.run().finished());
  }

  private static long turnings(HandFedBench bench) {
    return bench.told.stream().filter(OperatorMessage.TurnAir.class::isInstance).count();
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
