package meniscus.core.pipeline;

import static meniscus.core.pipeline.HandFedBench.AIM_PA;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.List;
import meniscus.core.lift.LiftPoint;
import meniscus.core.lift.ShortPressure;
import meniscus.core.lift.TestEvent.Kind;
import org.junit.jupiter.api.Test;

class ShortOfPressureOnTheLadderTest {

  private static final Command SKIP = new Command.Skip();

  @Test
  void aRungShortOfTestPressureIsKeptAndMarkedWhenThePlanSaysKeep() {
    HandFedBench bench = HandFedBench.withDial(true, plan -> plan).start();
    bench.lift(2).blower(0.8 * AIM_PA).hold(3);
    assertEquals(0, bench.count(Kind.BEGUN));
    assertTrue(bench.holdUntilKept());

    assertTrue(bench.wasTold(OperatorMessage.Kind.SHORT_PRESSURE));
    LiftPoint point = bench.run().points().get(0);
    assertFalse(point.pressureAsAsked());
    assertTrue(point.doubtful());
    assertEquals(0.8 * AIM_PA, point.testPressurePa(), 1);
  }

  @Test
  void aRungShortOfTestPressureIsLeftEmptyWhenThePlanSaysSkip() {
    HandFedBench bench =
        HandFedBench.withDial(true, plan -> plan.whenShort(ShortPressure.SKIP)).start();
    bench.lift(2).blower(0.8 * AIM_PA).hold(8);

    assertEquals(1, bench.count(Kind.SKIPPED));
    assertEquals(2, bench.run().wanted().orElseThrow().number());
    assertEquals(0, bench.count(Kind.BEGUN));
  }

  @Test
  void theWholeLadderIsTakenAtTheCommonPressureWhenThePlanSaysCommon() {
    HandFedBench bench =
        HandFedBench.withDial(true, plan -> plan.whenShort(ShortPressure.COMMON)).start();
    bench.lift(2).blower(AIM_PA);
    assertTrue(bench.holdUntilKept());
    bench.lift(4).blower(0.8 * AIM_PA).hold(8);
    assertEquals(List.of(), bench.keptRungs(), "rung 1 was at a higher pressure: again");
    assertEquals(1, bench.run().wanted().orElseThrow().number());
    double common = bench.run().aimPa();
    assertEquals(0.8 * 0.99 * AIM_PA, common, 1);
    for (double lift : new double[] {2, 4, 6}) {
      bench.lift(lift).blower(common);
      assertTrue(bench.holdUntilKept(), "lift " + lift);
    }

    assertEquals(List.of(1, 2, 3), bench.keptRungs());
    for (LiftPoint point : bench.run().points()) {
      assertEquals(common, point.testPressurePa(), 0.05 * common);
    }
  }

  @Test
  void theCommonPressureOutlivesAnInterruption() {
    HandFedBench bench =
        HandFedBench.withDial(true, plan -> plan.whenShort(ShortPressure.COMMON)).start();
    bench.lift(2).blower(0.8 * AIM_PA).hold(8);
    assertTrue(bench.holdUntilKept());
    double common = bench.run().aimPa();
    bench.interruptAndResume(60);

    assertEquals(common, bench.run().aimPa());
  }
}
