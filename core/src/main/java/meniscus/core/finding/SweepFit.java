package meniscus.core.finding;

import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import meniscus.core.decide.Estimate;
import meniscus.core.decide.Holm;
import meniscus.core.flow.Direction;
import meniscus.core.lift.LiftPoint;
import meniscus.core.lift.TestCurve;
import meniscus.core.uncertainty.Budget;
import org.hipparchus.linear.Array2DRowRealMatrix;
import org.hipparchus.linear.ArrayRealVector;
import org.hipparchus.linear.LUDecomposition;
import org.hipparchus.linear.RealMatrix;
import org.hipparchus.linear.RealVector;

/**
 * The points of a pressure sweep in numbers: ln CdA over ln Δp with their covariance, in which
 * errors common to all pressures cancel, a compressible throat ({@link Throat}), and a drift in
 * time.
 */
final class SweepFit {

  /**
   * Standard uncertainty of a drift over the whole sweep [1]: gauges and the air in the bench
   * within some minutes. Our own choice.
   */
  private static final double DRIFT = 0.002;

  /** Chance of a false difference between up and down. */
  private static final double FALSE_ALARM = 0.01;

  // Standard atmosphere; the slope hardly knows it.
  private static final double USUAL_ROOM_PA = 101_325;

  private final List<LiftPoint> points;
  private final double upstreamAtRestPa;
  private final boolean blowing;
  private final double[] x;
  private final double[] y;
  private final RealMatrix covariance;
  private final double degrees;

  SweepFit(TestCurve test, List<LiftPoint> unsorted) {
    points =
        unsorted.stream().sorted(Comparator.comparingDouble(LiftPoint::testPressurePa)).toList();
    upstreamAtRestPa = test.room().map(TestCurve.Room::pressurePa).orElse(USUAL_ROOM_PA);
    blowing = test.plan().direction(points.get(0).sweep()) == Direction.BLOWING;
    int size = points.size();
    x = new double[size];
    y = new double[size];
    covariance = new Array2DRowRealMatrix(size, size);
    List<Budget> relative = new ArrayList<>();
    double fewest = Double.POSITIVE_INFINITY;
    for (int i = 0; i < size; i++) {
      LiftPoint point = points.get(i);
      x[i] = Math.log(point.testPressurePa());
      y[i] = Math.log(point.effectiveAreaM2());
      Budget budget = TestCurve.budget(point).times(1 / point.flowM3PerS());
      relative.add(budget);
      fewest = Math.min(fewest, budget.repeat().effectiveDegreesOfFreedom());
    }
    degrees = fewest;
    double[] drift = drift();
    for (int i = 0; i < size; i++) {
      for (int j = 0; j < size; j++) {
        double u = relative.get(i).standardUncertainty();
        double own = i == j ? Math.max(1e-14, u * u) : relative.get(i).covariance(relative.get(j));
        covariance.setEntry(i, j, own + drift[i] * drift[j]);
      }
    }
  }

  /** Size of the drift at each point, from −half to half of it over the sweep's time. */
  private double[] drift() {
    double first = points.stream().mapToDouble(p -> p.keptAt().seconds()).min().orElseThrow();
    double last = points.stream().mapToDouble(p -> p.keptAt().seconds()).max().orElseThrow();
    double span = Math.max(1e-9, last - first);
    return points.stream()
        .mapToDouble(p -> DRIFT * ((p.keptAt().seconds() - first) / span - 0.5))
        .toArray();
  }

  int pressures() {
    return BreakpointFit.places(x).length;
  }

  double highestLog() {
    return x[x.length - 1];
  }

  /**
   * CdA in the limit of no pressure [m²], from the lowest pressure of the sweep.
   *
   * @param share the throat's m
   */
  double restAreaM2(double share) {
    return points.get(0).effectiveAreaM2()
        * Math.exp(-Throat.logChange(share, drop(0), upstream(0)));
  }

  /**
   * By what share CdA falls from the lowest to the highest test pressure, the throat's
   * compressibility taken out.
   *
   * @param share m, as well as it is known
   */
  Estimate fall(Estimate share) {
    int high = y.length - 1;
    double[] left = offset(share.value(), share.value());
    double[] slope = slope(share.value());
    double variance =
        covariance.getEntry(0, 0)
            + covariance.getEntry(high, high)
            - 2 * covariance.getEntry(0, high)
            + square(share.standardUncertainty() * (slope[high] - slope[0]));
    return new Estimate(left[0] - left[high], Math.sqrt(Math.max(0, variance)), degrees);
  }

