package meniscus.core.pipeline;

import static meniscus.core.pipeline.HandFedBench.AIM_PA;
import static meniscus.core.pipeline.HandFedBench.rung;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.List;
import java.util.OptionalDouble;
import meniscus.core.lift.LiftPoint;
import meniscus.core.lift.TestEvent.Kind;
import org.junit.jupiter.api.Test;

/** The dial on the seat, as a running test asks for it and takes it. */
class SeatOnTheLadderTest {

  @Test
  void theChannelIsReadByItselfBeforeTheFirstLiftAndAfterTheLastOne() {
    HandFedBench bench = HandFedBench.withDial(true, plan -> plan).start();
    assertEquals(List.of(Question.Kind.SEAT_BEFORE), asked(bench));
    bench.lift(0.02).hold(3);
    assertEquals(1, bench.count(Kind.SEAT));
    assertEquals(List.of(), asked(bench));
    climb(bench);
    assertFalse(bench.run().finished(), "the end waits for the second reading");
    assertEquals(List.of(Question.Kind.SEAT_AFTER), asked(bench));
    bench.blower(0).lift(0.04).hold(3);
    assertTrue(bench.run().finished());
    assertEquals(2, bench.count(Kind.SEAT));

    List<LiftPoint> points = bench.replay().points();
    assertEquals(2e-3 - 0.03e-3, points.get(0).setting().liftReadM().orElseThrow(), 1e-9);
    assertEquals(6e-3 - 0.03e-3, points.get(2).setting().liftReadM().orElseThrow(), 1e-9);
  }

  /** The head may be taken off: nobody waits for longer than a minute. */
  @Test
  void theEndWaitsAMinuteAndNotWhereTheDialWasNotReadBefore() {
    HandFedBench read = HandFedBench.withDial(true, plan -> plan).start().lift(0).hold(3);
    climb(read);
    read.hold(61);
    assertTrue(read.run().finished());
    assertEquals(2e-3, read.replay().points().get(0).setting().liftReadM().orElseThrow(), 1e-9);

    HandFedBench without = HandFedBench.withDial(true, plan -> plan).start();
    climb(without);
    assertTrue(without.run().finished());
  }

  @Test
  void aDialSetToZeroMeanwhileIsReadAgainAndAValveThatMovesIsNot() {
    HandFedBench bench = HandFedBench.withDial(true, plan -> plan).start();
    bench.lift(0.2).hold(3).lift(0).hold(3);
    assertEquals(2, bench.count(Kind.SEAT));
    for (int i = 0; i < 100; i++) {
      bench.lift(0.04 + 0.004 * i).hold(0.05);
    }
    assertEquals(2, bench.count(Kind.SEAT));
  }

  @Test
  void withoutADialWhatIsTypedCountsAndTheLiftsAreReckonedFromThere() {
    HandFedBench bench = HandFedBench.withoutDial(false, plan -> plan).start();
    bench.run().command(new Command.Seat(OptionalDouble.empty()));
    assertTrue(bench.wasTold(OperatorMessage.Kind.REFUSED));
    bench.run().command(Command.Seat.of("0.01 mm"));
    bench.run().command(Command.Seat.of("0.8 mm"));
    assertEquals(1, bench.count(Kind.SEAT), "0.8 mm is no shut valve");
    while (bench.run().wanted().isPresent()) {
      bench.blower(0).hold(2).lift(1e3 * bench.run().wanted().orElseThrow().liftM()).blower(AIM_PA);
      bench.run().command(new Command.Keep(false));
      assertTrue(bench.holdUntilKept());
    }
    assertFalse(bench.run().finished());
    bench.run().command(Command.Seat.of("0.03 mm"));
    assertTrue(bench.run().finished());
    assertEquals(
        4e-3 - 0.02e-3, bench.replay().points().get(1).setting().liftReadM().orElseThrow(), 1e-9);
  }

  @Test
  void aReadingBeforeAnInterruptionStands() {
    HandFedBench bench = HandFedBench.withDial(true, plan -> plan).start().lift(0.01).hold(3);
    bench.blower(AIM_PA).lift(2);
    assertTrue(bench.holdUntilKept());
    bench.interruptAndResume(30);
    climb(bench);
    bench.blower(0).lift(0.01).hold(3);
    assertTrue(bench.run().finished());
    assertEquals(
        4e-3 - 0.01e-3, bench.replay().points().get(1).setting().liftReadM().orElseThrow(), 1e-9);
  }

  /** The blower should still run for the one, and be off for the other. */
  @Test
  void theDialIsAskedForOnlyWhenItIsSettledWhetherToConfirm() {
    for (boolean answered : new boolean[] {true, false}) {
      HandFedBench bench =
          HandFedBench.withDial(true, plan -> plan.ladder(rung(1, 9), rung(2, 10), rung(3, 11)))
              .start()
              .lift(0.02)
              .hold(3);
      while (bench.run().wanted().isPresent()) {
        bench.flowFactor = bench.run().wanted().orElseThrow().number() == 3 ? 0.8 : 1;
        bench.blower(AIM_PA).lift(1e3 * bench.run().wanted().orElseThrow().liftM());
        assertTrue(bench.holdUntilKept());
      }
      assertEquals(List.of(Question.Kind.CONFIRM), asked(bench));
      assertEquals(1, timesTheSeatWasWanted(bench), "before the first lift");
      if (answered) {
        bench.run().command(new Command.Skip());
      } else {
        bench.hold(61);
      }
      assertEquals(List.of(Question.Kind.SEAT_AFTER), asked(bench));
      assertEquals(2, timesTheSeatWasWanted(bench));
      assertFalse(bench.run().finished());
      bench.blower(0).lift(0.04).hold(3);
      assertTrue(bench.run().finished());
    }
  }

  private static long timesTheSeatWasWanted(HandFedBench bench) {
    return bench.told.stream().filter(OperatorMessage.SeatWanted.class::isInstance).count();
  }

  private static List<Question.Kind> asked(HandFedBench bench) {
    return bench.run().questions().stream().map(Question::kind).toList();
  }

  private static void climb(HandFedBench bench) {
    while (bench.run().wanted().isPresent()) {
      bench.blower(AIM_PA).lift(1e3 * bench.run().wanted().orElseThrow().liftM());
      assertTrue(bench.holdUntilKept());
    }
  }
}
