package meniscus.core.bench;

import java.util.List;
import java.util.Objects;
import java.util.Optional;
import meniscus.core.air.AirState;
import meniscus.core.flow.Expansibility;
import meniscus.core.flow.OrificePlate;
import meniscus.core.flow.Tapping;
import meniscus.core.refusal.Refusal;

/**
 * A sharp-edged orifice plate, in a pipe or between two rooms of the bench. Its coefficient is that
 * of {@link OrificePlate} unless one is stated.
 */
public final class OrificeElement implements FlowElement {

  /**
   * The pipe that holds the plate.
   *
   * @param diameterM inside diameter [m]
   * @param tapping where the pressures are taken
   */
  public record Pipe(double diameterM, Tapping tapping) {
    public Pipe {
      Objects.requireNonNull(tapping);
    }
  }

  private final double boreM;
  private final double boreHalfWidthM;
  private final Optional<Pipe> pipe;
  private final Expansibility form;
  private final Optional<StatedCoefficient> stated;
  private final OrificePlate plate;

  /**
   * @param boreM diameter of the bore [m]
   * @param boreHalfWidthM the bore lies within ± this [m]
   * @param pipe empty when the plate stands between two rooms many times wider than its bore
   * @param form of the expansibility factor
   * @param stated coefficient; empty to take the standard's
   * @throws Refusal when a dimension cannot be
   */
  public OrificeElement(
      double boreM,
      double boreHalfWidthM,
      Optional<Pipe> pipe,
      Expansibility form,
      Optional<StatedCoefficient> stated) {
    if (!(boreHalfWidthM >= 0)) {
      throw new Refusal("the limits of a bore cannot be negative");
    }
    this.boreM = boreM;
    this.boreHalfWidthM = boreHalfWidthM;
    this.pipe = Objects.requireNonNull(pipe);
    this.form = Objects.requireNonNull(form);
    this.stated = Objects.requireNonNull(stated);
    this.plate =
        pipe.map(in -> OrificePlate.inPipe(boreM, in.diameterM(), in.tapping()))
            .orElseGet(() -> OrificePlate.betweenRooms(boreM));
  }

  /** Diameter of the bore [m]. */
  public double boreM() {
    return boreM;
  }

  /** The bore lies within ± this [m]. */
  public double boreHalfWidthM() {
    return boreHalfWidthM;
  }

  public Optional<Pipe> pipe() {
    return pipe;
  }

  public Expansibility form() {
    return form;
  }

  /** The stated coefficient; empty when the standard's is taken. */
  public Optional<StatedCoefficient> stated() {
    return stated;
  }

  /** The plate's equations, for everything that is not asked at every reading. */
  public OrificePlate plate() {
    return plate;
  }

  @Override
  public double massFlow(double dropPa, AirState upstream) {
    if (stated.isEmpty()) {
      return plate.massFlow(upstream, dropPa, form);
    }
    double size = Math.abs(dropPa);
    if (!(size < upstream.pressurePa())) {
      return Double.NaN;
    }
    return stated.get().value()
        * form.factor(plate.ratio(), upstream.pressurePa(), size, upstream.kappa())
        * plate.idealMassFlow(upstream.density(), dropPa);
  }

  @Override
  public List<String> brokenLimits() {
    return stated.isPresent() ? List.of() : plate.brokenByShape();
  }

  /** Coefficient, expansibility factor and bore (rectangular limits), independent of each other. */
  @Override
  public double relativeStandardUncertainty(double dropPa, AirState upstream) {
    double size = Math.abs(dropPa);
    double ofExpansion = form.u95(upstream.pressurePa(), size, upstream.kappa()) / 2;
    double ofBore = plate.boreSensitivity() * boreHalfWidthM / (Math.sqrt(3) * boreM);
    double ofCoefficient =
        stated
            .map(StatedCoefficient::relativeStandardUncertainty)
            .orElseGet(() -> standardCoefficientUncertainty(size, upstream));
    return Math.sqrt(ofCoefficient * ofCoefficient + ofExpansion * ofExpansion + ofBore * ofBore);
  }

  private double standardCoefficientUncertainty(double dropPa, AirState upstream) {
    double reynolds = plate.boreReynolds(massFlow(dropPa, upstream), upstream.viscosity());
    return plate.coefficientU95(reynolds) / 2;
  }

  @Override
  public boolean equals(Object other) {
    return other instanceof OrificeElement that
        && Double.compare(boreM, that.boreM) == 0
        && Double.compare(boreHalfWidthM, that.boreHalfWidthM) == 0
        && pipe.equals(that.pipe)
        && form == that.form
        && stated.equals(that.stated);
  }

  @Override
  public int hashCode() {
    return Objects.hash(boreM, boreHalfWidthM, pipe, form, stated);
  }

  @Override
  public String toString() {
    return "orifice of "
        + boreM * 1e3
        + " mm "
        + pipe.map(in -> "in a pipe of " + in.diameterM() * 1e3 + " mm").orElse("between rooms");
  }
}
