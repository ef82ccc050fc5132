package meniscus.core.pipeline;

import static meniscus.core.pipeline.HandFedBench.AIM_PA;
import static meniscus.core.pipeline.HandFedBench.rung;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.ArrayList;
import java.util.List;
import java.util.OptionalDouble;
import java.util.OptionalInt;
import meniscus.core.lift.LiftPoint;
import meniscus.core.lift.Rung;
import meniscus.core.lift.Sweep;
import meniscus.core.lift.TestEvent;
import meniscus.core.lift.TestEvent.Kind;
import meniscus.core.pipeline.RunState.Phase;
import meniscus.core.steadiness.Verdict;
import org.junit.jupiter.api.Test;

class LadderRunTest {

  private static final Command KEEP = new Command.Keep(false);
  private static final Command KEEP_NOW = new Command.Keep(true);
  private static final Command SKIP = new Command.Skip();
  private static final Command UNDO = new Command.Undo();
  private static final Command REDO = new Command.Redo(OptionalInt.empty());

  // ------------------------------------------------------------------ when a rung begins

  @Test
  void aRungBeginsOnceLiftAndTestPressureRestWhereThePlanWantsThem() {
    HandFedBench bench = HandFedBench.withDial(true, plan -> plan).start();

    bench.blower(AIM_PA).lift(3.0).hold(3);
    assertEquals(0, bench.count(Kind.BEGUN), "the lift is another rung's");
    bench.lift(2.0).blower(0.9 * AIM_PA).hold(3);
    assertEquals(0, bench.count(Kind.BEGUN), "the test pressure is out of its band");
    bench.lift(1.8).blower(AIM_PA).hold(2);
    for (int i = 0; i < 40; i++) {
      bench.lift(1.8 + 0.01 * i).hold(0.05);
    }
    assertEquals(0, bench.count(Kind.BEGUN), "the lift passes through the tolerance");
    bench.lift(2.01).hold(2);
    assertEquals(1, bench.count(Kind.BEGUN));
    assertEquals(Phase.AVERAGING, bench.run().state().phase());
  }

  @Test
  void nothingBeginsWithTheBlowerOff() {
    HandFedBench bench = HandFedBench.withDial(true, plan -> plan).start();
    bench.blower(0).lift(2.0).hold(5);
    bench.run().command(KEEP);
    bench.hold(5);
    bench.run().command(KEEP_NOW);

    assertEquals(0, bench.count(Kind.BEGUN));
    assertEquals(List.of(), bench.run().points());
    assertEquals(Phase.BLOWER_OFF, bench.run().state().phase());
    assertTrue(bench.wasTold(OperatorMessage.Kind.REFUSED));
  }

  @Test
  void nothingIsKeptOnceTheBlowerIsOff() {
    HandFedBench bench = HandFedBench.withDial(false, plan -> plan).start();
    bench.blower(AIM_PA).lift(2.0).hold(8);
    bench.blower(0).hold(0.95);
    bench.run().command(KEEP_NOW);
    bench.hold(3);
    bench.run().command(KEEP_NOW);

    assertEquals(List.of(), bench.run().points());
  }

  @Test
  void fastAndSlowInstrumentsAreUnderstoodAlike() {
    for (double hertz : new double[] {1, 5, 50, 2000}) {
      HandFedBench bench = HandFedBench.withDial(true, plan -> plan).start();
      bench.pressurePa = AIM_PA;
      long step = Math.round(1e9 / hertz);
      for (long nanos = 0; nanos < 6_000_000_000L; nanos += step) {
        meniscus.core.time.Moment at = new meniscus.core.time.Moment(nanos);
        bench.feed(new Frame(0, at, new double[] {AIM_PA, 700}));
        bench.feed(new Frame(1, at, new double[] {2e-3}));
      }
      assertEquals(1, bench.count(Kind.BEGUN), "at " + hertz + " readings a second");
    }
  }

  // ------------------------------------------------------------------ keeping

