package meniscus.core.bench;

import java.util.Objects;
import java.util.OptionalDouble;
import meniscus.core.air.AirState;

/**
 * What was averaged over the window of one lift point: all that its uncertainty budget needs.
 *
 * @param seconds length of the window [s]
 * @param pressures drop and test pressure
 * @param air in the room and inside the bench
 * @param flow through the port
 * @param liftM mean of the lift channel [m], when there is one
 * @param slopeM2PerS change of flow with lift at this lift [m²/s], when neighbours are known
 */
public record PointMeans(
    double seconds,
    Pressures pressures,
    Air air,
    Flow flow,
    OptionalDouble liftM,
    OptionalDouble slopeM2PerS) {

  /**
   * Drop and test pressure.
   *
   * @param dropPa mean drop over the flow element, zero subtracted [Pa]
   * @param testPa mean test pressure, zero subtracted [Pa]
   * @param testRate its drift over the window [Pa/s]
   * @param dropHalfSwingPa how far a person saw the drop's column swing to either side [Pa]; empty
   *     for a gauge that is read often
   * @param testHalfSwingPa the same of the test pressure [Pa]
   * @param alignmentSeconds standard uncertainty of the moments of drop and test pressure against
   *     each other [s]; 0 when one instrument gives both at once
   */
  public record Pressures(
      double dropPa,
      double testPa,
      double testRate,
      OptionalDouble dropHalfSwingPa,
      OptionalDouble testHalfSwingPa,
      double alignmentSeconds) {

    public Pressures {
      Objects.requireNonNull(dropHalfSwingPa);
      Objects.requireNonNull(testHalfSwingPa);
    }

    /** Of gauges that are read often and together. */
    public static Pressures steady(double dropPa, double testPa, double testRate) {
      return new Pressures(
          dropPa, testPa, testRate, OptionalDouble.empty(), OptionalDouble.empty(), 0);
    }
  }

  /**
   * The air.
   *
   * @param room mean room air
   * @param plenumK temperature in the plenum [K]
   * @param elementK temperature before the element [K]
   * @param assumed true when blowing without a thermometer in the plenum
   */
  public record Air(AirState room, double plenumK, double elementK, boolean assumed) {
    public Air {
      Objects.requireNonNull(room);
    }
  }

  /**
   * What passed the port.
   *
   * @param effectiveAreaM2 mean CdA of the port [m²]
   * @param m3PerS the flow reported for it [m³/s]
   * @param standardError of that mean from fluctuation alone [m³/s]; infinite when not known
   * @param degreesOfFreedom behind the standard error
   */
  public record Flow(
      double effectiveAreaM2, double m3PerS, double standardError, double degreesOfFreedom) {}

  public PointMeans {
    Objects.requireNonNull(pressures);
    Objects.requireNonNull(air);
    Objects.requireNonNull(flow);
    Objects.requireNonNull(liftM);
    Objects.requireNonNull(slopeM2PerS);
  }

  /** True when a person read drop or test pressure. */
  public boolean readByEye() {
    return pressures.dropHalfSwingPa().isPresent() || pressures.testHalfSwingPa().isPresent();
  }

  /** The same with another drop. */
  public PointMeans withDrop(double pascal) {
    Pressures other =
        new Pressures(
            pascal,
            pressures.testPa(),
            pressures.testRate(),
            pressures.dropHalfSwingPa(),
            pressures.testHalfSwingPa(),
            pressures.alignmentSeconds());
    return new PointMeans(seconds, other, air, flow, liftM, slopeM2PerS);
  }

  /** The same with another lift [m]. */
  public PointMeans withLift(double metres) {
    return new PointMeans(seconds, pressures, air, flow, OptionalDouble.of(metres), slopeM2PerS);
  }

  /** The same of a thing that has no lift. */
  public PointMeans withoutLift() {
    return new PointMeans(
        seconds, pressures, air, flow, OptionalDouble.empty(), OptionalDouble.empty());
  }

  public PointMeans withSlope(double slope) {
    return new PointMeans(seconds, pressures, air, flow, liftM, OptionalDouble.of(slope));
  }

  // ------------------------------------------------------------------ what is asked for most

  public double dropPa() {
    return pressures.dropPa();
  }

  public double testPressurePa() {
    return pressures.testPa();
  }

  public double testPressureRate() {
    return pressures.testRate();
  }

  public AirState room() {
    return air.room();
  }

  public double effectiveAreaM2() {
    return flow.effectiveAreaM2();
  }

  public double flowM3PerS() {
    return flow.m3PerS();
  }

  public double flowStandardError() {
    return flow.standardError();
  }
}
