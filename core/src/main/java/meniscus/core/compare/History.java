package meniscus.core.compare;

import java.util.ArrayList;
import java.util.Comparator;
import java.util.EnumSet;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Objects;
import java.util.Optional;
import java.util.OptionalInt;
import java.util.Set;
import meniscus.core.finding.Finding;
import meniscus.core.lift.Plan;
import meniscus.core.lift.TestCurve;
import meniscus.core.refusal.Refusal;

/**
 * What was done to one port: as received, change after change, with branches where someone went
 * back; and which steps gained.
 *
 * <p>All comparisons of a history are one family: one false gain or loss or more in all of it comes
 * with a chance of at most 5 % (Bonferroni over its comparisons, Holm within each).
 *
 * @param states in the order in which they were first tested
 * @param followUps what became of signs of a short side that an earlier change brought
 * @param best the state with the highest average of the lifts, where two states or more can be
 *     compared
 * @param question as each comparison of the family was asked
 */
public record History(
    List<State> states, List<Finding> followUps, Optional<Best> best, Question question) {

  private static final Set<Finding.Kind> SUSPICIONS =
      EnumSet.of(Finding.Kind.LIKELY_SHORT_SIDE, Finding.Kind.LOSES_AT_HIGH_LIFT);

  /**
   * A test of the port.
   *
   * @param follows name of the test that its change notes set out from; empty: the one before it
   */
  public record Taken(TestCurve test, Optional<String> follows) {}

  /**
   * The port as it was for some tests.
   *
   * @param name {@code as received}, {@code change 1}, …
   * @param parent index of the state that was changed; empty for the first
   * @param changes that led here
   * @param tests of it, more than one when it was repeated
   * @param step difference to the state that was changed, where the two can be compared
   * @param total difference to the first state; that of the step for its children
   */
  public record State(
      String name,
      OptionalInt parent,
      List<Plan.ChangeNote> changes,
      List<TestCurve> tests,
      Optional<Comparison> step,
      Optional<Comparison> total) {
    public State {
      changes = List.copyOf(changes);
      tests = List.copyOf(tests);
    }

    /** What was expected of the changes that led here, against what they did. */
    public List<Expected> expected() {
      return step.map(compared -> Expected.of(compared, changes)).orElse(List.of());
    }

    /** Gain of mean flow over the first state [1]; 0 for itself, empty when nobody knows. */
    public Optional<Double> gain() {
      return parent.isEmpty() ? Optional.of(0.0) : total.map(all -> all.mean().relative());
    }
  }

  /**
   * The highest of all.
   *
   * @param state with the highest average of the lifts, counted from the first state
   * @param next the one after it
   * @param apart {@code next} against {@code state}, where they can be compared
   */
  public record Best(State state, State next, Optional<Comparison> apart) {

    /** Whether the tests show that it is the better one. */
    public boolean toldApart() {
      return apart.map(c -> c.mean().outcome() == Outcome.GAIN).orElse(false);
    }
  }

  public History {
    Objects.requireNonNull(best);
    states = List.copyOf(states);
    followUps = List.copyOf(followUps);
  }

  /**
   * @param taken of one port, in the order of time
   * @param question asked of every step; its chance of a false claim is shared among them
   */
  public static History of(List<Taken> taken, Question question) {
    List<Growing> grown = grow(taken);
    long comparisons =
        grown.stream().filter(s -> s.parent != null).count()
            + grown.stream().filter(s -> s.parent != null && s.parent.parent != null).count()
            + grown.stream().filter(History::isGreatGrandchild).count()
            + 2; // the best against the next best: on average, and lift by lift
    Question shared = question.among((int) Math.max(1, comparisons));
    List<State> states = new ArrayList<>();
    for (int i = 0; i < grown.size(); i++) {
      Growing state = grown.get(i);
      Optional<Comparison> step = compared(state.parent, state, shared);
      boolean child = state.parent == grown.get(0);
      states.add(
          new State(
              name(i, state),
              state.parent == null
                  ? OptionalInt.empty()
                  : OptionalInt.of(grown.indexOf(state.parent)),
              state.changes,
              state.tests,
              step,
              i == 0 || child ? step : compared(grown.get(0), state, shared)));
    }
    List<Finding> followUps = new ArrayList<>();
    for (int i = 0; i < grown.size(); i++) {
      followUp(grown, states, i, shared).ifPresent(followUps::add);
    }
    return new History(states, followUps, best(grown, states, shared), shared);
  }

  private static Optional<Best> best(List<Growing> grown, List<State> states, Question question) {
    List<State> ranked =
        states.stream()
            .filter(state -> state.gain().isPresent())
            .sorted(
                Comparator.comparingDouble((State state) -> state.gain().orElseThrow()).reversed())
            .toList();
    if (ranked.size() < 2) {
      return Optional.empty();
    }
    State first = ranked.get(0);
    State next = ranked.get(1);
    return Optional.of(
        new Best(
            first,
            next,
            compared(grown.get(states.indexOf(next)), grown.get(states.indexOf(first)), question)));
  }

  /** Its follow-up needs a comparison that is neither a step nor a total. */
  private static boolean isGreatGrandchild(Growing state) {
    return state.parent != null
        && state.parent.parent != null
        && state.parent.parent.parent != null;
  }

  /** What became of the suspicion that the change before this one brought. */
  private static Optional<Finding> followUp(
      List<Growing> grown, List<State> states, int index, Question question) {
    Growing state = grown.get(index);
    if (state.parent == null || state.parent.parent == null) {
      return Optional.empty();
    }
    int changed = grown.indexOf(state.parent);
    Optional<Finding> suspicion =
        states.get(changed).step().stream()
            .flatMap(step -> step.findings().stream())
            .filter(f -> SUSPICIONS.contains(f.kind()))
            .findFirst();
    Optional<Comparison> since =
        isGreatGrandchild(state)
            ? compared(state.parent.parent, state, question)
            : states.get(index).total();
    return suspicion.isPresent() && since.isPresent()
        ? Optional.of(
            new FollowUp(
                    suspicion.get(),
                    states.get(changed).name(),
                    states.get(index).name(),
                    since.get(),
                    state.parent.parent.tests.get(0),
                    state.tests.get(state.tests.size() - 1))
                .finding())
        : Optional.empty();
  }

  /** States that were made out of one, in order. */
  public List<State> children(State parent) {
    int at = states.indexOf(parent);
    return states.stream()
        .filter(state -> state.parent().isPresent() && state.parent().getAsInt() == at)
        .toList();
  }

  private static String name(int index, Growing state) {
    if (index > 0) {
      return "change " + index;
    }
    return state.changes.isEmpty() ? "as received" : "first measured";
  }

  private static Optional<Comparison> compared(Growing from, Growing to, Question question) {
    if (from == null) {
      return Optional.empty();
    }
    try {
      return Optional.of(Comparison.of(from.tests, to.tests, question));
    } catch (Refusal nothingInCommon) {
      return Optional.empty();
    }
  }

  /** A state that more tests may be found to be of. */
  private static final class Growing {
    private final Growing parent;
    private final List<Plan.ChangeNote> changes;
    private final List<TestCurve> tests = new ArrayList<>();

    private Growing(Growing parent, List<Plan.ChangeNote> changes) {
      this.parent = parent;
      this.changes = changes;
    }
  }

  private static List<Growing> grow(List<Taken> taken) {
    List<Growing> states = new ArrayList<>();
    Map<String, Growing> byTest = new HashMap<>();
    Growing latest = null;
    for (Taken one : taken) {
      Growing from = one.follows().map(byTest::get).orElse(null);
      latest = from == null ? next(states, latest, one) : after(states, from, one);
      latest.tests.add(one.test());
      byTest.put(one.test().name(), latest);
    }
    return states;
  }

  /** Without a word on what it follows: a repeat of the latest state, or the next one. */
  private static Growing next(List<Growing> states, Growing latest, Taken one) {
    List<Plan.ChangeNote> changes = one.test().plan().changes();
    boolean repeat = latest != null && (changes.isEmpty() || changes.equals(latest.changes));
    return repeat ? latest : add(states, latest, changes);
  }

  /** Without changes it is a repeat of what it follows; with the same ones, of what they made. */
  private static Growing after(List<Growing> states, Growing from, Taken one) {
    List<Plan.ChangeNote> changes = one.test().plan().changes();
    if (changes.isEmpty()) {
      return from;
    }
    return states.stream()
        .filter(state -> state.parent == from && state.changes.equals(changes))
        .findFirst()
        .orElseGet(() -> add(states, from, changes));
  }

  private static Growing add(List<Growing> states, Growing parent, List<Plan.ChangeNote> changes) {
    Growing state = new Growing(parent, changes);
    states.add(state);
    return state;
  }
}
