package meniscus.core.air;

import java.util.ArrayList;
import java.util.List;
import meniscus.core.quantity.Text;
import meniscus.core.refusal.Refusal;

/**
 * Moist air at rest, with its properties worked out once, when it is made.
 *
 * <p>Equations, sources and ranges: {@link MoistAirEquations}. Outside the range in which the
 * density equation was published the properties are still computed and {@link #warnings()} says so;
 * nothing is clamped.
 */
public final class AirState {

  /** Dry, at 20 °C and one standard atmosphere: what a plan without air of its own refers to. */
  public static final AirState DRY_20C = dry(MoistAirEquations.ICE_POINT_K + 20, 101_325);

  // Range that CIPM-2007 states for the density: 15 to 27 °C, 600 to 1100 hPa.
  private static final double LOWEST_STATED_K = 288.15;
  private static final double HIGHEST_STATED_K = 300.15;
  private static final double LOWEST_STATED_PA = 60_000;
  private static final double HIGHEST_STATED_PA = 110_000;

  /** Colder or hotter than this is no bench: most likely a number in the wrong unit. */
  private static final double COLDEST_K = 200;

  private static final double HOTTEST_K = 400; // 127 °C

  /**
   * Our own limits. At 1 MPa and 20 °C the fits still give a sensible 1.418 for κ and 343.5 m/s;
   * they are polynomials in pressure, and fall apart soon after.
   */
  private static final double THINNEST_PA = 10_000;

  private static final double DENSEST_PA = 1_000_000; // ten atmospheres

  private final double temperatureK;
  private final double pressurePa;
  private final double relativeHumidity;
  private final double vapourFraction;
  private final double density;
  private final double viscosity;
  private final double soundSpeed;
  private final double kappa;

  /**
   * @param temperatureK temperature of the air, 200 to 400 K
   * @param pressurePa absolute pressure, 10 kPa to 1 MPa
   * @param relativeHumidity 0 (dry) to 1 (saturated over water)
   * @throws Refusal when the air cannot exist so, saying which number is wrong
   */
  public AirState(double temperatureK, double pressurePa, double relativeHumidity) {
    this(
        temperatureK,
        pressurePa,
        relativeHumidity,
        vapourFraction(temperatureK, pressurePa, relativeHumidity));
  }

  private AirState(
      double temperatureK, double pressurePa, double relativeHumidity, double vapourFraction) {
    this.temperatureK = temperatureK;
    this.pressurePa = pressurePa;
    this.relativeHumidity = relativeHumidity;
    this.vapourFraction = vapourFraction;
    this.density = MoistAirEquations.density(temperatureK, pressurePa, vapourFraction);
    this.viscosity = MoistAirEquations.viscosity(temperatureK, vapourFraction);
    this.soundSpeed = MoistAirEquations.soundSpeed(temperatureK, pressurePa, vapourFraction);
    this.kappa = MoistAirEquations.kappa(temperatureK, pressurePa, vapourFraction);
  }

  /** Dry air. */
  public static AirState dry(double temperatureK, double pressurePa) {
    return new AirState(temperatureK, pressurePa, 0);
  }

  /**
   * The same air, with the same share of water vapour, at another place of the bench. Its relative
   * humidity changes with temperature and pressure; above 1 it is reported as a warning.
   *
   * @param temperatureK temperature there
   * @param pressurePa absolute pressure there
   */
  public AirState movedTo(double temperatureK, double pressurePa) {
    checkedTemperature(temperatureK);
    checkedPressure(pressurePa);
    double saturated =
        MoistAirEquations.saturationPressure(temperatureK)
            * MoistAirEquations.enhancement(temperatureK, pressurePa)
            / pressurePa;
    return new AirState(temperatureK, pressurePa, vapourFraction / saturated, vapourFraction);
  }

  public double temperatureK() {
    return temperatureK;
  }

  /** Absolute pressure, Pa. */
  public double pressurePa() {
    return pressurePa;
  }

  /** 0 dry, 1 saturated over water. */
  public double relativeHumidity() {
    return relativeHumidity;
  }

  /** Mole fraction of water vapour. */
  public double vapourFraction() {
    return vapourFraction;
  }

  /** kg/m³. */
  public double density() {
    return density;
  }

  /** Dynamic viscosity, Pa s. */
  public double viscosity() {
    return viscosity;
  }

  /** m/s. */
  public double soundSpeed() {
    return soundSpeed;
  }

  /** Ratio of specific heats. */
  public double kappa() {
    return kappa;
  }

