package meniscus.core.budget;

import meniscus.core.air.Barometer;
import meniscus.core.bench.Site;

/** What a barometer that is reduced to sea level does not tell of the pressure at the bench. */
final class SeaLevel {

  /** Altitude taken from a map or a town's name (our own estimate) [m]. */
  private static final double ALTITUDE_HALF_WIDTH_M = 10;

  /** Fall of pressure with height near sea level [Pa/m] (U.S. Standard Atmosphere 1976). */
  private static final double PA_PER_M = 12;

  /**
   * Weather services reduce with the day's air, the standard atmosphere with 15 °C: 20 K off is 7 %
   * of the reduction (our own estimate).
   */
  private static final double DAY_SHARE = 0.07;

  private SeaLevel() {}

  /**
   * Standard uncertainty of the pressure at the bench [Pa]; 0 for a barometer that reads it.
   *
   * @param stationPa at the bench [Pa]
   */
  static double uncertaintyPa(Site site, double stationPa) {
    if (site.barometer() == Site.Barometer.STATION) {
      return 0;
    }
    double altitudeM = site.altitudeM().orElse(0);
    double reduction = Math.abs(Barometer.seaLevelPressure(stationPa, altitudeM) - stationPa);
    return Math.hypot(
        ALTITUDE_HALF_WIDTH_M * PA_PER_M / Math.sqrt(3), DAY_SHARE * reduction / Math.sqrt(3));
  }
}
