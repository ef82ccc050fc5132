package meniscus.core.budget;

import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import meniscus.core.bench.Bench;
import meniscus.core.bench.Leakage;
import meniscus.core.bench.Plenum;
import meniscus.core.bench.Range;
import meniscus.core.bench.Source;
import meniscus.core.bench.Use;
import meniscus.core.bench.Zero;
import meniscus.core.flow.Direction;
import meniscus.core.uncertainty.Contribution;
import meniscus.core.uncertainty.Contribution.Kind;
import meniscus.core.uncertainty.GaugeError;

/**
 * What the errors of gauges, room, leaks and plenum do to a value that is worked out from them.
 * Sensitivities are taken numerically on the whole way.
 *
 * <p>Shared ids: the error of one gauge in one epoch at near readings. Errors without one belong to
 * the session or the fitting (zeros, leaks, typed values: kind set-up) or to the reading (kind
 * repeat).
 */
public final class InputErrors {

  /** Leak to be reckoned with where none was measured: 1 cfm at 28 inH2O (common practice). */
  private static final double UNKNOWN_LEAK_M3_PER_S = 0.3048 * 0.3048 * 0.3048 / 60;

  private static final double UNKNOWN_LEAK_AT_PA = 28 * 249.08891; // inH2O at 4 °C, as conventional

  /** Plenum to be reckoned with where the volume is not known (our own estimate) [m³]. */
  private static final double UNKNOWN_PLENUM_M3 = 0.5;

  private final Bench bench;
  private final Range range;
  private final Direction direction;
  private final Optional<Leakage> leakage;
  private final Measurand measurand;
  private final Inputs in;
  private final double scale;
  private final List<Contribution> found = new ArrayList<>();

  private InputErrors(
      Bench bench,
      Range range,
      Direction direction,
      Optional<Leakage> leakage,
      Measurand measurand,
      Inputs in,
      double value) {
    this.bench = bench;
    this.range = range;
    this.direction = direction;
    this.leakage = leakage;
    this.measurand = measurand;
    this.in = in;
    double ofMeans = measurand.value(in, leakage, bench.plenum());
    this.scale = ofMeans == 0 ? 1 : value / ofMeans;
  }

  /** What a bench that was never measured is taken to leak at the most [m³/s]. */
  public static double unknownLeakM3PerS(double testPressurePa) {
    return UNKNOWN_LEAK_M3_PER_S * Math.sqrt(testPressurePa / UNKNOWN_LEAK_AT_PA);
  }

  /**
   * Contributions to a value.
   *
   * @param leakage that is subtracted, when there is one
   * @param in means of what the gauges show
   * @param value as averaged; the mean of values is not the value of means, and sensitivities are
   *     scaled to the former
   */
  public static List<Contribution> contributions(
      Bench bench,
      Range range,
      Direction direction,
      Optional<Leakage> leakage,
      Measurand measurand,
      Inputs in,
      double value) {
    InputErrors errors = new InputErrors(bench, range, direction, leakage, measurand, in, value);
    errors.gauges();
    errors.leak();
    errors.movement();
    return List.copyOf(errors.found);
  }

  /**
   * Contributions to what leaks itself: no leak is subtracted from that.
   *
   * @param value as in {@link #contributions}
   */
  public static List<Contribution> ofALeak(
      Bench bench, Range range, Direction direction, Measurand measurand, Inputs in, double value) {
    InputErrors errors =
        new InputErrors(bench, range, direction, Optional.empty(), measurand, in, value);
    errors.gauges();
    errors.movement();
    return List.copyOf(errors.found);
  }

  private void gauges() {
    pressures();
    room();
    temperaturesInside();
  }

  private void movement() {
    storage();
    alignment();
  }

  private void pressures() {
    double drop = in.dropPa() == 0 ? nothingPa() : 1e-4 * Math.abs(in.dropPa());
    gauge(
        "drop over the flow element",
        range.drop(),
        in.dropPa(),
        in.dropHalfSwingPa(),
        slope(in.withDrop(drop), in.withDrop(-drop), drop));
    double test = 1e-4 * in.testPressurePa();
    gauge(
        "test pressure",
        (Source.Measured) bench.source(Use.TEST_PRESSURE).orElseThrow(),
        in.testPressurePa(),
        in.testPressureHalfSwingPa(),
        slope(in.withTestPressure(test), in.withTestPressure(-test), test));
  }

