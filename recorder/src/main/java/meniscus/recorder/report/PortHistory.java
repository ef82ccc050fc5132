package meniscus.recorder.report;

import java.util.ArrayList;
import java.util.Comparator;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import meniscus.core.compare.History;
import meniscus.core.compare.History.State;
import meniscus.core.compare.Question;
import meniscus.core.lift.Plan;
import meniscus.core.lift.TestCurve;

/**
 * The history of one port out of its test folders.
 *
 * @param tests in the order of time
 * @param history of them
 */
public record PortHistory(List<TestRead> tests, History history) {

  private record Key(String head, String chamber, String port, String kind) {}

  public PortHistory {
    tests = List.copyOf(tests);
  }

  /** One history a port, ports in the order of their first test. */
  public static List<PortHistory> of(List<TestRead> tests, Question question) {
    Map<Key, List<TestRead>> ports = new LinkedHashMap<>();
    tests.stream()
        .sorted(Comparator.comparing(TestRead::at))
        .forEachOrdered(test -> ports.computeIfAbsent(key(test), k -> new ArrayList<>()).add(test));
    return ports.values().stream()
        .map(
            one ->
                new PortHistory(
                    one, History.of(one.stream().map(PortHistory::taken).toList(), question)))
        .toList();
  }

  private static Key key(TestRead test) {
    Plan plan = test.curve().plan();
    return new Key(
        plan.part().head(), plan.part().chamber(), plan.part().port(), plan.port().word());
  }

  private static History.Taken taken(TestRead test) {
    return new History.Taken(test.curve(), test.notes().follows());
  }

  Plan plan() {
    return tests.get(0).curve().plan();
  }

  /** {@code Heron head, chamber 1, port 1 (intake)}. */
  String heading() {
    return Report.heading(plan().part(), false) + " (" + plan().port().word() + ")";
  }

  /** The read tests of a state. */
  List<TestRead> testsOf(State state) {
    return tests.stream().filter(test -> state.tests().contains(test.curve())).toList();
  }

  /** {@code 2031-05-06: as-received, as-received-2}. */
  String tested(State state) {
    List<TestRead> read = testsOf(state);
    return read.get(0).at().toString().substring(0, 10)
        + ": "
        + String.join(", ", state.tests().stream().map(TestCurve::name).toList());
  }

  /** What its change notes say. */
  List<String> changes(State state) {
    return state.changes().stream()
        .map(note -> ChangeWords.of(note, plan().units().lift()))
        .toList();
  }

  /** What the step gained, and what all steps so far did. */
  List<String> gains(State state) {
    List<String> lines = new ArrayList<>();
    if (state.parent().isEmpty()) {
      return lines;
    }
    if (state.step().isEmpty()) {
      lines.add("nothing can be compared: the tests have no lift in common");
    }
    String from = history.states().get(state.parent().getAsInt()).name();
    state
        .step()
        .ifPresent(
            step -> {
              lines.add("against " + from + ": " + Sentences.whatChanged(step));
              Sentences.turn(step).ifPresent(lines::add);
              lines.add(Sentences.average(step));
            });
    String first = history.states().get(0).name();
    if (!from.equals(first)) {
      state
          .total()
          .ifPresent(
              total -> {
                lines.add("against " + first + ": " + Sentences.whatChanged(total));
                lines.add(Sentences.average(total));
              });
    }
    return lines;
  }

  /** The state with the highest average so far, and whether that is told apart from the next. */
  Optional<String> best() {
    return history
        .best()
        .map(
            best ->
                "Highest average of the lifts so far: "
                    + best.state().name()
                    + ", "
                    + (best.toldApart() ? "told apart from " : "not told apart from ")
                    + best.next().name()
                    + " (the next)"
                    + best.apart()
                        .map(
                            c ->
                                ": "
                                    + c.mean().outcome().word()
                                    + ", "
                                    + Sentences.detail(c.mean()))
                        .orElse(", for they cannot be compared")
                    + ".");
  }
}
