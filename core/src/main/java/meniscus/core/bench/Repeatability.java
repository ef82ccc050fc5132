package meniscus.core.bench;

import java.util.List;

/**
 * How well this bench gives the same flow again after the head is taken off and put back, learned
 * from repeats.
 *
 * @param nodes relative standard deviation against lift, lifts rising
 * @param correlation between two lifts of one fitting [1]: a badly centred adapter moves the whole
 *     curve
 * @param degreesOfFreedom behind the standard deviations
 */
public record Repeatability(List<Node> nodes, double correlation, double degreesOfFreedom) {

  /**
   * @param liftM [m]
   * @param relativeStandardDeviation of the flow [1]
   */
  public record Node(double liftM, double relativeStandardDeviation) {}

  public Repeatability {
    nodes = List.copyOf(nodes);
    if (nodes.isEmpty() || !(correlation >= 0 && correlation <= 1)) {
      throw new IllegalArgumentException(
          "repeatability needs a node or more and a correlation from 0 to 1");
    }
  }

  /** Linear between nodes, constant beyond them [1]. */
  public double relativeStandardDeviation(double liftM) {
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
