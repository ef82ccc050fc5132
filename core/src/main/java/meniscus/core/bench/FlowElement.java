package meniscus.core.bench;

import java.util.List;
import java.util.function.Function;
import meniscus.core.air.AirState;

/**
 * What turns a pressure drop into a flow.
 *
 * <p>Made once per bench and asked for every reading. {@code upstream} is the air just before the
 * element: its own temperature and absolute pressure, not the room's unless it breathes room air.
 */
public sealed interface FlowElement
    permits OrificeElement, NozzleElement, LinearElement, ChartedElement, FittedElement {

  /**
   * Mass flow [kg/s]. Odd in the drop: noise about zero gives flows about zero.
   *
   * @param dropPa pressure drop across the element [Pa], either sign
   * @param upstream air before the element
   */
  double massFlow(double dropPa, AirState upstream);

  /**
   * Relative standard uncertainty [1] of that flow by what is stated of the element alone: gauges
   * and air come on top.
   *
   * @param dropPa not 0
   */
  double relativeStandardUncertainty(double dropPa, AirState upstream);

  /** False where the element's curve is drawn on beyond the drops that are behind it. */
  default boolean covers(double dropPa) {
    return true;
  }

  /**
   * Limits of use that its equation breaks whatever flows, one sentence each; none where its
   * coefficient is known by more than an equation.
   */
  default List<String> brokenLimits() {
    return List.of();
  }

  default <T> T fold(
      Function<OrificeElement, T> orifice,
      Function<NozzleElement, T> nozzle,
      Function<LinearElement, T> linear,
      Function<ChartedElement, T> charted,
      Function<FittedElement, T> fitted) {
    if (this instanceof OrificeElement it) {
      return orifice.apply(it);
    }
    if (this instanceof NozzleElement it) {
      return nozzle.apply(it);
    }
    if (this instanceof LinearElement it) {
      return linear.apply(it);
    }
    return this instanceof ChartedElement it
        ? charted.apply(it)
        : fitted.apply((FittedElement) this);
  }
}
