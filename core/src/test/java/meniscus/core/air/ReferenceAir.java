package meniscus.core.air;

import java.util.List;

/**
 * Air that volume flows are stated for. No single agreed reference exists, so a result always
 * carries its own; these are the ones in common use (common practice, no source), and a bench may
 * name any other.
 *
 * @param name how it is written beside a number, for example {@code 101325 Pa, 20 degC, dry}
 * @param state the air itself
 */
public record ReferenceAir(String name, AirState state) {

  private static final double ATMOSPHERE_PA = 101_325; // standard atmosphere, by definition

  /** 29.92 inches of mercury (conventional, 3386.389 Pa): 3.7 Pa below an atmosphere. */
  private static final double INCHES_29_92_PA = 29.92 * 13595.1 * 9.80665 * 0.0254;

  /** What a result is stated for when the plan names nothing else. */
  public static final ReferenceAir DRY_20C = dry("101325 Pa, 20 degC, dry", 20, ATMOSPHERE_PA);

  /** Sea level of the U.S. Standard Atmosphere 1976. */
  public static final ReferenceAir DRY_15C = dry("101325 Pa, 15 degC, dry", 15, ATMOSPHERE_PA);

  public static final ReferenceAir DRY_25C_100KPA = dry("100 kPa, 25 degC, dry", 25, 100_000);

  public static final ReferenceAir DRY_25C_99KPA = dry("99 kPa, 25 degC, dry", 25, 99_000);

  public static final ReferenceAir DRY_60F =
      dry("29.92 inHg, 60 degF, dry", (60 - 32) / 1.8, INCHES_29_92_PA);

  public static final ReferenceAir DRY_68F =
      dry("29.92 inHg, 68 degF, dry", (68 - 32) / 1.8, INCHES_29_92_PA);

  public static final ReferenceAir DRY_70F =
      dry("29.92 inHg, 70 degF, dry", (70 - 32) / 1.8, INCHES_29_92_PA);

  /** Every named one, the default first. */
  public static List<ReferenceAir> common() {
    return List.of(DRY_20C, DRY_15C, DRY_25C_100KPA, DRY_25C_99KPA, DRY_60F, DRY_68F, DRY_70F);
  }

  private static ReferenceAir dry(String name, double celsius, double pressurePa) {
    return new ReferenceAir(
        name, AirState.dry(MoistAirEquations.ICE_POINT_K + celsius, pressurePa));
  }
}
