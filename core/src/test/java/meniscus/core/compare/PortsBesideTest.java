package meniscus.core.compare;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import meniscus.core.bench.Repeatability;
import meniscus.core.compare.PortsBeside.Pair;
import meniscus.core.lift.InventedBench;
import meniscus.core.lift.InventedBench.Errors;
import meniscus.core.lift.Plan;
import meniscus.core.lift.PortKind;
import meniscus.core.lift.TestCurve;
import org.junit.jupiter.api.Tag;
import org.junit.jupiter.api.Test;

/** The ports of one head beside each other. */
class PortsBesideTest {

  private static final Optional<Repeatability> KNOWN =
      Optional.of(new Repeatability(List.of(new Repeatability.Node(5e-3, 0.003)), 0.5, 40));

  private final InventedBench bench = new InventedBench(5, new Errors(0.001, 1e-6, 1e-4, 1e-3, 0));

  private static TestCurve port(InventedBench bench, int number, double factor) {
    return InventedBench.of(
        new Plan.Part("H1", "chamber " + number, "intake", "", ""),
        PortKind.INTAKE,
        List.of(),
        bench.run("p" + number, KNOWN, lift -> factor));
  }

  @Test
  void everyPortAgainstEveryOther() {
    PortsBeside beside =
        PortsBeside.of(
            List.of(
                port(bench, 1, 1),
                port(bench, 2, 1),
                port(bench, 3, 0.95),
                port(bench, 4, 1),
                port(bench, 3, 0.95)),
            Question.PLAIN);
    assertEquals(4, beside.ports().size());
    assertEquals(6, beside.pairs().size());
    assertEquals("chamber 3, intake", beside.ports().get(2).name());
    assertEquals(2, beside.ports().get(2).tests().size());
    for (Pair pair : beside.pairs()) {
      assertEquals(0.05 / 6, pair.comparison().question().falseClaim(), 1e-12);
      Outcome expected =
          pair.other().contains("3")
              ? Outcome.LOSS
              : pair.one().contains("3") ? Outcome.GAIN : Outcome.NO_REAL_CHANGE;
      Outcome found = pair.comparison().mean().outcome();
      assertTrue(
          found == expected
              || expected == Outcome.NO_REAL_CHANGE
                  && found != Outcome.GAIN
                  && found != Outcome.LOSS,
          pair.one() + " and " + pair.other() + ": " + found);
    }
  }

  @Test
  void eachPortFromItsOwnBaseline() {
    PortsBeside changes =
        PortsBeside.changes(
            List.of(port(bench, 1, 1), port(bench, 2, 0.9)),
            List.of(port(bench, 2, 0.9 * 1.05), port(bench, 1, 1)),
            Question.PLAIN);
    assertEquals(
        List.of("chamber 2, intake", "chamber 1, intake"),
        changes.pairs().stream().map(Pair::one).toList());
    assertEquals(0.05, changes.pairs().get(0).comparison().mean().relative(), 0.01);
    assertEquals(Outcome.GAIN, changes.pairs().get(0).comparison().mean().outcome());
    assertTrue(changes.pairs().get(1).comparison().lifts(Outcome.GAIN).isEmpty());
  }

  @Test
  void onePortAloneOrWithoutBaselineIsRefused() {
    List<TestCurve> one = List.of(port(bench, 1, 1), port(bench, 1, 1));
    List<TestCurve> two = List.of(port(bench, 1, 1), port(bench, 2, 1));
    assertThrows(IllegalArgumentException.class, () -> PortsBeside.of(one, Question.PLAIN));
    assertThrows(
        IllegalArgumentException.class, () -> PortsBeside.changes(one, two, Question.PLAIN));
    assertThrows(
        IllegalArgumentException.class, () -> PortsBeside.changes(two, one, Question.PLAIN));
  }

  @Test
  void equalPortsAreSeldomCalledDifferent() {
    assertTrue(falseClaims(60, 771) <= 0.15);
  }

  @Test
  @Tag("bench")
  void equalPortsAreSeldomCalledDifferentAtFullSize() {
    double rate = falseClaims(2000, 772);
    System.out.printf(
        Locale.ROOT, "4 equal ports, false claim in %.2f %% of 2000 heads%n", 100 * rate);
    assertTrue(rate <= 0.06);
  }

  /** Share of heads with four equal ports in which some port is called different. */
  private static double falseClaims(int heads, long seed) {
    int claims = 0;
    for (int head = 0; head < heads; head++) {
      InventedBench bench = new InventedBench(seed * 1_000_003 + head, Errors.USUAL);
      List<TestCurve> fittings = new ArrayList<>();
      for (int i = 0; i < 6; i++) {
        fittings.add(bench.run("fitting", Optional.empty(), lift -> 1));
      }
      Optional<Repeatability> known = Optional.of(LearnedRepeatability.of(fittings));
      List<TestCurve> ports = new ArrayList<>();
      for (int i = 1; i <= 4; i++) {
        ports.add(
            InventedBench.of(
                new Plan.Part("H1", "", "port " + i, "", ""),
                PortKind.INTAKE,
                List.of(),
                bench.run("p", known, lift -> 1)));
      }
      boolean claimed =
          PortsBeside.of(ports, Question.PLAIN).pairs().stream()
              .anyMatch(pair -> pair.comparison().changedSomewhere());
      claims += claimed ? 1 : 0;
    }
    return (double) claims / heads;
  }
}
