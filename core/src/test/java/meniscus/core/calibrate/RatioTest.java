package meniscus.core.calibrate;

import static org.junit.jupiter.api.Assertions.assertEquals;

import java.util.Optional;
import java.util.OptionalDouble;
import meniscus.core.air.AirState;
import meniscus.core.bench.Bench;
import meniscus.core.bench.PointMeans;
import meniscus.core.bench.PortFlow;
import meniscus.core.bench.StatedCoefficient;
import meniscus.core.budget.SmallBench;
import meniscus.core.flow.Direction;
import org.junit.jupiter.api.Test;

class RatioTest {

  /**
   * A column was typed 20 s before the gauge's mean, the test pressure drifts by 2 Pa/s: 40 Pa of
   * 6974 Pa. A plate's flow goes with the root of the test pressure, so the ratio is off by half of
   * that share; the thinner air behind it takes a hundredth away.
   */
  @Test
  void aDropReadAtAnotherMomentThanThePressureCountsInACalibration() {
    double late = 20;
    double drift = 2;
    CorrectionRatio ratio = ratio(drift, late);
    double share =
        ratio.budget().only(c -> c.source().contains("different moments")).standardUncertainty()
            / ratio.value();
    assertEquals(0.5 * late * drift / SmallBench.TEST_PRESSURE, share, 0.05 * share);
    assertEquals(
        0,
        ratio(drift, 0)
            .budget()
            .only(c -> c.source().contains("different moments"))
            .standardUncertainty());
  }

  private static CorrectionRatio ratio(double drift, double lateSeconds) {
    Bench bench = SmallBench.bench();
    PortFlow port =
        new PortFlow(
            SmallBench.ELEMENT,
            bench.layout(),
            Direction.SUCTION,
            Optional.empty(),
            bench.plenum());
    AirState room = new AirState(294, 99_000, 0.5);
    PortFlow.Surroundings air =
        port.surroundings(room, OptionalDouble.of(294), OptionalDouble.of(294));
    double pressure = SmallBench.TEST_PRESSURE;
    double area = port.effectiveArea(port.massFlow(1200, pressure, drift, air), pressure, air);
    PointMeans means =
        new PointMeans(
            15,
            new PointMeans.Pressures(
                1200, pressure, drift, OptionalDouble.empty(), OptionalDouble.empty(), lateSeconds),
            new PointMeans.Air(room, 294, 294, false),
            new PointMeans.Flow(area, 100 * area, 0.1 * area, 40),
            OptionalDouble.empty(),
            OptionalDouble.empty());
    Plate plate =
        Plate.certified("A", 0.044, 1e-5, new StatedCoefficient(0.611, 0.0025), "laboratory");
    return CorrectionRatio.of(
        bench, bench.ranges().get(0), Direction.SUCTION, Optional.empty(), plate, means);
  }
}
