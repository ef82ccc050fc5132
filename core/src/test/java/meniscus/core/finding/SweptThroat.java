package meniscus.core.finding;

import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.Random;
import meniscus.core.lift.LiftPoint;
import meniscus.core.lift.Plan;
import meniscus.core.lift.Rung;
import meniscus.core.lift.Sweep;
import meniscus.core.lift.TestCurve;
import meniscus.core.time.Moment;
import meniscus.core.uncertainty.Contribution;

/**
 * Pressure sweeps on an invented throat, by other equations than the program's: the throat's Mach
 * number is found by bisection from the share of its head that is recovered, and the flow from NACA
 * Report 1135's flow function. What the bench reports is that flow over an ideal nozzle's.
 *
 * @param ratio CdA over smallest area, in the limit of no pressure
 * @param stall what the coefficient loses at 28 inH2O [1]; 0 for none
 * @param stallsAt share of 28 inH2O at which it begins to lose
 * @param pointU relative standard uncertainty of a point
 * @param modelSlope standard deviation of what the model does not know, of CdA a 28 inH2O [1]
 * @param pressures at which it is swept
 */
public record SweptThroat(
    double ratio, double stall, double stallsAt, double pointU, double modelSlope, int pressures) {

  public SweptThroat(
      double ratio, double stall, double stallsAt, double pointU, double modelSlope) {
    this(ratio, stall, stallsAt, pointU, modelSlope, 6);
  }

  public static final double FULL_PA = 28 * 249.08891;
  private static final double ROOM_PA = 100_000;
  private static final double SMALLEST_M2 = 1.2e-3;
  private static final double K = 1.4;

  /** What a healthy lift does not tell of another one's slope, of CdA a 28 inH2O [1]. */
  private static final double NOT_CARRIED = 0.002;

  /** Lifts of a healthy and of the suspected sweep [m]. */
  static final double HEALTHY_M = 10e-3;

  static final double SUSPECTED_M = 14e-3;

  /**
   * @param areaKnown whether the plan holds the smallest area, good to 3 %
   * @param control whether a healthy lift is swept too
   */
  TestCurve test(Random random, boolean areaKnown, boolean control) {
    List<LiftPoint> points = new ArrayList<>();
    List<Rung> ladder = new ArrayList<>();
    double model = modelSlope * random.nextGaussian();
    double start = 0;
    if (control) {
      double healthy = 0.9 * ratio;
      start = sweep(random, HEALTHY_M, healthy, 0, model * 0.81, start, points, ladder);
      model += NOT_CARRIED * random.nextGaussian();
    }
    sweep(random, SUSPECTED_M, ratio, stall, model, start, points, ladder);
    OptionalDouble area =
        areaKnown
            ? OptionalDouble.of(SMALLEST_M2 * (1 + 0.03 * random.nextGaussian()))
            : OptionalDouble.empty();
    return new TestCurve(
        "sweep",
        "bench",
        "A",
        Optional.empty(),
        plan(ladder, area),
        Optional.of(new TestCurve.Room(295, ROOM_PA, 0.5, 1.18)),
        List.of(),
        points);
  }

  private double sweep(
      Random random,
      double lift,
      double areaRatio,
      double loses,
      double model,
      double startS,
      List<LiftPoint> points,
      List<Rung> ladder) {
    double drift = 0.001 * random.nextGaussian();
    List<Double> way = new ArrayList<>();
    for (int i = 0; i < pressures; i++) {
      way.add(FULL_PA * Math.pow(4, i / (pressures - 1.0) - 1));
    }
    for (int i = pressures - 2; i >= 0; i--) {
      way.add(way.get(i));
    }
    double at = startS;
    for (int i = 0; i < way.size(); i++) {
      at += 25;
      double held = way.get(i) * (1 + 0.004 * random.nextGaussian());
      double lost =
          loses * Math.max(0, Math.log(held / FULL_PA / stallsAt)) / Math.log(1 / stallsAt);
      double area =
          SMALLEST_M2
              * reported(areaRatio, held)
              * (1 - lost)
              * (1 + model * held / FULL_PA)
              * (1 + drift * (i / (way.size() - 1.0) - 0.5))
              * (1 + pointU * random.nextGaussian());
      int rung = ladder.size() + 1;
      ladder.add(new Rung(rung, lift, Sweep.OPENING, OptionalDouble.of(way.get(i)), false));
      points.add(point(rung, lift, area, held, at));
    }
    return at;
  }

  /** CdA over smallest area as an ideal nozzle's formula gives it. */
  public static double reported(double ratio, double dropPa) {
    return reported(ratio, dropPa, ROOM_PA);
  }

  /** The same where the air at rest has another pressure, as where the bench blows. */
  static double reported(double ratio, double dropPa, double restPa) {
    double share = ratio * ratio;
    // The throat is below the exit by the share of its head that comes back, or above it by what
    // is lost: with m = ratio², p0 − pt = m·Δp.
    double throatPa = restPa - share * dropPa;
    return flowFunction(mach(throatPa, restPa)) / flowFunction(mach(restPa - dropPa, restPa));
  }

  /** Mach number at a static pressure, from p0/p = (1 + (κ−1)/2 M²)^(κ/(κ−1)), by bisection. */
  private static double mach(double staticPa, double restPa) {
    double low = 0;
    double high = 1;
    for (int i = 0; i < 60; i++) {
      double middle = (low + high) / 2;
      double ratio = Math.pow(1 + (K - 1) / 2 * middle * middle, K / (K - 1));
      if (ratio < restPa / staticPa) {
        low = middle;
      } else {
        high = middle;
      }
    }
    return low;
  }

  /** qm √(R T0) / (A p0). */
  private static double flowFunction(double mach) {
    return Math.sqrt(K) * mach * Math.pow(1 + (K - 1) / 2 * mach * mach, -(K + 1) / (2 * (K - 1)));
  }

  private LiftPoint point(int rung, double lift, double area, double pressure, double atS) {
    double flow = 100 * area;
    return SuspectPoints.point(
        rung,
        Moment.ofSeconds(atS),
        lift,
        flow,
        pressure,
        List.of(
            new Contribution("reading", Contribution.Kind.REPEAT, pointU * flow, 60, 1, ""),
            new Contribution("calibration", Contribution.Kind.SYSTEMATIC, 0.008, 50, flow, "A")));
  }

  private static Plan plan(List<Rung> ladder, OptionalDouble smallest) {
    return SuspectPoints.plan(ladder, smallest);
  }
}