  /**
   * A column that shows nothing at all: the root law has no slope there, so the flow of what cannot
   * be read is taken, that of one standard uncertainty of its graduation.
   */
  private double nothingPa() {
    return range.drop().accuracy().quantumSi() / Math.sqrt(12);
  }

  private void gauge(
      String what,
      Source.Measured gauge,
      double reading,
      OptionalDouble halfSwing,
      double sensitivity) {
    Zero zero = bench.zero(gauge);
    double quantum = gauge.accuracy().quantumSi();
    if (halfSwing.isPresent()) {
      byEye(what, halfSwing.getAsDouble(), quantum, zero.equals(Zero.NONE), sensitivity);
    }
    own(what + ": zero of the gauge", Kind.SET_UP, zero.standardUncertaintySi(), sensitivity);
    double specified = gauge.accuracy().halfWidthSi(reading) / Math.sqrt(3);
    if (specified > 0) {
      found.addAll(
          GaugeError.contributions(
              what + ": accuracy of the gauge", specified, reading, sensitivity, gaugeId(gauge)));
    }
    // Noise of half a step or more makes the mean finer than the step.
    if (halfSwing.isEmpty() && zero.noiseSi() < quantum / 2) {
      own(what + ": smallest step of the gauge", Kind.SET_UP, quantum / Math.sqrt(12), sensitivity);
    }
  }

  /**
   * A column that a person reads.
   *
   * <ul>
   *   <li>It is read to its graduation: anywhere within half a step to either side is as likely
   *       (rectangular, JCGM 100:2008, 4.3.7 and F.2.2.1). Anew at each reading, so it is a repeat
   *       error; and its scale is set to zero no better, once for the set-up.
   *   <li>It swings between the low and the high that were read: arc sine distribution (JCGM
   *       101:2008, 6.4.6), half swing / √2. That is the spread of a single look, and it is not
   *       divided by √n: two ends of a swing are no sample of it. The middle of an even swing is
   *       nearer to the mean than that; how even it was nobody knows.
   * </ul>
   */
  private void byEye(
      String what, double halfSwing, double step, boolean zeroByEye, double sensitivity) {
    double reading = step / Math.sqrt(12);
    own(what + ": read by eye", Kind.REPEAT, reading, sensitivity);
    own(what + ": the column swings", Kind.REPEAT, halfSwing / Math.sqrt(2), sensitivity);
    own(what + ": zero set by eye", Kind.SET_UP, zeroByEye ? reading : 0, sensitivity);
  }

  private double slope(Inputs high, Inputs low, double halfStep) {
    return halfStep > 0 ? scale * (value(high) - value(low)) / (2 * halfStep) : 0;
  }

  private void room() {
    boolean plenumFollows = !known(Use.PLENUM_TEMPERATURE);
    boolean elementFollows = plenumFollows && !known(Use.ELEMENT_TEMPERATURE);
    double p = plenumFollows ? 0.1 : 0;
    double e = elementFollows ? 0.1 : 0;
    input(
        "room temperature",
        Use.ROOM_TEMPERATURE,
        in.roomK(),
        slope(in.withTemperatures(0.1, p, e), in.withTemperatures(-0.1, -p, -e), 0.1));
    double ofPressure = slope(in.withRoomPressure(50), in.withRoomPressure(-50), 50);
    input("barometer", Use.ROOM_PRESSURE, in.roomPa(), ofPressure);
    own(
        "barometer: reduced from sea level",
        Kind.SET_UP,
        SeaLevel.uncertaintyPa(bench.site(), in.roomPa()),
        ofPressure);
    double low = Math.max(0, in.humidity() - 0.05);
    double high = Math.min(1, in.humidity() + 0.05);
    input(
        "humidity",
        Use.ROOM_HUMIDITY,
        in.humidity(),
        slope(in.withHumidity(high), in.withHumidity(low), (high - low) / 2));
  }

  private void temperaturesInside() {
    boolean plenum = known(Use.PLENUM_TEMPERATURE);
    boolean element = known(Use.ELEMENT_TEMPERATURE);
    double ofBoth =
        slope(in.withTemperatures(0, 0.1, 0.1), in.withTemperatures(0, -0.1, -0.1), 0.1);
    double ofPlenum = slope(in.withTemperatures(0, 0.1, 0), in.withTemperatures(0, -0.1, 0), 0.1);
    double ofElement = slope(in.withTemperatures(0, 0, 0.1), in.withTemperatures(0, 0, -0.1), 0.1);
    if (plenum) {
      input(
          "plenum temperature", Use.PLENUM_TEMPERATURE, in.plenumK(), element ? ofPlenum : ofBoth);
    }
    if (element) {
      input("temperature at the flow element", Use.ELEMENT_TEMPERATURE, in.elementK(), ofElement);
    }
    if (!plenum && !element) {
      double halfWidthK = InsideAir.halfWidthK(direction);
      own("air inside the bench: no thermometer", Kind.SET_UP, halfWidthK / Math.sqrt(3), ofBoth);
    } else if (!plenum || !element) {
      own(
          "air inside the bench: one thermometer for plenum and flow element",
          Kind.SET_UP,
          InsideAir.DIFFERENCE_K / Math.sqrt(3),
          plenum ? ofElement : ofPlenum);
    }
  }

