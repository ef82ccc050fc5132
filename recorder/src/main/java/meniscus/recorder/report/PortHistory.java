package meniscus.recorder.report;

import java.util.ArrayList;
import java.util.Comparator;
import java.util.EnumSet;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.stream.Collectors;
import java.util.stream.Stream;
import meniscus.core.compare.History;
import meniscus.core.compare.History.State;
import meniscus.core.compare.Question;
import meniscus.core.compare.WhatNext;
import meniscus.core.finding.Finding;
import meniscus.core.lift.Plan;
import meniscus.core.lift.TestCurve;

/**
 * The history of one port out of its test folders.
 *
 * @param tests in the order of time
 * @param history of them
 */
public record PortHistory(List<TestRead> tests, History history) {

  /** Findings of a step that are told with it; the rest stands elsewhere, or in its report. */
  private static final Set<Finding.Kind> TOLD =
      EnumSet.of(
          Finding.Kind.LIKELY_SHORT_SIDE,
          Finding.Kind.LOSES_AT_HIGH_LIFT,
          Finding.Kind.LOST_AT_LOW_LIFT,
          Finding.Kind.GAINED_BELOW_LOST_ABOVE,
          Finding.Kind.LOST_BELOW_GAINED_ABOVE,
          Finding.Kind.LIKE_A_SHIFTED_LIFT_ZERO,
          Finding.Kind.LIKE_A_LEAK,
          Finding.Kind.LIKE_ANOTHER_TEST_PRESSURE,
          Finding.Kind.SETUP_DIFFERS,
          Finding.Kind.OVERRIDDEN,
          Finding.Kind.TEST_PRESSURES_DIFFER,
          Finding.Kind.OTHER_BENCH_OR_CALIBRATION,
          Finding.Kind.VALVE_MAY_HAVE_MOVED,
          Finding.Kind.BENCH_HEALTH);

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

  public Plan plan() {
    return tests.get(0).curve().plan();
  }

  /** As short as keeps ports of one head apart: {@code chamber 1, port 1}. */
  String name(List<PortHistory> among) {
    boolean oneHead = among.stream().map(port -> port.plan().part().head()).distinct().count() == 1;
    Plan.Part part = plan().part();
    String port = part.port().isBlank() ? plan().port().word() + " port" : part.port();
    return Stream.of(oneHead ? "" : part.head(), part.chamber(), port)
        .filter(text -> !text.isBlank())
        .collect(Collectors.joining(", "));
  }

  /** What is to be done next, head by head; what gained on one head is no word on another. */
  static List<WhatNext> next(List<PortHistory> ports) {
    Map<String, List<WhatNext.Port>> heads = new LinkedHashMap<>();
    for (PortHistory port : ports) {
      heads
          .computeIfAbsent(port.plan().part().head(), head -> new ArrayList<>())
          .add(
              new WhatNext.Port(
                  port.name(ports), port.plan().port(), port.history, port.newestState()));
    }
    return heads.values().stream().flatMap(head -> WhatNext.of(head).stream()).toList();
  }

  private State newestState() {
    TestCurve newest = tests.get(tests.size() - 1).curve();
    return history.states().stream()
        .filter(state -> state.tests().contains(newest))
        .findFirst()
        .orElseThrow();
  }

  /** {@code Heron head, chamber 1, port 1 (intake)}. */
  String heading() {
    return Report.heading(plan().part(), false) + " (" + plan().port().word() + ")";
  }

  /** The read tests of a state. */
  public List<TestRead> testsOf(State state) {
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
              lines.add("against " + from + ": " + Sentences.clause(step) + ".");
              Sentences.turn(step).ifPresent(lines::add);
              lines.add(Sentences.average(step));
              step.findings().stream()
                  .filter(found -> TOLD.contains(found.kind()))
                  .forEach(found -> lines.add(found.sentence()));
            });
    String first = history.states().get(0).name();
    if (!from.equals(first)) {
      state
          .total()
          .ifPresent(
              total -> {
                lines.add("against " + first + ": " + Sentences.clause(total) + ".");
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
