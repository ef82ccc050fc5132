package meniscus.core.flow;

import java.util.Objects;
import meniscus.core.air.ReferenceAir;
import meniscus.core.quantity.Text;
import meniscus.core.refusal.Refusal;

/**
 * What a flow is stated for: reference air upstream of the port, and the reference test pressure.
 *
 * @param air upstream of the port, whichever the direction
 * @param testPressurePa drop across the port, above zero and below the air's pressure
 */
public record ReferenceState(ReferenceAir air, double testPressurePa) {

  public ReferenceState {
    Objects.requireNonNull(air);
    if (!(testPressurePa > 0 && testPressurePa < air.state().pressurePa())) {
      throw new Refusal(
          Text.of(
              "a reference test pressure of %s Pa is not above zero and below the reference air's"
                  + " %.0f Pa",
              testPressurePa, air.state().pressurePa()));
    }
  }

  /** Volume flow in m³/s of reference air that a port of this effective area passes. */
  public double volumeFlow(double effectiveAreaM2) {
    return effectiveAreaM2 * velocity();
  }

  /** Volume of upstream air per time and effective area; keep it when converting many readings. */
  public double velocity() {
    var state = air.state();
    return Nozzle.massFlux(state.density(), state.pressurePa(), testPressurePa, state.kappa())
        / state.density();
  }
}
