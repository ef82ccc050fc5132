package meniscus.recorder.report;

import java.time.Instant;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.function.Function;
import java.util.stream.Collectors;
import java.util.stream.Stream;
import meniscus.core.compare.ChangeKind;
import meniscus.core.compare.Expected;
import meniscus.core.compare.History;
import meniscus.core.compare.History.State;
import meniscus.core.compare.Overall;
import meniscus.core.decide.Estimate;
import meniscus.core.finding.InUnits;

/** What the histories of all ports teach together. */
final class Lessons {

  private Lessons() {}

  /**
   * Sentences under a heading.
   *
   * @param lines one or more
   */
  record Section(String heading, List<String> lines) {}

  /**
   * One expectation against its result.
   *
   * @param at when the state that it led to was first tested
   */
  record Held(PortHistory port, State state, Instant at, Expected expected) {}

  static List<Section> of(List<PortHistory> ports) {
    List<Section> sections = new ArrayList<>();
    List<String> kinds =
        kinds(ports, port -> port.name(ports)).stream()
            .filter(kind -> kind.done().size() > 1)
            .flatMap(kind -> said(kind).stream())
            .toList();
    if (!kinds.isEmpty()) {
      sections.add(new Section("What one kind of change did, on every port that got it", kinds));
    }
    List<Held> held = held(ports);
    if (!held.isEmpty()) {
      sections.add(new Section("What was expected, and what came", score(held, ports)));
    }
    return sections;
  }

  /**
   * @param name of a port
   */
  static List<ChangeKind> kinds(List<PortHistory> ports, Function<PortHistory, String> name) {
    Map<String, History> histories = new LinkedHashMap<>();
    ports.forEach(port -> histories.put(name.apply(port), port.history()));
    return ChangeKind.of(histories);
  }

  /** In the order of time. */
  static List<Held> held(List<PortHistory> ports) {
    return ports.stream()
        .flatMap(
            port ->
                port.history().states().stream()
                    .flatMap(
                        state ->
                            state.expected().stream()
                                .map(
                                    expected ->
                                        new Held(
                                            port,
                                            state,
                                            port.testsOf(state).get(0).at(),
                                            expected))))
        .sorted(Comparator.comparing(Held::at))
        .toList();
  }

  private static List<String> score(List<Held> held, List<PortHistory> ports) {
    List<String> lines = new ArrayList<>();
    int right = 0;
    int told = 0;
    for (Held one : held) {
      Expected expected = one.expected;
      told += expected.came() == Expected.Came.OPEN ? 0 : 1;
      right += expected.came() == Expected.Came.TRUE ? 1 : 0;
      lines.add(
          one.at.toString().substring(0, 10)
              + ", "
              + one.port.name(ports)
              + ", "
              + one.state.name()
              + ": \""
              + expected.change().what()
              + "\", expected was "
              + expected.wanted(new InUnits(expected.comparison().units()))
              + "; "
              + switch (expected.came()) {
                case TRUE -> "it came as expected";
                case OTHERWISE -> "it came otherwise";
                case OPEN -> "these tests cannot tell yet";
              }
              + " ("
              + right
              + " of "
              + told
              + " right so far)");
    }
    lines.add(
        "Of "
            + held.size()
            + " expectations "
            + right
            + " came as expected, "
            + (told - right)
            + " otherwise, and "
            + (held.size() - told)
            + " cannot be told yet.");
    return lines;
  }

  /** Counts, each port, and what another port may be expected to do. */
  private static List<String> said(ChangeKind kind) {
    List<String> lines = new ArrayList<>();
    String counts =
        Stream.of(Overall.values())
            .sorted(Comparator.reverseOrder())
            .filter(overall -> kind.times(overall) > 0)
            .map(overall -> did(overall) + " " + times(kind.times(overall)))
            .collect(Collectors.joining(", "));
    lines.add(
        "\""
            + kind.what()
            + "\", done "
            + times(kind.done().size())
            + (counts.isEmpty() ? "" : "; where nothing else was done with it, it " + counts));
    for (ChangeKind.Done done : kind.done()) {
      lines.add(
          done.port()
              + ", "
              + done.state().name()
              + (done.alone() ? ": " : " (with other changes, so nobody knows which did it): ")
              + done.step().map(Sentences::clause).orElse("cannot be compared"));
    }
    kind.typical().map(Lessons::typical).ifPresent(lines::add);
    return lines;
  }

  private static String did(Overall overall) {
    return switch (overall) {
      case GAINED -> "gained";
      case LOST -> "lost";
      case GAINED_AND_LOST -> "gained at some lifts and lost at others";
      case NO_REAL_CHANGE -> "changed nothing that counts";
      case CANNOT_TELL_YET -> "did what cannot be told yet";
    };
  }

  private static String times(long count) {
    return count == 1 ? "once" : count == 2 ? "twice" : count + " times";
  }

  private static String typical(Estimate share) {
    return "over these ports the average of the lifts moved by "
        + InUnits.signedPercent(share.value(), share.u95())
        + " ± "
        + InUnits.half(share.u95())
        + " (95 %, from the scatter between ports)";
  }
}
