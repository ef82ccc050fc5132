package meniscus.core.calibrate;

import java.time.LocalDate;
import java.util.ArrayList;
import java.util.EnumMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.Random;
import meniscus.core.air.AirState;
import meniscus.core.bench.Accuracy;
import meniscus.core.bench.Bench;
import meniscus.core.bench.Calibration;
import meniscus.core.bench.ElementPlace;
import meniscus.core.bench.Epoch;
import meniscus.core.bench.Identity;
import meniscus.core.bench.Instrument;
import meniscus.core.bench.Leakage;
import meniscus.core.bench.OrificeElement;
import meniscus.core.bench.PointMeans;
import meniscus.core.bench.PortFlow;
import meniscus.core.bench.Range;
import meniscus.core.bench.Site;
import meniscus.core.bench.Source;
import meniscus.core.bench.StatedCoefficient;
import meniscus.core.bench.Upkeep;
import meniscus.core.bench.Use;
import meniscus.core.bench.Zero;
import meniscus.core.budget.SmallBench;
import meniscus.core.calibrate.PlateReading.Bevel;
import meniscus.core.flow.Direction;
import meniscus.core.flow.Expansibility;
import meniscus.core.quantity.UnitSystem;

/**
 * A bench with plates whose physics are written here, not the program's: moist air as two ideal
 * gases with the vapour pressure of Magnus (WMO No. 8, annex 4.B), orifices by Bernoulli with a
 * coefficient that falls with the Reynolds number, expansion linear in the drop. Errors are uniform
 * within their limits and readings scatter by Student's t with 4 degrees of freedom, which is not
 * what the fit takes them for. Faults can come together and need not be of the kinds it knows.
 */
final class FaultyBench {

  /** One fault or more; all nothing by default. */
  static final class Faults {
    double leakCfm;
    double leakExponent = 1;
    double dropZeroPa;
    double pressureZeroPa;
    double plateBy;
    String plate = "";
    boolean turned;
    double drift;
    double driftStep;
    double gain;
    double curved;

    /** Accuracy of the drop's gauge as the bench file has it, of reading. */
    double stated = 0.0025;

    boolean noRepeat;
    boolean rising;
  }

  static final double INCH_OF_WATER = 249.08891;
  private static final double CFM = 0.3048 * 0.3048 * 0.3048 / 60;
  private static final double ELEMENT_M = 0.054;
  private static final double CERTIFICATE = 0.0025;
  private static final double REPEAT = 0.0015;
  private static final Source.Measured PRESSURE =
      new Source.Measured(
          "gauges", "depression", -10000, 10000, new Accuracy(0.0025, 2, 0), 0, false);
  private static final OrificeElement ELEMENT =
      new OrificeElement(
          ELEMENT_M,
          0,
          Optional.empty(),
          Expansibility.ISO_2003,
          Optional.of(new StatedCoefficient(0.60, 0.02)));

  final Bench bench;
  private final Random random;
  private final Faults faults;
  private final double[] bores;
  private final double[] pressuresInH2o;
  private final double elementCoefficient;
  private final double reynoldsTerm;
  private final double expansion;
  private final double leakBase;
  private final double[] dropError;
  private final double[] pressureError;
  private final double kelvin;
  private final double roomPa;
  private final double humidity;
  private final AirState shownRoom;
  private final double common;
  private final double[] own;

  FaultyBench(long seed, Faults faults, double[] boresMm, double... pressuresInH2o) {
    this.random = new Random(seed);
    this.faults = faults;
    this.bench = bench(faults.stated);
    this.bores = boresMm;
    this.pressuresInH2o = pressuresInH2o;
    this.elementCoefficient = 0.60 * (1 + uniform(0.03));
    this.reynoldsTerm = 0.0003 + uniform(0.0003);
    this.expansion = 0.351 + uniform(0.035);
    this.leakBase = 0.3 + uniform(0.14);
    this.dropError = new double[] {uniform(0.0025), uniform(0.5) + uniform(0.85)};
    this.pressureError = new double[] {uniform(0.0025), uniform(2) + uniform(2.6)};
    this.kelvin = 293 + uniform(6);
    this.roomPa = 98500 + uniform(2500);
    this.humidity = 0.5 + uniform(0.3);
    this.shownRoom =
        new AirState(kelvin + uniform(0.5), roomPa + uniform(100), humidity + uniform(0.03));
    this.common = uniform(Math.sqrt(3) * CERTIFICATE * Math.sqrt(0.5));
    this.own = new double[boresMm.length];
    for (int i = 0; i < own.length; i++) {
      own[i] = uniform(Math.sqrt(3) * CERTIFICATE * Math.sqrt(0.5));
    }
  }

