package meniscus.core.bench;

import java.util.List;
import java.util.Objects;
import meniscus.core.air.AirState;
import meniscus.core.refusal.Refusal;

/**
 * An element known by a chart: flows at some drops, as its maker or builder states them for one
 * air. Taken to follow the root law, qm = A(Δp) · √(2 ρ Δp); the area A, expansion included, is
 * linear in ln Δp between the chart's drops and constant beyond them.
 *
 * @param nodes drops rising
 * @param statedFor the air before the element in the chart
 * @param relativeStandardUncertainty of the chart's flows [1], common to all
 */
public record ChartedElement(
    List<Node> nodes, AirState statedFor, double relativeStandardUncertainty)
    implements FlowElement {

  /**
   * @param dropPa [Pa]
   * @param flowM3PerS volume flow of the air before the element [m³/s]
   */
  public record Node(double dropPa, double flowM3PerS) {
    public Node {
      if (!(dropPa > 0) || !(flowM3PerS > 0)) {
        throw new Refusal("a chart's drops and flows must be above zero");
      }
    }
  }

  public ChartedElement {
    nodes = List.copyOf(nodes);
    Objects.requireNonNull(statedFor);
    if (nodes.isEmpty()) {
      throw new Refusal("a chart needs at least one drop with its flow");
    }
    for (int i = 1; i < nodes.size(); i++) {
      if (!(nodes.get(i).dropPa > nodes.get(i - 1).dropPa)
          || !(nodes.get(i).flowM3PerS > nodes.get(i - 1).flowM3PerS)) {
        throw new Refusal(
            "a chart's drops and flows must rise from one line to the next; line "
                + (i + 1)
                + " does not");
      }
    }
    if (!(relativeStandardUncertainty >= 0 && relativeStandardUncertainty < 1)) {
      throw new Refusal(
          "the uncertainty of a chart is a share from 0 to 1, was " + relativeStandardUncertainty);
    }
  }

  @Override
  public double massFlow(double dropPa, AirState upstream) {
    double size = Math.abs(dropPa);
    if (size == 0) {
      return 0;
    }
    return Math.copySign(areaM2(size) * Math.sqrt(2 * upstream.density() * size), dropPa);
  }

  /** Effective area at a drop above zero [m²], expansion included. */
  public double areaM2(double dropPa) {
    int above = 0;
    while (above < nodes.size() && nodes.get(above).dropPa < dropPa) {
      above++;
    }
    if (above == 0 || above == nodes.size()) {
      return areaAt(nodes.get(Math.min(above, nodes.size() - 1)));
    }
    Node low = nodes.get(above - 1);
    Node high = nodes.get(above);
    double share = Math.log(dropPa / low.dropPa) / Math.log(high.dropPa / low.dropPa);
    return areaAt(low) + share * (areaAt(high) - areaAt(low));
  }

  /** A = q √(ρ/(2 Δp)). */
  private double areaAt(Node node) {
    return node.flowM3PerS * Math.sqrt(statedFor.density() / (2 * node.dropPa));
  }

  @Override
  public boolean covers(double dropPa) {
    double size = Math.abs(dropPa);
    return size >= nodes.get(0).dropPa && size <= nodes.get(nodes.size() - 1).dropPa;
  }

  @Override
  public double relativeStandardUncertainty(double dropPa, AirState upstream) {
    return relativeStandardUncertainty;
  }
}