  @Test
  void aKeepBeforeTheAverageIsGoodIsRememberedAndDoneOnce() {
    HandFedBench bench = HandFedBench.withDial(false, plan -> plan).start();
    bench.run().command(KEEP);
    assertTrue(bench.run().armed());
    assertTrue(bench.wasTold(OperatorMessage.Kind.ARMED));
    bench.lift(2).blower(AIM_PA);
    assertTrue(bench.holdUntilKept());
    bench.lift(4).hold(30);

    assertEquals(List.of(1), bench.keptRungs());
    assertTrue(bench.run().averageWaits(), "rung 2 is good and waits for its own keep");
  }

  @Test
  void keepNowKeepsWhatIsThere() {
    HandFedBench bench = HandFedBench.withDial(false, plan -> plan).start();
    bench.noise = 0.05;
    bench.lift(2).blower(AIM_PA).hold(3.2);
    bench.run().command(KEEP_NOW);

    assertEquals(List.of(1), bench.keptRungs());
    assertFalse(bench.run().points().get(0).average().seconds() > 3, "it was not waited for");
  }

  @Test
  void aSkipForgetsTheKeepThatWaited() {
    HandFedBench bench = HandFedBench.withoutDial(false, plan -> plan).start();
    bench.lift(2).blower(AIM_PA).hold(1);
    bench.run().command(KEEP);
    bench.run().command(SKIP);
    bench.hold(20);

    assertEquals(List.of(), bench.keptRungs());
    assertFalse(bench.run().armed());
  }

  @Test
  void aDriftingRungWaitsForTheLongestTimeAndIsKeptSoMarked() {
    HandFedBench bench = HandFedBench.withDial(true, plan -> plan.longest(25)).start();
    bench.driftPerSecond = 0.001;
    bench.noise = 1e-4;
    bench.lift(2).blower(AIM_PA).hold(20);
    assertEquals(List.of(), bench.keptRungs(), "the level still moves");
    assertTrue(bench.holdUntilKept());
    LiftPoint point = bench.run().points().get(0);

    assertEquals(Verdict.DRIFTING, point.verdict());
    assertTrue(point.doubtful());
  }

  @Test
  void aFaultyGaugeIsToldOnceAndNotKeptByItself() {
    HandFedBench bench = HandFedBench.withDial(true, plan -> plan.longest(12)).start();
    bench.overloadShare = 0.3;
    bench.blower(AIM_PA).lift(2).hold(30);

    assertEquals(List.of(), bench.keptRungs());
    assertEquals(
        1, bench.told.stream().filter(told -> told.kind() == OperatorMessage.Kind.FAULT).count());
  }

  // ------------------------------------------------------------------ breaking off

  @Test
  void averagingBeginsAnewWhenTheValveMoves() {
    HandFedBench bench = HandFedBench.withDial(true, plan -> plan.longest(60)).start();
    bench.noise = 0.05;
    bench.blower(AIM_PA).lift(2).hold(4).lift(2.08).hold(2);
    assertTrue(bench.wasTold(OperatorMessage.Kind.BROKEN_OFF));
    assertEquals(Phase.WAITING, bench.run().state().phase());
    bench.lift(2).hold(2);

    assertEquals(2, bench.count(Kind.BEGUN));
  }

  @Test
  void averagingBeginsAnewWhenTheTestPressureLeavesItsBandForLong() {
    HandFedBench bench = HandFedBench.withDial(true, plan -> plan.longest(60)).start();
    bench.noise = 0.05;
    bench.blower(AIM_PA).lift(2).hold(4).blower(0.9 * AIM_PA).hold(0.8).blower(AIM_PA).hold(3);
    assertFalse(bench.wasTold(OperatorMessage.Kind.BROKEN_OFF), "a short dip is borne");
    bench.blower(0.85 * AIM_PA).hold(3);

    assertTrue(bench.wasTold(OperatorMessage.Kind.BROKEN_OFF));
  }