  /** A gauge's error is met again in other tests; a typed value's is not. */
  private void input(String what, Use use, double reading, double sensitivity) {
    Source source = bench.source(use).orElseThrow();
    String id = source.fold(this::gaugeId, typed -> "");
    double limits =
        source.fold(gauge -> gauge.accuracy().halfWidthSi(reading), Source.Typed::halfWidthSi);
    double quantum = source.fold(gauge -> gauge.accuracy().quantumSi(), typed -> 0.0);
    add(
        what + source.fold(gauge -> ": accuracy of the gauge", typed -> ": typed in"),
        id.isEmpty() ? Kind.SET_UP : Kind.SYSTEMATIC,
        Math.hypot(limits / Math.sqrt(3), quantum / Math.sqrt(12)),
        Double.POSITIVE_INFINITY,
        sensitivity,
        id);
  }

  private boolean known(Use use) {
    return bench.source(use).isPresent();
  }

  private String gaugeId(Source.Measured gauge) {
    return "gauge " + gauge.key() + " epoch " + bench.upkeep().epoch().number();
  }

  private void leak() {
    double pressure = in.testPressurePa();
    double u;
    String words;
    if (leakage.isEmpty()) {
      u = unknownLeakM3PerS(pressure) / Math.sqrt(3);
      words = "leaks: never measured";
    } else if (leakage.get().coefficient() > 0) {
      u = leakage.get().standardUncertainty() * leakage.get().flowM3PerS(pressure);
      words = "leaks";
    } else {
      u = leakage.get().limitM3PerS() / Math.sqrt(3);
      words = "leaks: too small to see";
    }
    // The change of flow by a leak of 1 litre a second at this very pressure.
    double probe = 1e-3;
    double now = leakage.map(leak -> leak.flowM3PerS(pressure)).orElse(0.0);
    Leakage more =
        new Leakage(
            direction, "probe", (now + probe) / Math.sqrt(pressure), 0.5, 0, 0, Instant.EPOCH);
    double leaking = measurand.value(in, Optional.of(more), bench.plenum());
    own(words, Kind.SET_UP, u, scale * (leaking - value(in)) / probe);
  }

  private void storage() {
    if (in.testPressureRate() == 0) {
      return;
    }
    double known = bench.plenum().map(Plenum::volumeM3).orElse(0.0);
    double u =
        bench.plenum().map(Plenum::standardUncertaintyM3).orElse(UNKNOWN_PLENUM_M3 / Math.sqrt(3));
    double probe = 0.01;
    double larger = measurand.value(in, leakage, Optional.of(new Plenum(known + probe, 0)));
    own(
        "air stored by the plenum while the pressure moved",
        Kind.REPEAT,
        u,
        scale * (larger - value(in)) / probe);
  }

  /** While the pressure drifts, a drop read at another moment belongs to another pressure. */
  private void alignment() {
    double step = 1e-4 * in.testPressurePa();
    if (in.alignmentSeconds() == 0 || step <= 0) {
      return;
    }
    double perPascal =
        (value(in.withTestPressure(step)) - value(in.withTestPressure(-step))) / (2 * step);
    own(
        "drop and test pressure read at different moments",
        Kind.REPEAT,
        Math.abs(in.testPressureRate()) * in.alignmentSeconds(),
        perPascal);
  }

  private void add(
      String source, Kind kind, double u, double degrees, double sensitivity, String id) {
    if (u > 0 && sensitivity != 0) {
      found.add(new Contribution(source, kind, u, degrees, sensitivity, id));
    }
  }

  private void own(String source, Kind kind, double u, double sensitivity) {
    add(source, kind, u, Double.POSITIVE_INFINITY, sensitivity, "");
  }

  private double value(Inputs inputs) {
    return measurand.value(inputs, leakage, bench.plenum());
  }
}