  /**
   * The throat's share m that this sweep shows by itself, when nothing in it falls.
   *
   * @param prior what is known of it beforehand
   */
  Estimate share(Estimate prior) {
    Estimate share = prior;
    // Two steps of Gauss and Newton: m enters almost linearly.
    for (int step = 0; step < 2; step++) {
      share = shareFrom(share.value(), prior);
    }
    return share;
  }

  private Estimate shareFrom(double start, Estimate prior) {
    int size = x.length;
    RealVector residual = new ArrayRealVector(offset(start, start));
    RealVector slope = new ArrayRealVector(slope(start));
    RealVector ones = new ArrayRealVector(size, 1);
    RealMatrix weight = new LUDecomposition(covariance).getSolver().getInverse();
    RealVector weightedOnes = weight.operate(ones);
    double total = weightedOnes.dotProduct(ones);
    RealVector bare = slope.subtract(ones.mapMultiply(weightedOnes.dotProduct(slope) / total));
    RealVector weighted = weight.operate(bare);
    double known = 1 / (prior.standardUncertainty() * prior.standardUncertainty());
    double information = weighted.dotProduct(bare) + known;
    double moved = (weighted.dotProduct(residual) + known * (prior.value() - start)) / information;
    return new Estimate(start + moved, 1 / Math.sqrt(information), Double.POSITIVE_INFINITY);
  }

  /**
   * The fit of a fall, the throat being known that well.
   *
   * @param near m about which its effect is taken as straight
   * @param u standard uncertainty of m
   */
  BreakpointFit breakpoint(double near, double u) {
    double[] slope = slope(near);
    double[][] widened = covariance.getData();
    for (int i = 0; i < slope.length; i++) {
      for (int j = 0; j < slope.length; j++) {
        widened[i][j] += u * u * slope[i] * slope[j];
      }
    }
    return new BreakpointFit(x, widened, degrees);
  }

  /**
   * ln CdA with the throat's compressibility taken out.
   *
   * @param near m about which its effect is taken as straight
   * @param share m that is believed
   */
  double[] offset(double near, double share) {
    double[] slope = slope(near);
    double[] offset = new double[y.length];
    for (int i = 0; i < y.length; i++) {
      offset[i] = y[i] - Throat.logChange(near, drop(i), upstream(i)) - slope[i] * (share - near);
    }
    return offset;
  }

  private double[] slope(double share) {
    double[] slope = new double[y.length];
    for (int i = 0; i < y.length; i++) {
      slope[i] = Throat.perShare(share, drop(i), upstream(i));
    }
    return slope;
  }

  private double drop(int i) {
    return points.get(i).testPressurePa();
  }

  private double upstream(int i) {
    return upstreamAtRestPa + (blowing ? drop(i) : 0);
  }

  /** Pressures at which the way down flows less than the way up, under Holm at 1 % [Pa]. */
  List<Double> hysteresis() {
    List<Double> at = new ArrayList<>();
    List<Double> chances = new ArrayList<>();
    for (double place : BreakpointFit.places(x)) {
      List<LiftPoint> here =
          points.stream()
              .filter(p -> Math.abs(Math.log(p.testPressurePa()) - place) < 0.03)
              .sorted(Comparator.comparing(LiftPoint::keptAt))
              .toList();
      if (here.size() > 1) {
        LiftPoint up = here.get(0);
        LiftPoint down = here.get(here.size() - 1);
        double u = Math.sqrt(square(repeat(up)) + square(repeat(down)) + square(DRIFT));
        at.add(up.testPressurePa());
        chances.add(
            new Estimate(Math.log(up.effectiveAreaM2() / down.effectiveAreaM2()), u, degrees)
                .pOfZeroOrBelow());
      }
    }
    boolean[] less =
        Holm.rejected(chances.stream().mapToDouble(Double::doubleValue).toArray(), FALSE_ALARM);
    List<Double> found = new ArrayList<>();
    for (int i = 0; i < less.length; i++) {
      if (less[i]) {
        found.add(at.get(i));
      }
    }
    return found;
  }

  private static double repeat(LiftPoint point) {
    return TestCurve.budget(point).repeat().standardUncertainty() / point.flowM3PerS();
  }

  private static double square(double value) {
    return value * value;
  }
}