  @Test
  void averagingBeginsAnewWhenAnInstrumentWasLost() {
    HandFedBench bench = HandFedBench.withDial(true, plan -> plan.longest(60)).start();
    bench.noise = 0.05;
    bench.blower(AIM_PA).lift(2).hold(4);
    bench.run().happened(bench.now(), new TestEvent.Lost("manometer", "unplugged"));
    bench.manometerOn = false;
    bench.hold(6);
    assertTrue(bench.wasTold(OperatorMessage.Kind.BROKEN_OFF));
    assertEquals(1, bench.count(Kind.BEGUN), "nothing begins on what was read long ago");
    bench.manometerOn = true;
    bench.noise = 0.001;
    assertTrue(bench.holdUntilKept());

    assertEquals(List.of(1), bench.keptRungs());
    assertEquals(2, bench.count(Kind.BEGUN));
  }

  @Test
  void aLostThermometerStopsNoRungAndThePointSaysSo() {
    HandFedBench bench = HandFedBench.withThermometer(plan -> plan.longest(60)).start();
    bench.noise = 0.05;
    bench.warm().blower(AIM_PA).lift(2).hold(4);
    bench.run().happened(bench.now(), new TestEvent.Lost("thermometer", "unplugged"));
    bench.noise = 0.001;
    assertTrue(bench.holdUntilKept());

    assertFalse(bench.wasTold(OperatorMessage.Kind.BROKEN_OFF));
    assertTrue(bench.wasTold(OperatorMessage.Kind.FAULT));
    assertEquals(1, bench.count(Kind.BEGUN));
    String remarks = bench.run().points().get(0).remarkSentences().toString();
    assertTrue(remarks.contains("room temperature is missing"), remarks);

    bench.warm().lift(4);
    assertTrue(bench.holdUntilKept());
    assertFalse(
        bench.run().points().get(1).remarkSentences().toString().contains("missing"), "it is back");
  }

  @Test
  void nothingBeginsOnADropThatWasReadLongAgo() {
    HandFedBench bench = HandFedBench.withDial(true, plan -> plan).start();
    bench.blower(AIM_PA).lift(2).hold(0.1);
    for (int i = 0; i < 100; i++) {
      meniscus.core.time.Moment at = bench.now().plusSeconds(2.5 + i * 0.05);
      bench.feed(new Frame(0, at, new double[] {AIM_PA, Double.NaN}));
      bench.feed(new Frame(1, at, new double[] {2e-3}));
    }

    assertEquals(0, bench.count(Kind.BEGUN));
  }

  // ------------------------------------------------------------------ redo, skip, undo

  @Test
  void redoTakesTheLastKeptRungAgain() {
    HandFedBench bench = keptOneAndTwo();
    bench.run().command(REDO);
    assertEquals(List.of(1), bench.keptRungs());
    assertEquals(2, bench.run().wanted().orElseThrow().number());
    bench.lift(4);
    assertTrue(bench.holdUntilKept());

    assertEquals(2, bench.run().points().get(1).attempt());
    assertEquals(3, bench.run().wanted().orElseThrow().number());
  }

  @Test
  void redoOfTheRungBeingAveragedThrowsOnlyTheAverageAway() {
    HandFedBench bench = keptOneAndTwo();
    bench.noise = 0.05;
    bench.lift(6).hold(4);
    assertEquals(Phase.AVERAGING, bench.run().state().phase());
    bench.run().command(REDO);

    assertEquals(List.of(1, 2), bench.keptRungs());
    assertEquals(0, bench.count(Kind.REDO));
    assertEquals(Phase.WAITING, bench.run().state().phase());
  }

  @Test
  void redoOfARungByItsNumberGoesBackToItAndThenOn() {
    HandFedBench bench = keptOneAndTwo();
    bench.run().command(new Command.Redo(OptionalInt.of(1)));
    assertEquals(1, bench.run().wanted().orElseThrow().number());
    bench.lift(2);
    assertTrue(bench.holdUntilKept());
    assertEquals(3, bench.run().wanted().orElseThrow().number());
    bench.run().command(new Command.Redo(OptionalInt.of(17)));

    assertTrue(bench.wasTold(OperatorMessage.Kind.REFUSED));
  }

