package meniscus.core.bench;

import java.util.Objects;
import meniscus.core.air.AirState;
import meniscus.core.refusal.Refusal;

/**
 * A laminar element, whose flow is in proportion to its drop: viscous flow of a gas at one
 * temperature, qm = K · Δp/μ · ρ1 · (1 − Δp/(2 p1)), which is Hagen-Poiseuille with the density at
 * the mean pressure. K is taken from one flow that its maker states.
 *
 * @param flowM3PerS stated volume flow of the air before it [m³/s]
 * @param dropPa at this drop [Pa]
 * @param statedFor the air of that statement
 * @param relativeStandardUncertainty of its flow [1]
 */
public record LinearElement(
    double flowM3PerS, double dropPa, AirState statedFor, double relativeStandardUncertainty)
    implements FlowElement {

  public LinearElement {
    Objects.requireNonNull(statedFor);
    if (!(flowM3PerS > 0) || !(dropPa > 0) || !(dropPa < statedFor.pressurePa())) {
      throw new Refusal(
          "a linear element needs a flow and a drop above zero, and a drop below the air's"
              + " pressure");
    }
    if (!(relativeStandardUncertainty >= 0 && relativeStandardUncertainty < 1)) {
      throw new Refusal(
          "the uncertainty of a linear element is a share from 0 to 1, was "
              + relativeStandardUncertainty);
    }
  }

  /** K: volume flow × viscosity / drop as the drop goes to zero [m³]. */
  public double coefficientM3() {
    return flowM3PerS
        * statedFor.viscosity()
        / (dropPa * (1 - dropPa / (2 * statedFor.pressurePa())));
  }

  @Override
  public double massFlow(double dropPa, AirState upstream) {
    return coefficientM3()
        * dropPa
        / upstream.viscosity()
        * upstream.density()
        * (1 - Math.abs(dropPa) / (2 * upstream.pressurePa()));
  }

  @Override
  public double relativeStandardUncertainty(double dropPa, AirState upstream) {
    return relativeStandardUncertainty;
  }
}
