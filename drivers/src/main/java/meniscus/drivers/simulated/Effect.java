package meniscus.drivers.simulated;

import meniscus.core.quantity.Worded;

/**
 * What makes the simulated bench unlike an ideal one. Each can be scaled in a {@link Scenario}: 0
 * is off, 1 as the scenario has it.
 */
public enum Effect implements Worded {
  /** Slow fluctuation of the blower's pressure, seen by both gauges. */
  WANDER,
  /** Ripple of the blower at a multiple of the mains frequency, seen by both gauges. */
  RIPPLE,
  /** Blower and regulator take time; off, the test pressure is where it should be at once. */
  SETTLING,
  /** Blown air is hot, the warming blower fades, the room warms. */
  MOTOR_HEAT,
  /** The plenum stores air while its pressure moves. */
  PLENUM_STORAGE,
  /** Real fluctuation of the flow through whatever is mounted. */
  TURBULENCE,
  /** By how much a port is rougher than a plate. */
  PORT_ROUGHNESS,
  /** Fluctuation of the pressure at the taps, no flow in it. */
  TAP_TURBULENCE,
  /** How much is lost when the short side separates. */
  SHORT_SIDE,
  /** The flow element's coefficient is not the textbook's. */
  ELEMENT_ERROR,
  /** Air that passes beside the port. */
  LEAKAGE,
  GAUGE_LAG,
  GAUGE_NOISE,
  QUANTUM,
  ZERO_OFFSET,
  ZERO_DRIFT,
  GAIN_ERROR,
  /** Dial not zero with the valve shut, and bent by the test pressure. */
  LIFT_ZERO,
  BACKLASH,
  /** The test pressure moves the valve against its spring and the opener. */
  VALVE_SUCTION,
  /** Temperature, pressure and humidity of the room wander. */
  WEATHER,
  /** The room-air station is a little off. */
  STATION_ERROR,
  /** A head never goes back exactly where it was. */
  REFIXING,
  /** Bytes arrive a little late, unevenly. */
  ARRIVAL_JITTER;
}