  @Test
  void undoTakesKeepRedoAndSkipBackOneByOne() {
    HandFedBench bench = keptOneAndTwo();
    LiftPoint second = bench.run().points().get(1);
    bench.run().command(REDO);
    bench.run().command(SKIP);
    assertEquals(List.of(1), bench.keptRungs());
    bench.run().command(UNDO);
    assertEquals(2, bench.run().wanted().orElseThrow().number(), "not skipped any more");
    bench.run().command(UNDO);
    assertEquals(second, bench.run().points().get(1), "the very point is back");
    bench.run().command(UNDO);
    bench.run().command(UNDO);
    assertEquals(List.of(), bench.keptRungs());
    bench.run().command(UNDO);

    assertTrue(bench.wasTold(OperatorMessage.Kind.REFUSED));
    assertEquals(1, bench.run().wanted().orElseThrow().number());
  }

  @Test
  void stopEndsTheTestWithWhatIsKept() {
    HandFedBench bench = keptOneAndTwo();
    bench.run().command(new Command.Stop("enough"));
    bench.lift(6).hold(30);
    bench.run().command(KEEP);

    assertTrue(bench.run().finished());
    assertEquals(List.of(1, 2), bench.keptRungs());
    assertEquals(1, bench.run().openRungs());
    assertTrue(bench.wasTold(OperatorMessage.Kind.REFUSED));
  }

  static HandFedBench keptOneAndTwo() {
    HandFedBench bench = HandFedBench.withDial(true, plan -> plan).start();
    bench.blower(AIM_PA).lift(2);
    assertTrue(bench.holdUntilKept());
    bench.lift(4);
    assertTrue(bench.holdUntilKept());
    return bench;
  }

  // ------------------------------------------------------------------ ladders

  @Test
  void bothSweepsAndTheReturnRungAreTakenInTheOrderOfTheLadder() {
    List<Rung> ladder =
        List.of(
            rung(1, 2),
            rung(2, 4),
            new Rung(3, 4e-3, Sweep.CLOSING, OptionalDouble.empty(), false),
            new Rung(4, 2e-3, Sweep.CLOSING, OptionalDouble.empty(), false),
            new Rung(5, 4e-3, Sweep.OPENING, OptionalDouble.empty(), true));
    HandFedBench bench = HandFedBench.withDial(true, plan -> plan.ladder(ladder)).start();
    bench.blower(AIM_PA);
    for (Rung rung : ladder) {
      bench.lift(rung.liftM() * 1e3);
      assertTrue(bench.holdUntilKept(), "rung " + rung.number());
    }

    assertEquals(List.of(1, 2, 3, 4, 5), bench.keptRungs());
    assertEquals(
        ladder.stream().map(Rung::sweep).toList(),
        bench.run().points().stream().map(LiftPoint::sweep).toList());
    assertTrue(bench.run().finished());
    assertTrue(bench.wasTold(OperatorMessage.Kind.COMPLETE));
  }

  @Test
  void aPressureSweepTakesOneLiftAtEachRungsOwnTestPressure() {
    List<Rung> ladder = new ArrayList<>();
    for (int i = 1; i <= 3; i++) {
      ladder.add(new Rung(i, 6e-3, Sweep.OPENING, OptionalDouble.of(AIM_PA * i / 4), false));
    }
    HandFedBench bench = HandFedBench.withDial(true, plan -> plan.ladder(ladder)).start();
    bench.lift(6);
    for (int i = 1; i <= 3; i++) {
      assertEquals(AIM_PA * i / 4, bench.run().aimPa());
      bench.blower(AIM_PA * i / 4);
      assertTrue(bench.holdUntilKept(), "rung " + i);
    }

    assertTrue(bench.run().points().stream().allMatch(LiftPoint::pressureAsAsked));
    double[] areas =
        bench.run().points().stream().mapToDouble(LiftPoint::effectiveAreaM2).toArray();
    assertEquals(1, areas[2] / areas[0], 0.02, "the area hardly depends on the pressure");
  }
}
