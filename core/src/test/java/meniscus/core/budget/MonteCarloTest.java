package meniscus.core.budget;

import static org.junit.jupiter.api.Assertions.assertEquals;

import java.util.Arrays;
import java.util.HashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import java.util.Random;
import meniscus.core.air.AirState;
import meniscus.core.bench.Bench;
import meniscus.core.bench.Calibration;
import meniscus.core.bench.CoefficientError;
import meniscus.core.bench.ElementPlace;
import meniscus.core.bench.FittedElement;
import meniscus.core.bench.Leakage;
import meniscus.core.bench.LinearElement;
import meniscus.core.bench.Plenum;
import meniscus.core.bench.PointMeans;
import meniscus.core.bench.PortFlow;
import meniscus.core.bench.Source;
import meniscus.core.flow.Direction;
import meniscus.core.lift.Plan;
import meniscus.core.uncertainty.Budget;
import org.junit.jupiter.api.Tag;
import org.junit.jupiter.api.Test;

/**
 * The linear budget against propagation of distributions, JCGM 101:2008, on the whole way from
 * gauges to CdA and reported flow. The draws know nothing of sensitivities: each moves the inputs
 * and works the flow out again. Agreement as in clause 8: both ends of the 95 % interval within the
 * numerical tolerance, half a unit in the last of the digits that the standard uncertainty is
 * stated with.
 */
class MonteCarloTest {

  private static final long SEED = 101_2008;

  private final Random random = new Random(SEED);

  @Test
  void linearBudgetAgreesWithDrawsToOneDigit() {
    for (Direction direction : Direction.values()) {
      for (double drop : new double[] {400, 1200, 2300}) {
        compare(new Setting(direction, drop, false), 20_000, 1);
      }
    }
    compare(new Setting(Direction.SUCTION, 600, true), 20_000, 1);
  }

  /** {@code mvn -Pbench -pl core verify -Dtest=MonteCarloTest} */
  @Test
  @Tag("bench")
  void linearBudgetAgreesWithAMillionDrawsToTwoDigits() {
    compare(new Setting(Direction.SUCTION, 1200, false), 1_000_000, 2);
    compare(new Setting(Direction.BLOWING, 400, false), 1_000_000, 2);
    // One rectangular input (air inside the bench) dominates: normal 1.96 u is 1 % too wide.
    compare(new Setting(Direction.SUCTION, 600, true), 1_000_000, 1);
  }

  /** A linear element does not let the weather cancel. */
  private record Setting(Direction direction, double dropPa, boolean linear) {}

  private void compare(Setting setting, int draws, int digits) {
    Direction direction = setting.direction();
    Calibration calibration = calibration(setting);
    Bench bench = SmallBench.bench(ElementPlace.BLOWER_SIDE, calibration.element().base());
    Plan plan = SmallBench.plan(direction);
    Leakage leakage = SmallBench.leakage(direction);
    PointMeans means =
        Simulated.means(
            bench,
            calibration.element(),
            Optional.of(leakage),
            plan,
            setting.dropPa(),
            SmallBench.TEST_PRESSURE,
            SmallBench.room());
    Budget budget =
        new Budget(
            FlowBudget.of(bench, Optional.of(calibration), Optional.of(leakage), plan)
                .contributions(means));
    double u = budget.standardUncertainty();
    double tolerance = 0.5 * Math.pow(10, Math.floor(Math.log10(u)) - (digits - 1));

    double[] flows = new double[draws];
    for (int i = 0; i < draws; i++) {
      flows[i] = draw(bench, calibration, leakage, plan, means);
    }
    Arrays.sort(flows);
    double low = flows[(int) Math.round(0.025 * draws)];
    double high = flows[(int) Math.round(0.975 * draws)];
    double mean = Arrays.stream(flows).average().orElseThrow();
    double spread =
        Math.sqrt(Arrays.stream(flows).map(f -> (f - mean) * (f - mean)).sum() / (draws - 1));
    String where =
        setting
            + String.format(
                Locale.ROOT,
                ", seed %d, %d draws: flow %.6g, linear u %.4g U95 %.4g; draws u %.4g, interval"
                    + " %.6g to %.6g; tolerance %.2g",
                SEED,
                draws,
                means.flowM3PerS(),
                u,
                budget.u95(),
                spread,
                low,
                high,
                tolerance);
    if (draws > 100_000) {
      System.out.println(where);
    }
    assertEquals(means.flowM3PerS() - budget.u95(), low, tolerance, where);
    assertEquals(means.flowM3PerS() + budget.u95(), high, tolerance, where);
  }

  private static Calibration calibration(Setting setting) {
    Calibration root = SmallBench.calibration(setting.direction());
    if (!setting.linear()) {
      return root;
    }
    FittedElement fitted = root.element();
    LinearElement linear = new LinearElement(0.09, 1000, AirState.dry(293.15, 101325), 0.01);
    return new Calibration(
        root.id(),
        root.direction(),
        root.range(),
        root.at(),
        root.epoch(),
        new FittedElement(
            linear,
            fitted.coefficients(),
            fitted.covariance(),
            fitted.referenceDropPa(),
            fitted.lowestDropPa(),
            fitted.highestDropPa()),
        root.errors(),
        root.evidence());
  }

