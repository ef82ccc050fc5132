package meniscus.core.bench;

import java.util.Objects;
import java.util.Optional;
import java.util.OptionalDouble;
import meniscus.core.quantity.Coded;
import meniscus.core.quantity.Text;
import meniscus.core.refusal.Refusal;

/**
 * Where the bench stands.
 *
 * @param altitudeM height above sea level [m], when known
 * @param barometer what the room pressure means
 * @param mainsHz frequency of the mains [Hz], whose hum is looked for in readings
 */
public record Site(OptionalDouble altitudeM, Barometer barometer, double mainsHz) {

  public static final Site UNKNOWN = new Site(OptionalDouble.empty(), Barometer.STATION, 50);

  /** What a room pressure means. */
  public enum Barometer implements Coded {
    /** The pressure that the air at the bench really has. */
    STATION,
    /** Reduced to sea level, as weather services publish it. */
    SEA_LEVEL;
  }

  public Site {
    Objects.requireNonNull(altitudeM);
    Objects.requireNonNull(barometer);
    if (barometer == Barometer.SEA_LEVEL && altitudeM.isEmpty()) {
      throw new Refusal(
          "a sea-level barometer needs the bench's altitude, to find the pressure at the bench");
    }
    if (altitudeM.isPresent()
        && !(altitudeM.getAsDouble() >= -500 && altitudeM.getAsDouble() <= 6000)) {
      throw new Refusal(
          "an altitude lies between -500 and 6000 m, was " + altitudeM.getAsDouble() + " m");
    }
    if (!(mainsHz >= 10 && mainsHz <= 100)) {
      throw new Refusal("the mains frequency is 50 or 60 Hz, was " + mainsHz + " Hz");
    }
  }

  /**
   * The pressure that the air at the bench really has [Pa].
   *
   * @param readPa as the barometer shows it [Pa]
   */
  public double stationPa(double readPa) {
    return barometer == Barometer.STATION
        ? readPa
        : meniscus.core.air.Barometer.stationPressure(readPa, altitudeM.getAsDouble());
  }

  /**
   * What is odd about a pressure at this height; empty for ordinary weather, or where the height is
   * not known.
   *
   * @param stationPa at the bench, as {@link #stationPa} gives it [Pa]
   */
  public Optional<String> doubt(double stationPa) {
    if (altitudeM.isEmpty()) {
      return Optional.empty();
    }
    double height = altitudeM.getAsDouble();
    Optional<String> odd = meniscus.core.air.Barometer.doubt(stationPa, height);
    double shown =
        barometer == Barometer.STATION
            ? stationPa
            : meniscus.core.air.Barometer.seaLevelPressure(stationPa, height);
    boolean readsAtTheBench =
        barometer == Barometer.SEA_LEVEL
            && meniscus.core.air.Barometer.doubt(shown, height).isEmpty();
    return odd.map(
        words ->
            readsAtTheBench
                ? Text.of(
                    "%.1f hPa at sea level is rare weather, and would be ordinary at %.0f m: does"
                        + " the barometer tell the pressure at the bench? Then write \"barometer\":"
                        + " \"station\"",
                    shown / 100, height)
                : words);
  }
}
