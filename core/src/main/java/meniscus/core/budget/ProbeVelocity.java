package meniscus.core.budget;

import java.util.OptionalDouble;
import meniscus.core.air.AirState;
import meniscus.core.bench.Bench;
import meniscus.core.bench.PointMeans;
import meniscus.core.bench.Source;
import meniscus.core.bench.Use;
import meniscus.core.flow.Direction;
import meniscus.core.lift.Beside;
import meniscus.core.quantity.Unit;
import meniscus.core.uncertainty.Coverage;

/**
 * The local velocity at a probe, from the difference between its total and its static pressure: the
 * isentropic pitot relation p0/p = (1 + (κ−1)/2·M²)^(κ/(κ−1)) for M below 1 (NACA Report 1135,
 * equation 44), the air coming from rest in the room. How the probe is turned to the air is not in
 * the interval: nobody but who holds it knows.
 */
final class ProbeVelocity {

  private ProbeVelocity() {}

  /**
   * @param headPa mean of the probe's pressure [Pa]
   * @param staticPa static pressure where it stands [Pa]
   * @return [m/s]; 0 where the head is none
   */
  static double metresPerSecond(AirState room, double headPa, double staticPa) {
    if (!(headPa > 0)) {
      return 0;
    }
    double kappa = room.kappa();
    double ratio = Math.pow(1 + headPa / staticPa, (kappa - 1) / kappa);
    double machSquared = 2 / (kappa - 1) * (ratio - 1);
    return room.soundSpeed() * Math.sqrt(machSquared / ratio);
  }

  /**
   * The velocity of a mean pressure. Inside a port the static pressure lies anywhere between the
   * room's and that on the other side (rectangular); the middle is taken.
   */
  static Beside of(Bench bench, Direction direction, PointMeans means, Beside pressure) {
    double half = means.testPressurePa() / 2 * (direction == Direction.SUCTION ? -1 : 1);
    double staticPa = means.room().pressurePa() + half;
    double head = pressure.value();
    double velocity = metresPerSecond(means.room(), head, staticPa);
    if (velocity == 0 || pressure.u95().isEmpty()) {
      return new Beside(pressure.name(), Unit.METRE_PER_SECOND, velocity, OptionalDouble.empty());
    }
    double gauge =
        bench
            .source(Use.PROBE)
            .map(source -> source.fold(g -> uncertaintyPa(bench, g, head), typed -> 0.0))
            .orElse(0.0);
    double ofHead = Math.hypot(pressure.standardUncertainty(), gauge) / (2 * head);
    double ofStatic = Math.abs(half) / Math.sqrt(3) / (2 * staticPa);
    return new Beside(
        pressure.name(),
        Unit.METRE_PER_SECOND,
        velocity,
        OptionalDouble.of(Coverage.NORMAL_95 * velocity * Math.hypot(ofHead, ofStatic)));
  }

  private static double uncertaintyPa(Bench bench, Source.Measured gauge, double headPa) {
    return Math.hypot(
        Math.hypot(
            gauge.accuracy().halfWidthSi(headPa) / Math.sqrt(3),
            gauge.accuracy().quantumSi() / Math.sqrt(12)),
        bench.zero(gauge).standardUncertaintySi());
  }
}