  private static Bench bench(double stated) {
    Source.Measured drop =
        new Source.Measured("gauges", "drop", -5000, 5000, new Accuracy(stated, 0.5, 0), 0, false);
    Map<Use, Source> channels = new EnumMap<>(Use.class);
    channels.put(Use.TEST_PRESSURE, PRESSURE);
    channels.put(Use.ROOM_TEMPERATURE, SmallBench.TEMPERATURE);
    channels.put(Use.ROOM_PRESSURE, SmallBench.BAROMETER);
    channels.put(Use.ROOM_HUMIDITY, SmallBench.HUMIDITY);
    return new Bench(
            Identity.named("bench with faults", ""),
            UnitSystem.INCH,
            Site.UNKNOWN,
            ElementPlace.BLOWER_SIDE,
            Optional.empty(),
            List.of(new Instrument("gauges", "invented", Map.of("kind", "simulated"))),
            channels,
            List.of(new Range("main", ELEMENT, drop)),
            Upkeep.none(new Epoch(1, LocalDate.of(2026, 11, 1), "new")))
        .with(
            upkeep ->
                upkeep
                    .withZero(drop.key(), new Zero(0, 0.5, 0.3, SmallBench.AT))
                    .withZero(PRESSURE.key(), new Zero(0, 1.5, 1, SmallBench.AT)));
  }

  private double uniform(double halfWidth) {
    return halfWidth * (2 * random.nextDouble() - 1);
  }

  /** Student's t, 4 degrees of freedom, scaled to a standard deviation of 1. */
  private double heavy() {
    double chi = 0;
    for (int i = 0; i < 4; i++) {
      double g = random.nextGaussian();
      chi += g * g;
    }
    return random.nextGaussian() / Math.sqrt(chi / 4) / Math.sqrt(2);
  }

  List<Plate> plates() {
    List<Plate> plates = new ArrayList<>();
    for (double bore : bores) {
      plates.add(
          Plate.certified(
              name(bore), bore / 1000, 0, new StatedCoefficient(0.602, CERTIFICATE), "laboratory"));
    }
    return plates;
  }

  static String name(double boreMm) {
    return String.valueOf(boreMm);
  }

  /** The middle one first, large and small in turn, the first one again at the end. */
  private List<Integer> order() {
    List<Integer> order = new ArrayList<>();
    for (int i = 0; i < bores.length; i++) {
      order.add(i);
    }
    if (!faults.rising) {
      java.util.Collections.shuffle(order, random);
    }
    if (!faults.noRepeat) {
      order.add(order.get(0));
    }
    return order;
  }

  List<PlateReading> readings() {
    List<PlateReading> readings = new ArrayList<>();
    List<Integer> order = order();
    for (int k = 0; k < order.size(); k++) {
      double time = order.size() > 1 ? (double) k / (order.size() - 1) - 0.5 : 0;
      double moved = 1 + faults.drift * time + (time > 0.1 ? faults.driftStep : 0);
      double mounting = 0.0008 * heavy();
      for (double inches : pressuresInH2o) {
        readings.add(
            new PlateReading(
                name(bores[order.get(k)]),
                Bevel.DOWNSTREAM,
                means(order.get(k), inches * INCH_OF_WATER, moved, mounting)));
      }
    }
    return readings;
  }

  private double density(double pascal) {
    double celsius = kelvin - 273.15;
    double vapour = humidity * 611.2 * Math.exp(17.62 * celsius / (243.12 + celsius));
    double ofRoom = vapour / roomPa;
    return pascal * (1 - ofRoom) / (287.05 * kelvin) + pascal * ofRoom / (461.5 * kelvin);
  }

