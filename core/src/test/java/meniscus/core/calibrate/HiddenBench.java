package meniscus.core.calibrate;

import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.Random;
import meniscus.core.air.AirState;
import meniscus.core.bench.Accuracy;
import meniscus.core.bench.Bench;
import meniscus.core.bench.Leakage;
import meniscus.core.bench.PointMeans;
import meniscus.core.bench.PortFlow;
import meniscus.core.bench.StatedCoefficient;
import meniscus.core.budget.SmallBench;
import meniscus.core.calibrate.PlateReading.Bevel;
import meniscus.core.flow.Direction;

/**
 * A bench whose truth is known to the test alone: an element that is not what its file says, gauges
 * that err within their limits, zeros that are a little off, a leak that was measured with an
 * error, plates that err within their certificates, and one plate that is plainly wrong.
 */
final class HiddenBench {

  static final double[] BORES_M = {0.034, 0.040, 0.046, 0.052, 0.058};
  static final double[] TEST_PRESSURES = {10, 20, 28};
  private static final double REPEAT = 0.0006;
  private static final double CERTIFICATE = 0.0025;
  private static final double BORE_HALF_WIDTH_M = 0.01e-3;

  final Direction direction;
  final Bench bench = SmallBench.bench();
  final Leakage measuredLeak;
  final int wrongPlate;
  private final Random random;
  private final double trueLevel;
  private final double trueSlope;
  private final Leakage trueLeak;
  private final double[] plateFactor = new double[BORES_M.length];
  private final double[] dropGauge;
  private final double[] pressureGauge;
  private final AirState trueRoom;
  private final AirState shownRoom;

  /**
   * @param wrongBy relative error of the wrong plate; 0 for none
   */
  HiddenBench(long seed, double wrongBy) {
    this.random = new Random(seed);
    this.direction = random.nextBoolean() ? Direction.SUCTION : Direction.BLOWING;
    this.trueLevel = 1 + 0.02 * random.nextGaussian();
    this.trueSlope = 0.004 * random.nextGaussian();
    this.measuredLeak = SmallBench.leakage(direction);
    this.trueLeak = leak(1 + measuredLeak.standardUncertainty() * random.nextGaussian());
    double common = CERTIFICATE * Math.sqrt(0.5) * random.nextGaussian();
    for (int i = 0; i < plateFactor.length; i++) {
      double own = CERTIFICATE * Math.sqrt(0.5) * random.nextGaussian();
      double bore = 2 * rectangular(BORE_HALF_WIDTH_M) / BORES_M[i];
      plateFactor[i] = 1 + common + own + bore;
    }
    this.wrongPlate = random.nextInt(BORES_M.length);
    plateFactor[wrongPlate] += wrongBy;
    this.dropGauge = gaugeError(SmallBench.DROP.accuracy(), 0.5);
    this.pressureGauge = gaugeError(SmallBench.PRESSURE.accuracy(), 1.5);
    this.trueRoom =
        new AirState(
            293.15 + 5 * random.nextGaussian(),
            98000 + 1000 * random.nextGaussian(),
            0.3 + 0.4 * random.nextDouble());
    this.shownRoom =
        new AirState(
            trueRoom.temperatureK() + rectangular(0.5),
            trueRoom.pressurePa() + rectangular(100),
            trueRoom.relativeHumidity() + rectangular(0.03));
  }

  /** Gain, offset and zero of a gauge within its limits. */
  private double[] gaugeError(Accuracy accuracy, double zeroUncertainty) {
    return new double[] {
      rectangular(accuracy.ofReading()),
      rectangular(accuracy.absoluteSi()),
      zeroUncertainty * random.nextGaussian()
    };
  }

  private double rectangular(double halfWidth) {
    return halfWidth * (2 * random.nextDouble() - 1);
  }

  private Leakage leak(double factor) {
    return new Leakage(
        direction,
        measuredLeak.setUp(),
        measuredLeak.coefficient() * Math.max(0, factor),
        measuredLeak.exponent(),
        0,
        0,
        measuredLeak.at());
  }

  /** The correction that a perfect calibration would find [1]. */
  double truth(double dropPa) {
    return trueLevel + trueSlope * Math.log(dropPa / 1000);
  }

  List<Plate> plates() {
    List<Plate> plates = new ArrayList<>();
    for (int i = 0; i < BORES_M.length; i++) {
      plates.add(
          Plate.certified(
              name(i),
              BORES_M[i],
              BORE_HALF_WIDTH_M,
              new StatedCoefficient(0.602, CERTIFICATE),
              "laboratory"));
    }
    return plates;
  }

  static String name(int i) {
    return "P" + Math.round(BORES_M[i] * 1000);
  }

  List<PlateReading> readings() {
    List<PlateReading> readings = new ArrayList<>();
    List<Plate> plates = plates();
    for (int i = 0; i < BORES_M.length; i++) {
      for (double inches : TEST_PRESSURES) {
        readings.add(
            new PlateReading(
                name(i),
                Bevel.DOWNSTREAM,
                means(plates.get(i), plateFactor[i], inches * SmallBench.INCH_OF_WATER)));
      }
    }
    return readings;
  }

  private PointMeans means(Plate plate, double factor, double pressurePa) {
    PortFlow truth =
        new PortFlow(
            SmallBench.ELEMENT, bench.layout(), direction, Optional.of(trueLeak), Optional.empty());
    PortFlow.Surroundings air =
        truth.surroundings(
            trueRoom,
            direction == Direction.SUCTION
                ? OptionalDouble.of(trueRoom.temperatureK() + rectangular(1))
                : OptionalDouble.of(trueRoom.temperatureK() + 10 + rectangular(10)),
            OptionalDouble.empty());
    double wanted = factor * plate.massFlow(pressurePa, truth.portUpstream(pressurePa, air));
    double low = 1;
    double high = 20_000;
    for (int step = 0; step < 60; step++) {
      double middle = 0.5 * (low + high);
      double told =
          SmallBench.ELEMENT.massFlow(middle, truth.elementUpstream(middle, pressurePa, air));
      double leaking = told - truth.massFlow(middle, pressurePa, 0, air);
      if (told * truth(middle) - leaking < wanted) {
        low = middle;
      } else {
        high = middle;
      }
    }
    return shown(low, pressurePa);
  }

  private PointMeans shown(double dropPa, double pressurePa) {
    double drop = shown(dropGauge, dropPa) * (1 + 2 * REPEAT * random.nextGaussian());
    double pressure = shown(pressureGauge, pressurePa);
    PortFlow port =
        new PortFlow(
            SmallBench.ELEMENT, bench.layout(), direction, Optional.empty(), bench.plenum());
    PortFlow.Surroundings air =
        port.surroundings(shownRoom, OptionalDouble.empty(), OptionalDouble.empty());
    double area = port.effectiveArea(port.massFlow(drop, pressure, 0, air), pressure, air);
    return new PointMeans(
        15,
        PointMeans.Pressures.steady(drop, pressure, 0),
        new PointMeans.Air(
            shownRoom, air.plenumTemperatureK(), air.elementTemperatureK(), air.assumed()),
        new PointMeans.Flow(area, area * 100, area * 100 * REPEAT, 40),
        OptionalDouble.empty(),
        OptionalDouble.empty());
  }

  private static double shown(double[] gauge, double truth) {
    return truth * (1 + gauge[0]) + gauge[1] + gauge[2];
  }
}
