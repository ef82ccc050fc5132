package meniscus.core.pipeline;

import static meniscus.core.pipeline.HandFedBench.AIM_PA;
import static org.junit.jupiter.api.Assertions.assertEquals;

import java.util.ArrayDeque;
import java.util.ArrayList;
import java.util.Deque;
import java.util.Iterator;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.OptionalInt;
import java.util.Random;
import java.util.TreeMap;
import java.util.TreeSet;
import java.util.stream.LongStream;
import meniscus.core.lift.EventText;
import meniscus.core.lift.LiftPoint;
import meniscus.core.lift.Rung;
import meniscus.core.lift.TestEvent;
import org.junit.jupiter.api.Tag;
import org.junit.jupiter.api.Test;

/**
 * Random operators: redo, skip, undo, interruptions in all orders. A naive model that remembers the
 * whole ladder before each step must agree on which points stand, and working the recording out
 * again must give the very same points.
 */
class RandomRunsTest {

  private static final int RUNGS = 4;

  @Test
  void randomOperatorsGetThePointsTheyAskedForAndTheReplayGivesThemAgain() {
    LongStream.rangeClosed(1, 4).forEach(RandomRunsTest::run);
  }

  @Test
  @Tag("bench")
  void threeHundredRandomOperators() {
    LongStream.rangeClosed(1, 300).forEach(RandomRunsTest::run);
  }

  /** The ladder as an operator would draw it on paper; a sheet of paper for each step. */
  private static final class Paper {
    Map<Integer, LiftPoint> kept = new TreeMap<>();
    TreeSet<Integer> skipped = new TreeSet<>();
    final Deque<Paper> sheets = new ArrayDeque<>();

    void step() {
      Paper before = new Paper();
      before.kept = new TreeMap<>(kept);
      before.skipped = new TreeSet<>(skipped);
      sheets.push(before);
    }

    void keep(LiftPoint point) {
      step();
      kept.put(point.rung(), point);
    }

    void empty(int rung, boolean skip) {
      step();
      kept.remove(rung);
      skipped.remove(rung);
      if (skip) {
        skipped.add(rung);
      }
    }

    void undo() {
      Paper before = sheets.pop();
      kept = before.kept;
      skipped = before.skipped;
    }
  }

  private static void run(long seed) {
    Random random = new Random(seed);
    List<Rung> ladder = new ArrayList<>();
    for (int i = 1; i <= RUNGS; i++) {
      ladder.add(HandFedBench.rung(i, 2 * i));
    }
    HandFedBench bench =
        HandFedBench.withDial(random.nextBoolean(), plan -> plan.ladder(ladder).longest(12));
    bench.start().blower(AIM_PA);
    Paper paper = new Paper();
    for (int i = 0; i < 18 && !bench.run().finished(); i++) {
      act(bench, paper, random);
      String where = "seed " + seed + ", act " + i;
      assertEquals(List.copyOf(paper.kept.values()), bench.run().points(), where);
      assertEquals(
          List.copyOf(paper.skipped),
          bench.run().state().marks().stream()
              .filter(RunState.Mark::skipped)
              .map(mark -> mark.rung().number())
              .toList(),
          where);
    }
    Replay replay = bench.replay();
    assertEquals(bare(bench.run().points()), bare(replay.points()), "replay, seed " + seed);
    assertEquals(List.copyOf(paper.skipped), replay.skipped(), "seed " + seed);
  }

  private static void act(HandFedBench bench, Paper paper, Random random) {
    int events = bench.events().size();
    int keptBefore = bench.keptOverTheLine.size();
    switch (random.nextInt(10)) {
      case 0 -> bench.run().command(new Command.Redo(OptionalInt.empty()));
      case 1 -> bench.run().command(new Command.Redo(OptionalInt.of(1 + random.nextInt(RUNGS))));
      case 2 -> bench.run().command(new Command.Skip());
      case 3, 4 -> bench.run().command(new Command.Undo());
      case 5 -> {
        bench.interruptAndResume(random.nextInt(100));
        paper.sheets.clear();
      }
      case 6 -> {
        // Set, begun, and broken off: what was begun must leave no trace in the replay.
        toTheWantedLift(bench).hold(2 + 3 * random.nextDouble());
        bench.run().happened(bench.now(), new TestEvent.Lost("manometer", "made up"));
        bench.lift(11).hold(1 + random.nextDouble());
      }
      case 7 -> {
        toTheWantedLift(bench).hold(3);
        bench.run().command(new Command.Keep(true));
      }
      default -> {
        toTheWantedLift(bench);
        bench.run().command(new Command.Keep(false));
        bench.holdUntilKept();
      }
    }
    Iterator<LiftPoint> kept =
        bench.keptOverTheLine.subList(keptBefore, bench.keptOverTheLine.size()).iterator();
    List<TestEvent> all = bench.events();
    for (TestEvent event : all.subList(events, all.size())) {
      TestEvent.What what = event.what();
      if (what instanceof TestEvent.Kept) {
        paper.keep(kept.next());
      } else if (what instanceof TestEvent.Redone redone) {
        paper.empty(redone.rung(), false);
      } else if (what instanceof TestEvent.Skipped skipped) {
        paper.empty(skipped.rung(), true);
      } else if (what instanceof TestEvent.Undone) {
        paper.undo();
      }
    }
  }

  private static HandFedBench toTheWantedLift(HandFedBench bench) {
    bench.noise = 0.002;
    return bench.lift(bench.run().wanted().map(rung -> rung.liftM() * 1e3).orElse(0.0));
  }

  /** Without the part of the budget that waits for the neighbours. */
  private static List<LiftPoint> bare(List<LiftPoint> points) {
    return points.stream()
        .map(point -> point.withBudget(List.of(), OptionalDouble.empty(), point.flowRepeatU95()))
        .toList();
  }

  @Test
  void eventsThatDoNotFitTheSamplesAreRefusedInWords() {
    HandFedBench bench = HandFedBench.withDial(true, plan -> plan).start();
    Replay replay = bench.replay();
    for (TestEvent bad :
        List.of(
            new TestEvent(bench.now(), 0, new TestEvent.Kept(1, 1)),
            new TestEvent(bench.now(), 0, new TestEvent.Redone(99)),
            new TestEvent(bench.now(), 0, EventText.what(TestEvent.Kind.SKIPPED, "")),
            new TestEvent(
                bench.now(),
                0,
                EventText.what(TestEvent.Kind.UNDONE, "rung=1 now=kept:4 step=redo")))) {
      Optional<String> message = Optional.empty();
      try {
        replay.event(bad);
      } catch (IllegalArgumentException e) {
        message = Optional.ofNullable(e.getMessage());
      }
      assertEquals(true, message.map(text -> text.contains("rung")).orElse(false), "" + bad);
    }
  }
}