  /** Mass flow [kg/s] of a sharp bore. */
  private double orifice(
      double coefficient, double boreM, double upstreamPa, double dropPa, double term) {
    double ideal =
        Math.PI
            / 4
            * boreM
            * boreM
            * Math.sqrt(2 * density(upstreamPa) * dropPa)
            * (1 - expansion * dropPa / (1.4 * upstreamPa));
    double reynolds = Math.max(2000, 4 * coefficient * ideal / (Math.PI * boreM * 1.82e-5));
    return (coefficient + term * Math.pow(1e6 / reynolds, 0.7)) * ideal;
  }

  private double element(double dropPa, double testPressurePa) {
    return orifice(elementCoefficient, ELEMENT_M, roomPa - testPressurePa, dropPa, reynoldsTerm);
  }

  private PointMeans means(int plate, double pressurePa, double moved, double mounting) {
    double wrong = name(bores[plate]).equals(faults.plate) ? faults.plateBy : 0;
    double passes =
        orifice(
            0.602 * (1 + common) * (1 + own[plate]) * (1 + wrong) * (1 + mounting),
            bores[plate] / 1000,
            roomPa,
            pressurePa,
            0);
    double at28 = pressurePa / (28 * INCH_OF_WATER);
    double leak =
        leakBase * CFM * Math.pow(at28, 0.65)
            + faults.leakCfm * CFM * Math.pow(at28, faults.leakExponent);
    double through = passes + leak * density(roomPa - pressurePa);
    double low = 1e-3;
    double high = 20_000;
    for (int step = 0; step < 70; step++) {
      double middle = 0.5 * (low + high);
      if (element(middle, pressurePa) * moved < through) {
        low = middle;
      } else {
        high = middle;
      }
    }
    return shown(low, pressurePa);
  }

  private PointMeans shown(double dropPa, double pressurePa) {
    double share = dropPa / 5000;
    double drop =
        dropPa * (1 + dropError[0] + faults.gain)
            + dropError[1]
            + faults.dropZeroPa
            + faults.curved * 5000 * 4 * share * (1 - share)
            + 0.3 * random.nextGaussian();
    drop = Math.max(0.5, drop * (1 + 2 * REPEAT * heavy()));
    double pressure =
        pressurePa * (1 + pressureError[0]) + pressureError[1] + faults.pressureZeroPa;
    PortFlow port =
        new PortFlow(
            ELEMENT, bench.layout(), Direction.SUCTION, Optional.empty(), Optional.empty());
    PortFlow.Surroundings air =
        port.surroundings(shownRoom, OptionalDouble.empty(), OptionalDouble.empty());
    double area = port.effectiveArea(port.massFlow(drop, pressure, 0, air), pressure, air);
    double repeat = Math.hypot(REPEAT, 0.3 / 2 / drop);
    return new PointMeans(
        15,
        PointMeans.Pressures.steady(drop, pressure, 0),
        new PointMeans.Air(
            shownRoom, air.plenumTemperatureK(), air.elementTemperatureK(), air.assumed()),
        new PointMeans.Flow(area, area * 100, area * 100 * repeat, 40),
        OptionalDouble.empty(),
        OptionalDouble.empty());
  }

  /** A leak as it was measured: 0.3 cfm, known to 0.08 cfm. */
  Leakage leakage() {
    double at28 = 0.3 * CFM;
    return new Leakage(
        Direction.SUCTION,
        "bench blanked",
        at28 / Math.pow(28 * INCH_OF_WATER, 0.65),
        0.65,
        0.08 / 0.3,
        at28,
        SmallBench.AT);
  }

  /** True flow of the element over what its description tells, at a true drop. */
  double truth(double dropPa) {
    double pressurePa = 20 * INCH_OF_WATER;
    AirState upstream = new AirState(kelvin, roomPa, humidity).movedTo(kelvin, roomPa - pressurePa);
    return element(dropPa, pressurePa) / ELEMENT.massFlow(dropPa, upstream);
  }

  Calibration calibrate() {
    return CalibrationFit.fit(
        bench,
        bench.ranges().get(0),
        Direction.SUCTION,
        Optional.of(leakage()),
        plates(),
        readings(),
        SmallBench.AT);
  }
}