  /** p/(ρT) in J/(kg K): the gas constant of this very air, its compressibility included. */
  public double gasConstant() {
    return pressurePa / (density * temperatureK);
  }

  /** What to doubt about the properties: one sentence a broken limit, none within the range. */
  public List<String> warnings() {
    List<String> warnings = new ArrayList<>();
    if (!temperatureStated()) {
      warnings.add(
          Text.of(
              "air temperature %.1f °C is outside 15 to 27 °C, for which the equations"
                  + " (CIPM-2007, IEC 61094-2) are stated: extrapolated",
              temperatureK - MoistAirEquations.ICE_POINT_K));
    }
    if (!pressureStated()) {
      warnings.add(
          Text.of(
              "air pressure %.1f hPa is outside 600 to 1100 hPa, for which the equations"
                  + " (CIPM-2007, IEC 61094-2) are stated: extrapolated",
              pressurePa / 100));
    }
    if (relativeHumidity > 1) {
      warnings.add(
          Text.of(
              "relative humidity %.1f %% is above saturation: water may condense here",
              relativeHumidity * 100));
    }
    return List.copyOf(warnings);
  }

  @Override
  public boolean equals(Object other) {
    return other instanceof AirState that
        && Double.compare(temperatureK, that.temperatureK) == 0
        && Double.compare(pressurePa, that.pressurePa) == 0
        && Double.compare(vapourFraction, that.vapourFraction) == 0;
  }

  @Override
  public int hashCode() {
    return Double.hashCode(temperatureK) * 31 * 31
        + Double.hashCode(pressurePa) * 31
        + Double.hashCode(vapourFraction);
  }

  /** For example {@code 101325 Pa, 20.00 °C, 50.0 % humidity}. */
  @Override
  public String toString() {
    return Text.of(
        "%.0f Pa, %.2f °C, %s",
        pressurePa,
        temperatureK - MoistAirEquations.ICE_POINT_K,
        relativeHumidity == 0 ? "dry" : Text.of("%.1f %% humidity", relativeHumidity * 100));
  }

  private boolean temperatureStated() {
    return temperatureK >= LOWEST_STATED_K && temperatureK <= HIGHEST_STATED_K;
  }

  private boolean pressureStated() {
    return pressurePa >= LOWEST_STATED_PA && pressurePa <= HIGHEST_STATED_PA;
  }

  private static double vapourFraction(
      double temperatureK, double pressurePa, double relativeHumidity) {
    checkedTemperature(temperatureK);
    checkedPressure(pressurePa);
    if (!(relativeHumidity >= 0 && relativeHumidity <= 1)) {
      throw new Refusal(
          Text.of(
              "relative humidity %s is not within 0 to 1 (0 to 100 %%): was a percentage given as a"
                  + " plain number?",
              relativeHumidity));
    }
    double fraction =
        relativeHumidity
            * MoistAirEquations.enhancement(temperatureK, pressurePa)
            * MoistAirEquations.saturationPressure(temperatureK)
            / pressurePa;
    if (fraction >= 1) {
      throw new Refusal(
          Text.of(
              "at %.1f °C air of %.0f Pa cannot hold %.0f %% humidity: the vapour alone would have"
                  + " more than that pressure; is the pressure absolute and in the right unit?",
              temperatureK - MoistAirEquations.ICE_POINT_K, pressurePa, relativeHumidity * 100));
    }
    refuseNonsense(pressurePa);
    return fraction;
  }

  private static double checkedTemperature(double temperatureK) {
    if (!(temperatureK >= COLDEST_K && temperatureK <= HOTTEST_K)) {
      throw new Refusal(
          Text.of(
              "air temperature %s K is not within 200 to 400 K: was it meant in °C or °F?",
              temperatureK));
    }
    return temperatureK;
  }

  /** Beyond these the fitted equations give nonsense, to negative speeds of sound. */
  private static void refuseNonsense(double pressurePa) {
    if (pressurePa < THINNEST_PA || pressurePa > DENSEST_PA) {
      throw new Refusal(
          Text.of(
              "air pressure %.0f Pa is not within 10 kPa to 1 MPa, where the equations for air mean"
                  + " anything: is it absolute, and in the right unit?",
              pressurePa));
    }
  }

  private static double checkedPressure(double pressurePa) {
    if (!(pressurePa > 0) || Double.isInfinite(pressurePa)) {
      throw new Refusal(Text.of("air pressure %s Pa must be absolute and above zero", pressurePa));
    }
    return pressurePa;
  }
}
