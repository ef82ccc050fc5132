package meniscus.core.bench;

import java.time.Instant;
import java.util.List;
import java.util.Set;

/**
 * How well this bench gives the same flow again after the head is taken off and put back, learned
 * from repeats.
 *
 * @param nodes relative standard deviation against lift, lifts rising
 * @param correlation between two lifts of one fitting [1]: a badly centred adapter moves the whole
 *     curve
 * @param degreesOfFreedom behind the standard deviations
 * @param from the repeats that it was learned from; empty where they were not listed yet
 */
public record Repeatability(
    List<Node> nodes, double correlation, double degreesOfFreedom, List<Series> from) {

  /**
   * What the repeats of one head show by themselves.
   *
   * @param head its name
   * @param tests names of its test folders
   * @param at when it was learned
   * @param epoch of the bench
   * @param nodes relative standard deviation against lift, lifts rising
   * @param correlation between two lifts of one fitting [1]
   * @param degreesOfFreedom behind the standard deviations
   */
  public record Series(
      String head,
      List<String> tests,
      Instant at,
      int epoch,
      List<Node> nodes,
      double correlation,
      double degreesOfFreedom) {
    public Series {
      tests = List.copyOf(tests);
      nodes = List.copyOf(nodes);
      if (tests.size() < 2 || nodes.isEmpty() || !(degreesOfFreedom > 0)) {
        throw new IllegalArgumentException(
            "repeats need two tests or more, a node or more and degrees of freedom above 0");
      }
    }

    /** True for the same tests of the same head: they count once. */
    public boolean sameTests(Series other) {
      return head.equals(other.head) && Set.copyOf(tests).equals(Set.copyOf(other.tests));
    }
  }

  /** One whose repeats are not listed. */
  public Repeatability(List<Node> nodes, double correlation, double degreesOfFreedom) {
    this(nodes, correlation, degreesOfFreedom, List.of());
  }

  /**
   * @param liftM [m]
   * @param relativeStandardDeviation of the flow [1]
   */
  public record Node(double liftM, double relativeStandardDeviation) {}

  public Repeatability {
    nodes = List.copyOf(nodes);
    from = List.copyOf(from);
    if (nodes.isEmpty() || !(correlation >= 0 && correlation <= 1)) {
      throw new IllegalArgumentException(
          "repeatability needs a node or more and a correlation from 0 to 1");
    }
  }

  /** Linear between nodes, constant beyond them [1]. */
  public double relativeStandardDeviation(double liftM) {
    return relativeStandardDeviation(nodes, liftM);
  }

  /** Linear between nodes, constant beyond them [1]. */
  public static double relativeStandardDeviation(List<Node> nodes, double liftM) {
    Node before = nodes.get(0);
    for (Node node : nodes) {
      if (node.liftM >= liftM) {
        double span = node.liftM - before.liftM;
        double share = span > 0 ? Math.max(0, (liftM - before.liftM) / span) : 0;
        return before.relativeStandardDeviation
            + share * (node.relativeStandardDeviation - before.relativeStandardDeviation);
      }
      before = node;
    }
    return before.relativeStandardDeviation;
  }
}
