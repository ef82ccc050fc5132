package meniscus.core.pipeline;

import static meniscus.core.pipeline.HandFedBench.AIM_PA;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.List;
import meniscus.core.lift.TestEvent.Kind;
import org.junit.jupiter.api.Test;

class WithoutDialOnTheLadderTest {

  private static final Command KEEP = new Command.Keep(false);

  @Test
  void withoutADialAChangeOfFlowAloneNeverBeginsARung() {
    HandFedBench bench = HandFedBench.withoutDial(true, plan -> plan).start();
    bench.blower(0).hold(2);
    bench.lift(2).blower(AIM_PA);
    assertTrue(bench.holdUntilKept());
    bench.lift(4).hold(10);
    bench.flowFactor = 1.5;
    bench.hold(10);

    assertEquals(List.of(1), bench.keptRungs());
    assertEquals(1, bench.count(Kind.BEGUN));
  }

  @Test
  void withoutADialLettingThePressureFallBelowHalfAndRestoringItBeginsARung() {
    HandFedBench bench = HandFedBench.withoutDial(true, plan -> plan).start();
    bench.blower(0).hold(2);
    bench.lift(2).blower(AIM_PA);
    assertTrue(bench.holdUntilKept());
    bench.blower(0.6 * AIM_PA).hold(3).lift(4).blower(AIM_PA).hold(5);
    assertEquals(1, bench.count(Kind.BEGUN), "0.6 of the aim is not below half");
    bench.blower(0.45 * AIM_PA).hold(2).blower(AIM_PA);
    assertTrue(bench.holdUntilKept());

    assertEquals(List.of(1, 2), bench.keptRungs());
  }

  @Test
  void withoutADialPromptAndRefusalSayThatAKeepBeginsTheRung() {
    HandFedBench bench = HandFedBench.withoutDial(false, plan -> plan).start();
    bench.lift(2).blower(AIM_PA).hold(5);
    bench.run().command(new Command.Keep(true));

    for (OperatorMessage.Kind kind :
        List.of(OperatorMessage.Kind.NEXT, OperatorMessage.Kind.REFUSED)) {
      String said = bench.told(kind);
      assertTrue(said.endsWith("then type keep"), said);
    }
    bench.run().command(KEEP);
    assertTrue(bench.holdUntilKept());
    bench.lift(4).hold(5);
    bench.run().command(KEEP);
    bench.hold(3).run().command(new Command.Keep(true));
    assertEquals(List.of(1, 2), bench.keptRungs(), "a rung that was begun is kept as it stands");
  }

  @Test
  void withoutADialABlowerThatRunsAlreadySaysNothingOfTheLift() {
    HandFedBench bench = HandFedBench.withoutDial(true, plan -> plan).start();
    bench.lift(2).blower(AIM_PA).hold(5);
    assertEquals(0, bench.count(Kind.BEGUN));
    bench.run().command(KEEP);
    assertTrue(bench.holdUntilKept());
  }

  @Test
  void withoutADialTheKeyBeginsARungAndOneKeepKeepsOneRung() {
    HandFedBench bench = HandFedBench.withoutDial(false, plan -> plan).start();
    bench.lift(2).blower(AIM_PA).hold(3);
    bench.run().command(KEEP);
    bench.run().command(KEEP);
    assertTrue(bench.holdUntilKept());
    assertFalse(bench.run().armed(), "pressed twice at one rung, it is still one keep");
    bench.hold(30);

    assertEquals(List.of(1), bench.keptRungs());
  }
}
