package meniscus.core.calibrate;

/**
 * What leaked at one test pressure.
 *
 * @param testPressurePa [Pa], above zero
 * @param flowM3PerS volume flow of plenum air [m³/s]; may come out below zero when there is next to
 *     none
 * @param standardUncertaintyM3PerS of it, zero of the gauge included [m³/s]
 */
public record LeakReading(
    double testPressurePa, double flowM3PerS, double standardUncertaintyM3PerS) {
  public LeakReading {
    if (!(testPressurePa > 0) || !(standardUncertaintyM3PerS > 0)) {
      throw new IllegalArgumentException(
          "a leak reading needs a test pressure and an uncertainty above zero");
    }
  }
}
