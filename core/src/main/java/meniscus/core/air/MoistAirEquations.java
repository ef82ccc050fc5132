package meniscus.core.air;

/**
 * The published equations behind {@link AirState}, for air with a carbon dioxide fraction of
 * 0.0004.
 *
 * <p>Density: CIPM-2007, Picard, Davis, Gläser, Fujii, Metrologia 45 (2008) 149, stated for 15 to
 * 27 °C and 600 to 1100 hPa with a relative standard uncertainty of 22e-6. Speed of sound, ratio of
 * specific heats and viscosity: IEC 61094-2:2009 annex F. Throughout {@code t} is in °C, {@code T}
 * in K, {@code p} in Pa, {@code xv} the mole fraction of water vapour.
 */
final class MoistAirEquations {

  static final double ICE_POINT_K = 273.15; // 0 °C, by the definition of degree Celsius

  /** Ma/R, kg K/J, rounded as in equation (5b) of the paper and in IEC 61094-2. */
  static final double DRY_MASS_OVER_R = 3.483740e-3;

  /** 1 − Mv/Ma, by how much vapour is lighter than dry air, rounded as there. */
  static final double VAPOUR_LIGHTNESS = 0.3780;

  private static final double CO2 = 0.0004; // mole fraction that CIPM-2007 takes for granted

  private MoistAirEquations() {}

  /** Saturation vapour pressure over water, Pa (CIPM-2007 eq. A1.1). */
  static double saturationPressure(double temperatureK) {
    double T = temperatureK;
    return Math.exp((1.2378847e-5 * T - 1.9121316e-2) * T + 33.93711047 - 6.3431645e3 / T);
  }

  /** How far moist air at saturation holds more vapour than the vapour alone would (eq. A1.2). */
  static double enhancement(double temperatureK, double pressurePa) {
    double t = temperatureK - ICE_POINT_K;
    return 1.00062 + 3.14e-8 * pressurePa + 5.6e-7 * t * t;
  }

  /** Compressibility factor Z (CIPM-2007 eq. A1.4). */
  static double compressibility(double temperatureK, double pressurePa, double xv) {
    double t = temperatureK - ICE_POINT_K;
    double pT = pressurePa / temperatureK;
    double first =
        1.58123e-6
            + (-2.9331e-8 + 1.1043e-10 * t) * t
            + (5.707e-6 - 2.051e-8 * t) * xv
            + (1.9898e-4 - 2.376e-6 * t) * xv * xv;
    double second = 1.83e-11 - 0.765e-8 * xv * xv;
    return 1 - pT * first + pT * pT * second;
  }

  /** Density, kg/m³ (CIPM-2007 eq. 5b). */
  static double density(double temperatureK, double pressurePa, double xv) {
    double z = compressibility(temperatureK, pressurePa, xv);
    return DRY_MASS_OVER_R * pressurePa / (z * temperatureK) * (1 - VAPOUR_LIGHTNESS * xv);
  }

  /** Speed of sound at zero frequency, m/s (IEC 61094-2:2009 annex F). */
  static double soundSpeed(double temperatureK, double pressurePa, double xv) {
    double t = temperatureK - ICE_POINT_K;
    double p = pressurePa;
    return 331.5024
        + (0.603055 - 0.000528 * t) * t
        + (51.471935 + (0.1495874 - 0.000782 * t) * t) * xv
        + (-1.82e-7 + (3.73e-8 - 2.93e-10 * t) * t) * p
        + (-85.20931 + (-0.228525 + 5.91e-5 * t) * t) * CO2
        - 2.835149 * xv * xv
        - 2.15e-13 * p * p
        + 29.179762 * CO2 * CO2
        + 0.000486 * xv * p * CO2;
  }

  /** Ratio of specific heats (IEC 61094-2:2009 annex F). */
  static double kappa(double temperatureK, double pressurePa, double xv) {
    double t = temperatureK - ICE_POINT_K;
    double p = pressurePa;
    return 1.400822
        + (-1.75e-5 - 1.73e-7 * t) * t
        + (-0.0873629 + (-1.665e-4 - 3.26e-6 * t) * t) * xv
        + (2.047e-8 + (-1.26e-10 + 5.939e-14 * t) * t) * p
        + (-0.1199717 + (-8.693e-4 + 1.979e-6 * t) * t) * CO2
        - 0.01104 * xv * xv
        - 3.478e-16 * p * p
        + 0.0450616 * CO2 * CO2
        + 1.82e-6 * xv * p * CO2;
  }

  /** Dynamic viscosity, Pa s (IEC 61094-2:2009 annex F). */
  static double viscosity(double temperatureK, double xv) {
    double T = temperatureK;
    return (84.986 + (7.0 - 3.7501e-3 * T) * T + (113.157 - T) * xv - 100.015 * xv * xv) * 1e-8;
  }
}
