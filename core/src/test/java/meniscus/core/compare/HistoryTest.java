package meniscus.core.compare;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.List;
import java.util.Optional;
import meniscus.core.bench.Repeatability;
import meniscus.core.compare.History.State;
import meniscus.core.compare.History.Taken;
import meniscus.core.lift.InventedBench;
import meniscus.core.lift.Plan;
import meniscus.core.lift.PortKind;
import meniscus.core.lift.TestCurve;
import org.junit.jupiter.api.Test;

/** A port's way, with branches, and which of its steps gained. */
class HistoryTest {

  private static final Plan.Part PART = new Plan.Part("H1", "chamber 1", "port 1", "", "");
  private static final Optional<Repeatability> KNOWN =
      Optional.of(new Repeatability(List.of(new Repeatability.Node(5e-3, 0.003)), 0.5, 40));

  private final InventedBench bench =
      new InventedBench(11, new InventedBench.Errors(0.001, 1e-6, 1e-4, 1e-3, 0));

  private Taken taken(String name, double factor, String follows, String... changes) {
    TestCurve run = bench.run(name, KNOWN, lift -> factor);
    return new Taken(
        InventedBench.of(
            PART,
            PortKind.INTAKE,
            InventedBench.notes(changes),
            InventedBench.named(name, run, run.points())),
        follows.isEmpty() ? Optional.empty() : Optional.of(follows));
  }

  private static List<String> names(History history) {
    return history.states().stream().map(State::name).toList();
  }

  @Test
  void changeAfterChangeWithTheGainOfEach() {
    History history =
        History.of(
            List.of(
                taken("a", 1, ""),
                taken("b", 1.05, "", "opened the bowl"),
                taken("c", 1.05, "", "polished the runner")),
            Question.PLAIN);
    assertEquals(List.of("as received", "change 1", "change 2"), names(history));
    State bowl = history.states().get(1);
    State runner = history.states().get(2);
    assertEquals(0, bowl.parent().getAsInt());
    assertEquals(1, runner.parent().getAsInt());
    assertEquals(Outcome.GAIN, bowl.step().orElseThrow().mean().outcome());
    assertEquals(0.05, bowl.gain().orElseThrow(), 0.01);
    assertTrue(runner.step().orElseThrow().lifts(Outcome.GAIN).isEmpty());
    assertEquals(Outcome.GAIN, runner.total().orElseThrow().mean().outcome());
  }

  @Test
  void aBranchSetsOutFromTheTestItFollows() {
    History history =
        History.of(
            List.of(
                taken("a", 1, ""),
                taken("b", 0.93, "", "opened the bowl"),
                taken("c", 1.06, "a", "raised the roof"),
                taken("d", 1.09, "", "narrowed the guide")),
            Question.PLAIN);
    State first = history.states().get(0);
    assertEquals(
        List.of("change 1", "change 2"),
        history.children(first).stream().map(State::name).toList());
    assertEquals(2, history.states().get(3).parent().getAsInt());
    assertEquals(Outcome.LOSS, history.states().get(1).step().orElseThrow().mean().outcome());
    assertEquals("change 3", history.best().orElseThrow().state().name());
  }

  /** A hair's breadth more is no best: whoever reads it must be told. */
  @Test
  void theHighestAverageIsToldApartFromTheNextOrSaidNotToBe() {
    History alike =
        History.of(
            List.of(taken("a", 1, ""), taken("b", 1.001, "", "polished the runner")),
            Question.PLAIN);
    assertFalse(alike.best().orElseThrow().toldApart());
    History apart =
        History.of(
            List.of(taken("a", 1, ""), taken("b", 1.06, "", "opened the bowl")), Question.PLAIN);
    assertTrue(apart.best().orElseThrow().toldApart());
    assertEquals("as received", apart.best().orElseThrow().next().name());
    assertTrue(
        History.of(List.of(taken("a", 1, "")), Question.PLAIN).best().isEmpty(),
        "one state is not best of anything");
  }

  @Test
  void testsWithoutChangesOrWithTheSameOnesAreRepeats() {
    History history =
        History.of(
            List.of(
                taken("a", 1, ""),
                taken("a2", 1, ""),
                taken("b", 1.03, "", "opened the bowl"),
                taken("b2", 1.03, "", "opened the bowl"),
                taken("b3", 1.03, ""),
                taken("a3", 1, "a")),
            Question.PLAIN);
    assertEquals(2, history.states().size());
    assertEquals(
        List.of("a", "a2", "a3"),
        history.states().get(0).tests().stream().map(TestCurve::name).toList());
    assertEquals(3, history.states().get(1).tests().size());
  }

  @Test
  void allStepsShareOneChanceOfAFalseClaim() {
    History history =
        History.of(
            List.of(
                taken("a", 1, ""),
                taken("b", 1, "", "first"),
                taken("c", 1, "", "second"),
                taken("d", 1, "a", "other way")),
            Question.PLAIN);
    // Three steps, one total that is not a step, and the best against the next best: on average,
    // and lift by lift.
    assertEquals(
        0.05 / 6, history.states().get(1).step().orElseThrow().question().falseClaim(), 1e-12);
  }

  @Test
  void whatIsFollowedButUnknownIsTakenAsNotSaid() {
    History history =
        History.of(
            List.of(taken("a", 1, ""), taken("b", 1.03, "lost", "opened the bowl")),
            Question.PLAIN);
    assertEquals(0, history.states().get(1).parent().getAsInt());
  }
}
