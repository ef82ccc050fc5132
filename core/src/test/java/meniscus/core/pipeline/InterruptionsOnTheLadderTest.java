package meniscus.core.pipeline;

import static meniscus.core.pipeline.HandFedBench.AIM_PA;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.List;
import java.util.OptionalInt;
import meniscus.core.lift.LiftPoint;
import meniscus.core.lift.TestEvent.Kind;
import org.junit.jupiter.api.Test;

class InterruptionsOnTheLadderTest {

  private static final Command SKIP = new Command.Skip();
  private static final Command REDO = new Command.Redo(OptionalInt.empty());

  @Test
  void afterAnInterruptionTheLastKeptRungIsTakenAgainAndTheStepIsTold() {
    HandFedBench bench = LadderRunTest.keptOneAndTwo();
    bench.interruptAndResume(600);
    assertTrue(bench.wasTold(OperatorMessage.Kind.ZERO));
    assertEquals(List.of(1, 2), bench.keptRungs(), "both stand until rung 2 is taken again");
    assertEquals(2, bench.run().wanted().orElseThrow().number());
    bench.flowFactor = 1.1;
    assertTrue(bench.holdUntilKept());

    String step = bench.told(OperatorMessage.Kind.STEP);
    assertTrue(step.contains("more than its repeat interval"), step);
    LiftPoint second = bench.run().points().get(1);
    assertEquals(2, second.attempt());
    assertEquals(2, second.taken().segment());
    assertEquals(3, bench.run().wanted().orElseThrow().number());
  }

  @Test
  void theLastKeptRungNeedNotBeTakenAgain() {
    HandFedBench bench = LadderRunTest.keptOneAndTwo();
    bench.interruptAndResume(600);
    bench.run().command(SKIP);

    assertEquals(List.of(1, 2), bench.keptRungs());
    assertEquals(3, bench.run().wanted().orElseThrow().number());
    assertEquals(0, bench.count(Kind.SKIPPED));
    bench.run().command(REDO);
    assertEquals(2, bench.run().wanted().orElseThrow().number(), "redo knows what was kept last");
    assertEquals(List.of(1), bench.keptRungs());
  }

  @Test
  void aSegmentThatBeginsInTheMiddleOfARungBreaksItOff() {
    HandFedBench bench = HandFedBench.withDial(true, plan -> plan).start();
    bench.noise = 0.05;
    bench.blower(AIM_PA).lift(2).hold(4);
    bench.run().segment(bench.now().plusSeconds(3600), HandFedBench.STARTED.plusSeconds(3604));

    assertTrue(bench.wasTold(OperatorMessage.Kind.BROKEN_OFF));
    assertFalse(bench.run().state().average().judged().isPresent());
  }
}