  /** One world: every error drawn once, used wherever it enters. */
  private double draw(
      Bench bench, Calibration calibration, Leakage leakage, Plan plan, PointMeans means) {
    Map<String, Double> gaugeKnots = new HashMap<>();
    double drop =
        means.dropPa()
            + 0.5 * random.nextGaussian()
            + knots(gaugeKnots, SmallBench.DROP, means.dropPa());
    double pressure =
        means.testPressurePa()
            + 1.5 * random.nextGaussian()
            + knots(gaugeKnots, SmallBench.PRESSURE, means.testPressurePa());
    double roomError = rectangular(0.5) + 0.1 / Math.sqrt(12) * random.nextGaussian();
    AirState room =
        new AirState(
            means.room().temperatureK() + roomError,
            means.room().pressurePa()
                + rectangular(100)
                + 10 / Math.sqrt(12) * random.nextGaussian(),
            means.room().relativeHumidity()
                + rectangular(0.03)
                + 0.01 / Math.sqrt(12) * random.nextGaussian());
    double inside = roomError + rectangular(plan.direction() == Direction.SUCTION ? 1 : 10);
    double leakFactor = 1 + 0.1 * random.nextGaussian();
    Leakage leak =
        new Leakage(
            leakage.direction(),
            leakage.setUp(),
            leakage.coefficient() * leakFactor,
            leakage.exponent(),
            0,
            0,
            leakage.at());
    double volume = 0.3 + 0.03 * random.nextGaussian();
    PortFlow port =
        new PortFlow(
            perturbed(calibration, gaugeKnots),
            bench.layout(),
            plan.direction(),
            Optional.of(leak),
            Optional.of(new Plenum(volume, 0)));
    PortFlow.Surroundings air =
        new PortFlow.Surroundings(
            room, means.air().plenumK() + inside, means.air().elementK() + inside, false);
    double area =
        port.effectiveArea(
            port.massFlow(drop, pressure, means.testPressureRate(), air), pressure, air);
    LiftSetting lift = LiftSetting.of(bench, plan);
    double liftError =
        rectangular(lift.readingHalfWidthM())
            + lift.quantumM() / Math.sqrt(12) * random.nextGaussian()
            + lift.zeroStandardUncertaintyM() * random.nextGaussian()
            + rectangular(0.0127 * (1 - Math.cos(lift.tiltRad())))
            + rectangular(lift.backlashM());
    return Simulated.reference(plan).volumeFlow(area)
        + means.slopeM2PerS().orElseThrow() * liftError
        + means.flowStandardError() * student(means.flow().degreesOfFreedom());
  }

  private FittedElement perturbed(Calibration calibration, Map<String, Double> gaugeKnots) {
    FittedElement element = calibration.element();
    double[] c = element.coefficients().stream().mapToDouble(Double::doubleValue).toArray();
    for (CoefficientError error : calibration.errors()) {
      double z =
          error.sharedId().isEmpty()
              ? random.nextGaussian()
              : gaugeKnots.computeIfAbsent(error.sharedId(), id -> random.nextGaussian());
      for (int k = 0; k < c.length; k++) {
        c[k] += z * error.effects().get(k);
      }
    }
    return new FittedElement(
        element.base(),
        Arrays.stream(c).boxed().toList(),
        List.of(List.of(0.0, 0.0), List.of(0.0, 0.0)),
        element.referenceDropPa(),
        element.lowestDropPa(),
        element.highestDropPa());
  }

  /** The gauge's error at a reading, between the errors at the powers of two beside it. */
  private double knots(Map<String, Double> drawn, Source.Measured gauge, double reading) {
    double place = Math.log(reading) / Math.log(2);
    int below = (int) Math.floor(place);
    double share = place - below;
    double u = gauge.accuracy().halfWidthSi(reading) / Math.sqrt(3);
    String id = "gauge " + gauge.key() + " epoch 1/";
    double low = drawn.computeIfAbsent(id + below, key -> random.nextGaussian());
    double high = drawn.computeIfAbsent(id + (below + 1), key -> random.nextGaussian());
    return u * (Math.cos(share * Math.PI / 2) * low + Math.sin(share * Math.PI / 2) * high);
  }

  private double rectangular(double halfWidth) {
    return halfWidth * (2 * random.nextDouble() - 1);
  }

  private double student(double degreesOfFreedom) {
    double chiSquare = 0;
    for (int i = 0; i < degreesOfFreedom; i++) {
      double z = random.nextGaussian();
      chiSquare += z * z;
    }
    return random.nextGaussian() / Math.sqrt(chiSquare / degreesOfFreedom);
  }
}
