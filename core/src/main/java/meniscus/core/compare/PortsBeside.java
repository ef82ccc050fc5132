package meniscus.core.compare;

import java.util.ArrayList;
import java.util.List;
import java.util.Objects;
import meniscus.core.lift.Plan;
import meniscus.core.lift.TestCurve;
import meniscus.core.refusal.Refusal;

/**
 * The ports of one head beside each other, or the change of each from its own earlier tests.
 *
 * <p>All comparisons are one family: one false claim or more in all of them comes with a chance of
 * at most 5 % (Bonferroni over the comparisons, Holm within each).
 *
 * @param ports each with its tests
 * @param pairs compared
 */
public record PortsBeside(List<Port> ports, List<Pair> pairs) {

  /**
   * A port and its tests.
   *
   * @param name its own name, with chamber and head as far as ports need them to be told apart
   * @param tests one or more
   */
  public record Port(String name, List<TestCurve> tests) {
    public Port {
      tests = List.copyOf(tests);
    }
  }

  /**
   * Two ports, or one port before and after.
   *
   * @param one name of the port, or of the first of the two
   * @param other name of the other; the same for a port before and after
   */
  public record Pair(String one, String other, Comparison comparison) {}

  public PortsBeside {
    ports = List.copyOf(ports);
    pairs = List.copyOf(pairs);
  }

  /**
   * Every port against every other.
   *
   * @throws Refusal when there are not two ports, or two have no lift in common
   */
  public static PortsBeside of(List<TestCurve> tests, Question question) {
    List<Port> ports = ports(tests);
    if (ports.size() < 2) {
      throw new Refusal(
          "all tests are of one port ("
              + ports.get(0).name()
              + "): give tests of two ports or more");
    }
    Question shared = question.among(ports.size() * (ports.size() - 1) / 2);
    List<Pair> pairs = new ArrayList<>();
    for (int i = 0; i < ports.size(); i++) {
      for (int j = i + 1; j < ports.size(); j++) {
        pairs.add(
            new Pair(
                ports.get(i).name(),
                ports.get(j).name(),
                Comparison.of(ports.get(i).tests(), ports.get(j).tests(), shared)));
      }
    }
    return new PortsBeside(ports, pairs);
  }

  /**
   * The change of each port from its own earlier tests.
   *
   * @throws Refusal when a port lacks tests on one side
   */
  public static PortsBeside changes(
      List<TestCurve> before, List<TestCurve> after, Question question) {
    List<Port> earlier = ports(before);
    List<Port> later = ports(after);
    Question shared = question.among(later.size());
    List<Pair> pairs = new ArrayList<>();
    for (Port port : later) {
      Port own =
          earlier.stream()
              .filter(one -> same(part(one), part(port)))
              .findFirst()
              .orElseThrow(() -> new Refusal("there is no test before of " + port.name()));
      pairs.add(
          new Pair(port.name(), port.name(), Comparison.of(own.tests(), port.tests(), shared)));
    }
    if (earlier.size() > later.size()) {
      throw new Refusal(
          earlier.size() + " ports were tested before, but " + later.size() + " after");
    }
    return new PortsBeside(later, pairs);
  }

  private static List<Port> ports(List<TestCurve> tests) {
    List<List<TestCurve>> groups = new ArrayList<>();
    for (TestCurve test : tests) {
      groups.stream()
          .filter(group -> same(group.get(0).plan().part(), test.plan().part()))
          .findFirst()
          .orElseGet(
              () -> {
                groups.add(new ArrayList<>());
                return groups.get(groups.size() - 1);
              })
          .add(test);
    }
    return groups.stream().map(group -> new Port(name(group.get(0), tests), group)).toList();
  }

  private static Plan.Part part(Port port) {
    return port.tests().get(0).plan().part();
  }

  private static boolean same(Plan.Part one, Plan.Part other) {
    return one.head().equals(other.head())
        && one.chamber().equals(other.chamber())
        && one.port().equals(other.port());
  }

  /** As short as keeps it apart from the others. */
  private static String name(TestCurve test, List<TestCurve> all) {
    Plan.Part part = test.plan().part();
    boolean oneHead =
        all.stream().allMatch(t -> Objects.equals(t.plan().part().head(), part.head()));
    boolean oneChamber =
        all.stream().allMatch(t -> Objects.equals(t.plan().part().chamber(), part.chamber()));
    List<String> words = new ArrayList<>();
    if (!oneHead) {
      words.add(part.head());
    }
    if (!oneChamber && !part.chamber().isBlank()) {
      words.add(part.chamber());
    }
    words.add(part.port().isBlank() ? "port" : part.port());
    return String.join(", ", words);
  }
}
