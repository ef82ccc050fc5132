package meniscus.core.budget;

import java.time.Instant;
import java.time.LocalDate;
import java.util.EnumMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalDouble;
import meniscus.core.air.AirState;
import meniscus.core.bench.Accuracy;
import meniscus.core.bench.Bench;
import meniscus.core.bench.Calibration;
import meniscus.core.bench.CoefficientError;
import meniscus.core.bench.ElementPlace;
import meniscus.core.bench.Epoch;
import meniscus.core.bench.Evidence;
import meniscus.core.bench.FittedElement;
import meniscus.core.bench.FlowElement;
import meniscus.core.bench.Identity;
import meniscus.core.bench.Instrument;
import meniscus.core.bench.Leakage;
import meniscus.core.bench.OrificeElement;
import meniscus.core.bench.Plenum;
import meniscus.core.bench.Range;
import meniscus.core.bench.Site;
import meniscus.core.bench.Source;
import meniscus.core.bench.StatedCoefficient;
import meniscus.core.bench.Upkeep;
import meniscus.core.bench.Use;
import meniscus.core.bench.Zero;
import meniscus.core.flow.Direction;
import meniscus.core.flow.Expansibility;
import meniscus.core.lift.InventedBench;
import meniscus.core.lift.Plan;
import meniscus.core.lift.PortKind;
import meniscus.core.lift.Rung;
import meniscus.core.lift.ShortPressure;
import meniscus.core.lift.Sweep;
import meniscus.core.lift.TestSetUp;
import meniscus.core.quantity.Unit;
import meniscus.core.quantity.UnitSystem;

/** An invented bench with every gauge, and a plan, for tests. */
public final class SmallBench {

  public static final double INCH_OF_WATER = 249.08891;
  public static final double TEST_PRESSURE = 28 * INCH_OF_WATER;
  public static final Instant AT = Instant.parse("2026-11-20T09:00:00Z");

  public static final Source.Measured DROP = gauge("drop", -3000, 3000, new Accuracy(0.0025, 2, 0));
  public static final Source.Measured PRESSURE =
      gauge("depression", -10000, 10000, new Accuracy(0.0025, 5, 0));
  public static final Source.Measured TEMPERATURE =
      gauge("room-temperature", 250, 330, new Accuracy(0, 0.5, 0.1));
  public static final Source.Measured BAROMETER =
      gauge("room-pressure", 60000, 110000, new Accuracy(0, 100, 10));
  public static final Source.Measured HUMIDITY =
      gauge("room-humidity", 0, 1, new Accuracy(0, 0.03, 0.01));
  public static final Source.Measured LIFT =
      gauge("lift", -0.001, 0.026, new Accuracy(0, 0.02e-3, 0.01e-3));

  public static final FlowElement ELEMENT =
      new OrificeElement(
          0.0762,
          0.05e-3,
          Optional.empty(),
          Expansibility.ISO_2003,
          Optional.of(new StatedCoefficient(0.60, 0.01)));

  private SmallBench() {}

  private static Source.Measured gauge(String channel, double low, double high, Accuracy accuracy) {
    return new Source.Measured("gauges", channel, low, high, accuracy, 0, false);
  }

  public static Bench bench() {
    return bench(ElementPlace.BLOWER_SIDE, ELEMENT);
  }

  public static Bench bench(ElementPlace place, FlowElement element) {
    Map<Use, Source> channels = new EnumMap<>(Use.class);
    channels.put(Use.TEST_PRESSURE, PRESSURE);
    channels.put(Use.ROOM_TEMPERATURE, TEMPERATURE);
    channels.put(Use.ROOM_PRESSURE, BAROMETER);
    channels.put(Use.ROOM_HUMIDITY, HUMIDITY);
    channels.put(Use.LIFT, LIFT);
    return new Bench(
            Identity.named("small bench", ""),
            UnitSystem.INCH,
            Site.UNKNOWN,
            place,
            Optional.of(new Plenum(0.3, 0.03)),
            List.of(new Instrument("gauges", "invented", Map.of("kind", "simulated"))),
            channels,
            List.of(new Range("main", element, DROP)),
            Upkeep.none(new Epoch(1, LocalDate.of(2026, 11, 1), "new")))
        .with(
            upkeep ->
                upkeep
                    .withZero(DROP.key(), new Zero(0.4, 0.5, 1, AT))
                    .withZero(PRESSURE.key(), new Zero(-1, 1.5, 3, AT)));
  }

  public static Leakage leakage(Direction direction) {
    // 0.6 cfm at 28 inH2O.
    double atTest = 0.6 * 0.3048 * 0.3048 * 0.3048 / 60;
    return new Leakage(
        direction,
        "head on, valves shut",
        atTest / Math.pow(TEST_PRESSURE, 0.6),
        0.6,
        0.1,
        1e-5,
        AT);
  }

  public static Plan plan(Direction direction) {
    return new Plan(
        new Plan.Subject(
            new Plan.Part("test head", "1", "intake", "three angles", ""),
            PortKind.INTAKE,
            List.of()),
        new TestSetUp(
            InventedBench.oneValve(0.0513),
            OptionalDouble.empty(),
            Optional.empty(),
            new TestSetUp.Fitted("radius", "bare", ""),
            new TestSetUp.Indicator("retainer", OptionalDouble.empty())),
        new Plan.Aim(direction, TEST_PRESSURE, 0.05, ShortPressure.KEEP),
        List.of(new Rung(1, 0.0127, Sweep.OPENING, OptionalDouble.empty(), false)),
        new Plan.Keeping(0.05e-3, 0.005, 60),
        Optional.empty(),
        new Plan.Shown(
            new Plan.Units(Unit.INCH_LENGTH, Unit.CUBIC_FOOT_PER_MINUTE, Unit.INCH_OF_WATER),
            new Plan.Reference(293.15, 101325, 0, TEST_PRESSURE)));
  }

  public static AirState room() {
    return new AirState(296.15, 99200, 0.45);
  }

  /** Correction 1.01 − 0.004 x, with errors of its own and one shared with the drop's gauge. */
  public static Calibration calibration(Direction direction) {
    double inf = Double.POSITIVE_INFINITY;
    List<CoefficientError> errors =
        List.of(
            new CoefficientError("plates", "", List.of(0.0025, 0.0), inf),
            new CoefficientError("scatter of the fit", "", List.of(0.0002, 0.0008), inf),
            new CoefficientError(
                "drop over the flow element: accuracy of the gauge",
                "gauge " + DROP.key() + " epoch 1/10",
                List.of(-0.0009, 0.0001),
                inf));
    double[][] covariance = new double[2][2];
    for (CoefficientError error : errors) {
      for (int i = 0; i < 2; i++) {
        for (int j = 0; j < 2; j++) {
          covariance[i][j] += error.effects().get(i) * error.effects().get(j);
        }
      }
    }
    return new Calibration(
        "0123",
        direction,
        "main",
        AT,
        1,
        new FittedElement(
            ELEMENT,
            List.of(1.01, -0.004),
            List.of(
                List.of(covariance[0][0], covariance[0][1]),
                List.of(covariance[1][0], covariance[1][1])),
            1000,
            300,
            2500),
        errors,
        new Evidence(
            List.of(),
            List.of(),
            new Evidence.GoodnessOfFit(0, 0, 1, 1),
            List.of(),
            List.of(),
            List.of()));
  }
}
