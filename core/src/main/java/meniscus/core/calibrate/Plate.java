package meniscus.core.calibrate;

import java.util.Objects;
import java.util.Optional;
import meniscus.core.air.AirState;
import meniscus.core.bench.OrificeElement;
import meniscus.core.bench.StatedCoefficient;
import meniscus.core.flow.Expansibility;
import meniscus.core.refusal.Refusal;

/**
 * An orifice plate that stands in the head's place and passes a known flow.
 *
 * @param name as written on it
 * @param orifice what it passes
 * @param ownUncertainty relative standard uncertainty of this plate alone [1]
 * @param commonUncertainty relative standard uncertainty that it shares with all plates of the same
 *     origin, and that therefore does not shrink with their number [1]
 * @param origin laboratory, maker or equation that its flow goes back to
 * @param papers what tells it from all other plates
 */
public record Plate(
    String name,
    OrificeElement orifice,
    double ownUncertainty,
    double commonUncertainty,
    String origin,
    Papers papers) {

  /**
   * What tells a plate from all others, wherever it is read.
   *
   * @param serial number on it
   * @param certificate number of the certificate that its flow goes back to; plates of one
   *     certificate share the common part of its uncertainty, on whichever bench they stand
   */
  public record Papers(Optional<String> serial, Optional<String> certificate) {
    public static final Papers NONE = new Papers(Optional.empty(), Optional.empty());

    public Papers {
      Objects.requireNonNull(serial);
      Objects.requireNonNull(certificate);
    }
  }

  /**
   * Share of a certificate's variance that all plates of one laboratory have in common: its
   * reference is the same for all. Our own estimate; certificates rarely say.
   */
  private static final double COMMON_SHARE = 0.5;

  /** Coefficient that an equivalent bore is reckoned with where only a flow is stated. */
  private static final double NOMINAL_COEFFICIENT = 0.6;

  /**
   * Where a flow is stated without its air, the air is one of those in common use: their densities
   * lie within ±2.9 %, flow at a given pressure within half of that.
   */
  private static final double UNSTATED_AIR_HALF_WIDTH = 0.0145;

  public Plate {
    Objects.requireNonNull(orifice);
    Objects.requireNonNull(origin);
    Objects.requireNonNull(papers);
    if (name.isBlank()) {
      throw new Refusal("a plate needs a name, as written on it");
    }
    if (!(ownUncertainty >= 0) || !(commonUncertainty >= 0)) {
      throw new Refusal("plate " + name + ": its uncertainty cannot be negative");
    }
  }

  /**
   * A plate with a certificate for its discharge coefficient between two large rooms.
   *
   * @param boreHalfWidthM the bore lies within ± this [m]
   * @param coefficient with its standard uncertainty
   */
  public static Plate certified(
      String name,
      double boreM,
      double boreHalfWidthM,
      StatedCoefficient coefficient,
      String laboratory) {
    double u = coefficient.relativeStandardUncertainty();
    return new Plate(
        name,
        orifice(boreM, boreHalfWidthM, Optional.of(coefficient)),
        Math.hypot(u * Math.sqrt(1 - COMMON_SHARE), ofBore(boreM, boreHalfWidthM)),
        u * Math.sqrt(COMMON_SHARE),
        laboratory,
        Papers.NONE);
  }

  /**
   * A plate whose bore alone is known. Its coefficient is the standard's equation carried on to a
   * plate between two large rooms: an extrapolation, and its error is common to all such plates.
   */
  public static Plate byEquation(String name, double boreM, double boreHalfWidthM) {
    OrificeElement orifice = orifice(boreM, boreHalfWidthM, Optional.empty());
    double largeReynolds = 1e5;
    return new Plate(
        name,
        orifice,
        ofBore(boreM, boreHalfWidthM),
        orifice.plate().coefficientU95(largeReynolds) / 2,
        "equation for a plate between two rooms",
        Papers.NONE);
  }

  /**
   * A plate whose maker states a flow at a test pressure.
   *
   * @param flowM3PerS volume flow of the air before the plate [m³/s]
   * @param atPa at this test pressure [Pa]
   * @param air that the statement is for; without it the air is taken to be one of those in common
   *     use, and the uncertainty is wider
   * @param relativeStandardUncertainty of the stated flow [1]
   */
  public static Plate stated(
      String name,
      double flowM3PerS,
      double atPa,
      Optional<AirState> air,
      double relativeStandardUncertainty,
      String maker) {
    if (!(flowM3PerS > 0) || !(atPa > 0)) {
      throw new Refusal("plate " + name + ": its stated flow and test pressure must be above zero");
    }
    AirState assumed = air.orElse(AirState.DRY_20C);
    double expansion =
        Expansibility.ISO_2003.factor(0, assumed.pressurePa(), atPa, assumed.kappa());
    double areaM2 = flowM3PerS * Math.sqrt(assumed.density() / (2 * atPa)) / expansion;
    double equivalentBoreM = Math.sqrt(4 * areaM2 / (Math.PI * NOMINAL_COEFFICIENT));
    double ofAir = air.isPresent() ? 0 : UNSTATED_AIR_HALF_WIDTH / Math.sqrt(3);
    double u = relativeStandardUncertainty;
    return new Plate(
        name,
        orifice(equivalentBoreM, 0, Optional.of(new StatedCoefficient(NOMINAL_COEFFICIENT, u))),
        u * Math.sqrt(1 - COMMON_SHARE),
        Math.hypot(u * Math.sqrt(COMMON_SHARE), ofAir),
        maker,
        Papers.NONE);
  }

  /** The same plate with its papers. */
  public Plate with(Papers found) {
    return new Plate(name, orifice, ownUncertainty, commonUncertainty, origin, found);
  }

  /** Mass flow [kg/s] at a test pressure [Pa]. */
  public double massFlow(double testPressurePa, AirState upstream) {
    return orifice.massFlow(testPressurePa, upstream);
  }

  /** Relative standard uncertainty of its flow by its expansibility factor [1]. */
  double expansionUncertainty(double testPressurePa, AirState upstream) {
    return orifice.form().u95(upstream.pressurePa(), testPressurePa, upstream.kappa()) / 2;
  }

  private static OrificeElement orifice(
      double boreM, double halfWidthM, Optional<StatedCoefficient> coefficient) {
    return new OrificeElement(
        boreM, halfWidthM, Optional.empty(), Expansibility.ISO_2003, coefficient);
  }

  private static double ofBore(double boreM, double halfWidthM) {
    return 2 * halfWidthM / (Math.sqrt(3) * boreM);
  }
}
