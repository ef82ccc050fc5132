package meniscus.core.calibrate;

import java.util.Optional;
import meniscus.core.air.AirState;
import meniscus.core.bench.Bench;
import meniscus.core.bench.FlowElement;
import meniscus.core.bench.Leakage;
import meniscus.core.bench.Plenum;
import meniscus.core.bench.PointMeans;
import meniscus.core.bench.PortFlow;
import meniscus.core.bench.PortFlow.Surroundings;
import meniscus.core.bench.Range;
import meniscus.core.budget.InputErrors;
import meniscus.core.budget.Inputs;
import meniscus.core.flow.Direction;
import meniscus.core.flow.EffectiveArea;
import meniscus.core.uncertainty.Budget;
import meniscus.core.uncertainty.Contribution.Kind;

/**
 * What leaked at one test pressure.
 *
 * @param testPressurePa [Pa], above zero
 * @param flowM3PerS volume flow of plenum air [m³/s]; may come out below zero when there is next to
 *     none
 * @param standardUncertaintyM3PerS of it, zero of the gauge included [m³/s]
 * @param commonM3PerS the part of that which all readings of one test have in common: gauges, flow
 *     element, plenum; it does not shrink with their number [m³/s]
 */
public record LeakReading(
    double testPressurePa,
    double flowM3PerS,
    double standardUncertaintyM3PerS,
    double commonM3PerS) {

  public LeakReading {
    if (!(testPressurePa > 0) || !(standardUncertaintyM3PerS > 0)) {
      throw new IllegalArgumentException(
          "a leak reading needs a test pressure and an uncertainty above zero");
    }
    if (!(commonM3PerS >= 0 && commonM3PerS <= standardUncertaintyM3PerS)) {
      throw new IllegalArgumentException("what is common is a part of the whole uncertainty");
    }
  }

  /** Variance of this reading alone [m⁶/s²]. */
  double ownVariance() {
    return standardUncertaintyM3PerS * standardUncertaintyM3PerS - commonM3PerS * commonM3PerS;
  }

  /**
   * From a reading with everything plugged: what passes the flow element is the leak.
   *
   * @param range the smallest of the bench
   * @param means worked out with the range's uncorrected element and no leak subtracted
   */
  public static LeakReading of(Bench bench, Range range, Direction direction, PointMeans means) {
    FlowElement element = range.element();
    Inputs in = Inputs.of(means);
    PortFlow port =
        new PortFlow(element, bench.layout(), direction, Optional.empty(), bench.plenum());
    Surroundings air = in.surroundings();
    AirState upstream = port.portUpstream(in.testPressurePa(), air);
    double massFlow =
        EffectiveArea.toMassFlow(means.effectiveAreaM2(), upstream, in.testPressurePa());
    AirState plenum = plenum(in, direction, air);
    double flow = massFlow / plenum.density();
    Budget gauges =
        new Budget(
            InputErrors.ofALeak(
                bench,
                range,
                direction,
                (inputs, leak, volume) -> told(bench, element, direction, inputs, leak, volume),
                in,
                flow));
    double repeat =
        means.flowStandardError() == 0
            ? 0
            : Math.abs(means.flowStandardError() / means.flowM3PerS() * flow);
    double ofElement =
        element.relativeStandardUncertainty(
                Math.max(Math.abs(in.dropPa()), 1),
                port.elementUpstream(in.dropPa(), in.testPressurePa(), air))
            * flow;
    double common =
        Math.hypot(gauges.only(c -> c.kind() != Kind.REPEAT).standardUncertainty(), ofElement);
    double own =
        Math.hypot(gauges.only(c -> c.kind() == Kind.REPEAT).standardUncertainty(), repeat);
    return new LeakReading(in.testPressurePa(), flow, Math.hypot(own, common), common);
  }

  private static double told(
      Bench bench,
      FlowElement element,
      Direction direction,
      Inputs in,
      Optional<Leakage> leak,
      Optional<Plenum> volume) {
    PortFlow port = new PortFlow(element, bench.layout(), direction, leak, volume);
    Surroundings air = in.surroundings();
    double massFlow = port.massFlow(in.dropPa(), in.testPressurePa(), in.testPressureRate(), air);
    return massFlow / plenum(in, direction, air).density();
  }

  private static AirState plenum(Inputs in, Direction direction, Surroundings air) {
    double sign = direction == Direction.SUCTION ? -1 : 1;
    return air.room().movedTo(in.plenumK(), in.roomPa() + sign * in.testPressurePa());
  }
}
