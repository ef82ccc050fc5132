package meniscus.core.budget;

import java.util.Optional;
import java.util.OptionalDouble;
import meniscus.core.air.AirState;
import meniscus.core.bench.Bench;
import meniscus.core.bench.FlowElement;
import meniscus.core.bench.Leakage;
import meniscus.core.bench.PointMeans;
import meniscus.core.bench.PortFlow;
import meniscus.core.flow.Direction;
import meniscus.core.flow.ReferenceState;
import meniscus.core.lift.Plan;

/** Makes the means of a point from what the gauges show. */
final class Simulated {

  private Simulated() {}

  static ReferenceState reference(Plan plan) {
    Plan.Reference asked = plan.reference();
    return new ReferenceState(
        new AirState(asked.temperatureK(), asked.pressurePa(), asked.relativeHumidity()),
        asked.testPressurePa());
  }

  static PointMeans means(
      Bench bench,
      FlowElement element,
      Optional<Leakage> leakage,
      Plan plan,
      double dropPa,
      double testPressurePa,
      AirState room) {
    PortFlow port =
        new PortFlow(element, bench.layout(), plan.direction(), leakage, bench.plenum());
    PortFlow.Surroundings air =
        port.surroundings(room, OptionalDouble.empty(), OptionalDouble.empty());
    double rate = 2;
    double area =
        port.effectiveArea(port.massFlow(dropPa, testPressurePa, rate, air), testPressurePa, air);
    double flow = reference(plan).volumeFlow(area);
    return new PointMeans(
        10,
        PointMeans.Pressures.steady(dropPa, testPressurePa, rate),
        new PointMeans.Air(
            room,
            air.plenumTemperatureK(),
            air.elementTemperatureK(),
            plan.direction() == Direction.BLOWING),
        new PointMeans.Flow(area, flow, flow * 0.0008, 30),
        OptionalDouble.of(0.0127),
        OptionalDouble.of(flow / 0.0127 * 0.3));
  }
}
