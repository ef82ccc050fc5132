package meniscus.core.air;

import java.util.Optional;
import meniscus.core.quantity.Text;
import meniscus.core.refusal.Refusal;

/**
 * Station pressure (what the air at the bench really has) against sea-level pressure (what weather
 * services publish), after the troposphere of the U.S. Standard Atmosphere 1976. At 300 m the two
 * differ by 3.5 %, which is 1.8 % of flow.
 */
public final class Barometer {

  // Constants of the U.S. Standard Atmosphere, 1976.
  private static final double SEA_LEVEL_PA = 101_325;
  private static final double SEA_LEVEL_K = 288.15;
  private static final double LAPSE_K_PER_M = 0.0065;
  private static final double GRAVITY = 9.80665;
  private static final double DRY_MOLAR_MASS = 28.9644e-3;
  private static final double MOLAR_GAS_CONSTANT = 8.31432;
  private static final double EARTH_RADIUS_M = 6_356_766;

  /** Sea-level pressures outside this band are rare weather (our own choice of band). */
  private static final double LOW_WEATHER_PA = 97_500;

  private static final double HIGH_WEATHER_PA = 104_500; // the other end of it

  /**
   * The equation holds to the top of the troposphere; no bench stands lower or higher than this.
   */
  private static final double LOWEST_M = -500;

  // Geometric; the troposphere ends at 11 km geopotential.
  private static final double HIGHEST_M = 11_000;

  private Barometer() {}

  /** Pressure at a height, Pa, where the weather report says {@code seaLevelPa}. */
  public static double stationPressure(double seaLevelPa, double altitudeM) {
    return seaLevelPa * ratio(altitudeM);
  }

  /** Pressure reduced to sea level, Pa, of a barometer that reads {@code stationPa} at a height. */
  public static double seaLevelPressure(double stationPa, double altitudeM) {
    return stationPa / ratio(altitudeM);
  }

  /**
   * What is odd about a station pressure at this height; empty when it is ordinary weather.
   *
   * @param stationPa what the barometer at the bench is said to read
   * @param altitudeM height above sea level
   */
  public static Optional<String> doubt(double stationPa, double altitudeM) {
    double reduced = seaLevelPressure(stationPa, altitudeM);
    if (ordinary(reduced)) {
      return Optional.empty();
    }
    String seen =
        Text.of(
            "%.1f hPa at %.0f m would be %.1f hPa at sea level, which is rare weather",
            stationPa / 100, altitudeM, reduced / 100);
    if (ordinary(stationPa)) {
      return Optional.of(
          seen
              + Text.of(
                  ": is it a sea-level reading? The station pressure would then be %.1f hPa",
                  stationPressure(stationPa, altitudeM) / 100));
    }
    return Optional.of(seen + ": check the barometer, its unit and the altitude");
  }

  private static boolean ordinary(double seaLevelPa) {
    return seaLevelPa >= LOW_WEATHER_PA && seaLevelPa <= HIGH_WEATHER_PA;
  }

  private static double ratio(double altitudeM) {
    if (!(altitudeM >= LOWEST_M && altitudeM <= HIGHEST_M)) {
      throw new Refusal(
          Text.of("altitude %s m is not within %.0f to %.0f m", altitudeM, LOWEST_M, HIGHEST_M));
    }
    double geopotentialM = EARTH_RADIUS_M * altitudeM / (EARTH_RADIUS_M + altitudeM);
    double exponent = GRAVITY * DRY_MOLAR_MASS / (MOLAR_GAS_CONSTANT * LAPSE_K_PER_M);
    return Math.pow(1 - LAPSE_K_PER_M * geopotentialM / SEA_LEVEL_K, exponent);
  }
}
