package meniscus.core.compare;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.EnumSet;
import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.Set;
import meniscus.core.bench.Repeatability;
import meniscus.core.lift.InventedBench;
import meniscus.core.lift.Plan;
import meniscus.core.lift.TestCurve;
import meniscus.core.lift.TestSetUp;
import org.junit.jupiter.api.Test;

/** No outcome contradicts the interval that stands beside it. */
class HonestIntervalTest {

  private static final Optional<Repeatability> KNOWN =
      Optional.of(new Repeatability(List.of(new Repeatability.Node(5e-3, 0.003)), 0.5, 40));

  @Test
  void theIntervalBesideAnOutcomeIsTheOneThatDecided() {
    Set<Outcome> seen = EnumSet.noneOf(Outcome.class);
    int plainWouldContradict = 0;
    for (int seed = 0; seed < 60; seed++) {
      InventedBench bench = new InventedBench(seed, InventedBench.Errors.USUAL);
      double size = 0.002 * (seed % 12);
      Question question =
          seed % 3 == 0
              ? new Question(
                  OptionalDouble.of(0.02), Question.USUAL_RESOLUTION, Optional.empty(), false)
              : Question.PLAIN;
      Comparison c =
          ReadAloud.compared(
              List.of(bench.run("before", KNOWN, lift -> 1)),
              List.of(bench.run("after", KNOWN, lift -> lift < 6e-3 ? 1 + size : 1 - size)),
              question);
      for (LiftDifference lift : c.lifts()) {
        Difference d = lift.difference();
        if (d.decided().withheld() != Decided.Withheld.NO) {
          continue;
        }
        seen.add(d.outcome());
        double value = d.estimate().value();
        double half = d.decided().half();
        String where = "seed " + seed + ", " + lift;
        switch (d.outcome()) {
          case GAIN -> assertTrue(value - half >= 0, where);
          case LOSS -> assertTrue(value + half <= 0, where);
          case NO_REAL_CHANGE -> assertTrue(Math.abs(value) + half <= d.margin() * 1.000001, where);
          default -> {
            assertTrue(Math.abs(value) < half, where);
            plainWouldContradict += Math.abs(value) > d.estimate().u95() ? 1 : 0;
          }
        }
      }
    }
    assertEquals(EnumSet.allOf(Outcome.class), seen, "else this shows too little");
    assertTrue(plainWouldContradict > 0, "one lift's own 95 % interval would have misled");
  }

  @Test
  void whatIsWithheldSaysWhy() {
    InventedBench bench = new InventedBench(3, InventedBench.Errors.USUAL);
    Comparison c =
        ReadAloud.compared(
            List.of(bench.run("before", Optional.empty(), lift -> 1)),
            List.of(bench.run("after", Optional.empty(), lift -> 1.1)),
            Question.PLAIN);
    for (LiftDifference lift : c.lifts()) {
      assertEquals(
          Decided.Withheld.SCATTER_UNKNOWN, lift.difference().decided().withheld(), "" + lift);
    }
  }

  /** A spring of 1 N holds no head of 35 mm against 6974 Pa (6.7 N), by any table of areas. */
  @Test
  void whatWasTakenWhileTheValveMayHaveMovedDecidesNothing() {
    InventedBench bench = new InventedBench(3, InventedBench.Errors.USUAL);
    TestCurve before = bench.run("before", KNOWN, lift -> 1);
    TestCurve after = bench.run("after", KNOWN, lift -> 1.1);
    Plan plan = after.plan();
    // 0.5 N on the seat and 1 N/mm: it holds from 7 mm on.
    TestSetUp.Valves valves =
        new TestSetUp.Valves(
            1,
            1,
            plan.setUp().valveHeadsM(),
            Optional.empty(),
            Optional.of(new TestSetUp.Spring(0.5, 1000, 0.02, 0)));
    TestSetUp old = plan.setUp();
    TestCurve light =
        new TestCurve(
            after.name(),
            after.bench(),
            after.calibration(),
            after.repeatability(),
            plan.with(
                new TestSetUp(
                    valves, old.smallestAreaM2(), old.adapter(), old.fitted(), old.indicator())),
            after.room(),
            after.health(),
            after.points());
    Comparison c =
        ReadAloud.compared(
            List.of(before),
            List.of(light),
            new Question(
                OptionalDouble.empty(),
                Question.USUAL_RESOLUTION,
                Optional.of("only the spring differs"),
                false));
    for (LiftDifference lift : c.lifts()) {
      boolean held = lift.liftM() > 6.5e-3;
      assertEquals(
          held ? Decided.Withheld.NO : Decided.Withheld.POINT_IN_DOUBT,
          lift.difference().decided().withheld(),
          "" + lift);
      assertEquals(held ? Outcome.GAIN : Outcome.CANNOT_TELL_YET, lift.outcome(), "" + lift);
    }
    assertEquals(Outcome.CANNOT_TELL_YET, c.mean().outcome());
    assertTrue(
        ReadAloud.read(meniscus.core.finding.TestDoubts.of(light)).stream()
            .anyMatch(
                f ->
                    f.sentence().contains("may have moved the valve at 1.00, 2.00")
                        && f.evidence().get(0).matches("1.00 mm: .* 5\\.\\d N more .*")),
        "" + meniscus.core.finding.TestDoubts.of(light));
  }
}
