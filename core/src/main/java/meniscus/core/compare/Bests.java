package meniscus.core.compare;

import java.util.ArrayList;
import java.util.Comparator;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.TreeSet;
import meniscus.core.compare.History.State;
import meniscus.core.decide.Holm;
import meniscus.core.lift.Lifts;
import meniscus.core.lift.TestCurve;
import meniscus.core.refusal.Refusal;

/**
 * Which state of a port flows most at each lift, and which has the highest flow of all.
 *
 * <p>The highest of several is tested against the next alone: that the highest was picked first
 * makes no more false claims than two that were named beforehand (Gutmann and Maymin 1987, "Is the
 * selected population the best?", Ann. Statist. 15, 456-461). All lifts and the highest flow are
 * asked at once (Holm), as one comparison of the history's family.
 *
 * @param lifts rising
 * @param peak highest flow of all; it is told apart from the next where it belongs to a state that
 *     surely flows more at the very lift where the next has its highest
 */
public record Bests(List<Best> lifts, Optional<Best> peak) {

  /**
   * @param liftM where [m]
   * @param flow of the state, at the reference conditions of the port's first test
   * @param next the next state; empty where no other was tested there
   */
  public record Best(double liftM, State state, FlowAtLift flow, Optional<Next> next) {}

  /**
   * @param difference of the best over this one, where they can be compared
   * @param toldApart whether the tests show that the best flows more
   */
  public record Next(State state, Optional<Difference> difference, boolean toldApart) {}

  private record Ranked(State state, double liftM, FlowAtLift flow) {

    double flowM3PerS() {
      return flow.flowM3PerS();
    }
  }

  /** A question: best against next, and the difference that answers it. */
  private record Asked(Ranked best, Optional<Ranked> next, Optional<Difference> difference) {

    double p() {
      return difference
          .filter(d -> d.decided().withheld() == Decided.Withheld.NO)
          .filter(d -> d.estimate().value() > 0)
          .map(d -> d.estimate().pOfZero())
          .orElse(1.0);
    }
  }

  public Bests {
    lifts = List.copyOf(lifts);
  }

  public static Bests of(History history) {
    Map<List<State>, Optional<Comparison>> compared = new HashMap<>();
    List<Asked> asked = new ArrayList<>();
    List<State> states = history.states();
    TestCurve first = states.get(0).tests().get(0);
    List<Double> lifts = lifts(states);
    for (double lift : lifts) {
      List<Ranked> there = new ArrayList<>();
      for (State state : states) {
        FlowAtLift.of(state.tests(), lift, first)
            .ifPresent(flow -> there.add(new Ranked(state, lift, flow)));
      }
      asked.add(ask(there, history.question(), compared));
    }
    List<Ranked> peaks =
        states.stream().map(state -> peak(state, lifts, first)).flatMap(Optional::stream).toList();
    if (!peaks.isEmpty()) {
      asked.add(ask(peaks, history.question(), compared));
    }
    double[] p = asked.stream().mapToDouble(Asked::p).toArray();
    boolean[] told = Holm.rejected(p, history.question().falseClaim());
    List<Best> bests = new ArrayList<>();
    for (int i = 0; i < p.length; i++) {
      bests.add(best(asked.get(i), told[i]));
    }
    return new Bests(
        peaks.isEmpty() ? bests : bests.subList(0, bests.size() - 1),
        peaks.isEmpty() ? Optional.empty() : Optional.of(bests.get(bests.size() - 1)));
  }

  private static Best best(Asked asked, boolean told) {
    return new Best(
        asked.best.liftM,
        asked.best.state,
        asked.best.flow,
        asked.next.map(next -> new Next(next.state, asked.difference, told)));
  }

  /** The next one's lift decides: where it is highest the best must flow more. */
  private static Asked ask(
      List<Ranked> there, Question question, Map<List<State>, Optional<Comparison>> compared) {
    List<Ranked> falling =
        there.stream().sorted(Comparator.comparingDouble(Ranked::flowM3PerS).reversed()).toList();
    Ranked best = falling.get(0);
    Optional<Ranked> next = falling.stream().skip(1).findFirst();
    return new Asked(
        best,
        next,
        next.flatMap(
            other ->
                compared
                    .computeIfAbsent(
                        List.of(other.state, best.state),
                        pair -> compared(pair.get(0), pair.get(1), question))
                    .flatMap(
                        comparison -> comparison.at(other.liftM).map(LiftDifference::difference))));
  }

  private static Optional<Comparison> compared(State from, State to, Question question) {
    try {
      return Optional.of(Comparison.of(from.tests(), to.tests(), question));
    } catch (Refusal nothingInCommon) {
      return Optional.empty();
    }
  }

  private static List<Double> lifts(List<State> states) {
    TreeSet<Long> steps = new TreeSet<>();
    states.stream()
        .flatMap(state -> state.tests().stream())
        .flatMap(test -> test.curve().stream())
        .filter(TestCurve::trusted)
        .forEach(point -> steps.add(Lifts.step(point.liftM())));
    return steps.stream().map(Lifts::ofStep).toList();
  }

  private static Optional<Ranked> peak(State state, List<Double> lifts, TestCurve first) {
    return lifts.stream()
        .flatMap(
            lift ->
                FlowAtLift.of(state.tests(), lift, first)
                    .map(flow -> new Ranked(state, lift, flow))
                    .stream())
        .max(Comparator.comparingDouble(Ranked::flowM3PerS));
  }
}
