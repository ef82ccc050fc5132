package meniscus.drivers.simulated;

import meniscus.core.air.AirState;

/** Air of the room: only its density is that of moist air, the rest is an ideal gas of κ = 1.4. */
record Air(double temperatureK, double pressurePa, double density) {

  static final double KAPPA = 1.4;

  /** Density that the blower curve and the short side's velocity are stated for [kg/m³]. */
  static final double PLAIN_DENSITY = 1.2;

  /** Specific heat at constant pressure [J/(kg K)]. */
  static final double HEAT_CAPACITY = 1005;

  static Air room(double temperatureK, double pressurePa, double humidity) {
    return new Air(
        temperatureK, pressurePa, new AirState(temperatureK, pressurePa, humidity).density());
  }

  /** [J/(kg K)]. */
  double gasConstant() {
    return pressurePa / (density * temperatureK);
  }
}
