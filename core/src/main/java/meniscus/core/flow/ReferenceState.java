package meniscus.core.flow;

import java.util.Objects;
import meniscus.core.air.AirState;
import meniscus.core.quantity.Text;
import meniscus.core.refusal.Refusal;

/**
 * What a flow is stated for: reference air upstream of the port, and the reference test pressure.
 *
 * @param air upstream of the port, whichever the direction
 * @param testPressurePa drop across the port, above zero and below the air's pressure
 */
public record ReferenceState(AirState air, double testPressurePa) {

  public ReferenceState {
    Objects.requireNonNull(air);
    if (!(testPressurePa > 0 && testPressurePa < air.pressurePa())) {
      throw new Refusal(
          Text.of(
              "a reference test pressure of %s Pa is not above zero and below the reference air's"
                  + " %.0f Pa",
              testPressurePa, air.pressurePa()));
    }
  }

  /** Volume flow in m³/s of reference air that a port of this effective area passes. */
  public double volumeFlow(double effectiveAreaM2) {
    return effectiveAreaM2 * velocity();
  }

  /** Volume of upstream air per time and effective area; keep it when converting many readings. */
  public double velocity() {
    return Nozzle.massFlux(air.density(), air.pressurePa(), testPressurePa, air.kappa())
        / air.density();
  }
}
