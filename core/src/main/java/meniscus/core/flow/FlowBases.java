package meniscus.core.flow;

import meniscus.core.air.AirState;
import meniscus.core.air.ReferenceAir;

/**
 * One mass flow, in each way it can be stated. Only the mass flow is the same everywhere.
 *
 * @param massFlow kg/s
 * @param inletVolumeFlow m³/s of the air before the port
 * @param actualVolumeFlow m³/s of the air at the place asked about
 * @param standardVolumeFlow m³/s that the same mass would be as reference air
 * @param standard that reference air
 */
public record FlowBases(
    double massFlow,
    double inletVolumeFlow,
    double actualVolumeFlow,
    double standardVolumeFlow,
    ReferenceAir standard) {

  /** The statements of a mass flow, from the air at the inlet, at a place, and for reference. */
  public static FlowBases of(
      double massFlow, AirState inlet, AirState there, ReferenceAir standard) {
    return new FlowBases(
        massFlow,
        massFlow / inlet.density(),
        massFlow / there.density(),
        massFlow / standard.state().density(),
        standard);
  }
}
