package meniscus.core.bench;

import java.util.Objects;
import meniscus.core.air.AirState;
import meniscus.core.flow.Nozzle;
import meniscus.core.refusal.Refusal;

/**
 * A smooth nozzle that draws from a room many times wider than its throat: qm = C · A · Y · √(2 ρ
 * Δp), Y after {@link Nozzle#expansionFactor}. Beyond the critical drop the flow stays what it is
 * there.
 *
 * @param throatM diameter of the throat [m]
 * @param coefficient discharge coefficient C
 */
public record NozzleElement(double throatM, StatedCoefficient coefficient) implements FlowElement {

  public NozzleElement {
    Objects.requireNonNull(coefficient);
    if (!(throatM > 0 && throatM < 1)) {
      throw new Refusal("a nozzle's throat lies between 0 and 1 m, was " + throatM + " m");
    }
  }

  @Override
  public double massFlow(double dropPa, AirState upstream) {
    double size = Math.abs(dropPa);
    if (!(size < upstream.pressurePa())) {
      return Double.NaN;
    }
    double flow =
        coefficient.value()
            * (Math.PI / 4 * throatM * throatM)
            * Nozzle.massFlux(upstream.density(), upstream.pressurePa(), size, upstream.kappa());
    return Math.copySign(flow, dropPa);
  }

  @Override
  public double relativeStandardUncertainty(double dropPa, AirState upstream) {
    return coefficient.relativeStandardUncertainty();
  }
}
