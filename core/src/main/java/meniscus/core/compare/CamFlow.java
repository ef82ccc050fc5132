package meniscus.core.compare;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import meniscus.core.decide.Estimate;
import meniscus.core.lift.LiftPoint;
import meniscus.core.lift.Lifts;
import meniscus.core.lift.TestCurve;
import meniscus.core.quantity.Text;
import meniscus.core.refusal.Refusal;
import meniscus.core.uncertainty.Budget;
import meniscus.core.uncertainty.Contribution;
import meniscus.core.uncertainty.Contribution.Kind;

/**
 * A flow curve seen through a cam: the steady flow at the lifts that the cam gives, averaged over
 * the crank angle while the valve is open. It weighs lifts by how long the valve stays there; what
 * an engine makes of it also depends on the waves in its pipes.
 *
 * @param meanFlow over the open crank angle, at the reference test pressure [m³/s]
 * @param openDegrees crank angle with the valve open [°]
 * @param highestLiftM of the cam [m]
 */
public record CamFlow(Estimate meanFlow, double openDegrees, double highestLiftM) {

  /**
   * A cam's lift curve at the valve, in steps.
   *
   * @param degrees crank angle, rising [°]
   * @param liftsM lift of the valve there, 0 or more [m]
   */
  public record Cam(double[] degrees, double[] liftsM) {
    public Cam {
      degrees = degrees.clone();
      liftsM = liftsM.clone();
      if (degrees.length != liftsM.length || degrees.length < 3) {
        throw new Refusal("a cam needs three angles or more, each with its lift");
      }
      for (int i = 0; i < degrees.length; i++) {
        if (i > 0 && !(degrees[i] > degrees[i - 1])) {
          throw new Refusal(
              "the cam's angles must rise, but " + degrees[i] + " follows " + degrees[i - 1]);
        }
        if (!(liftsM[i] >= 0 && liftsM[i] < 0.1)) {
          throw new Refusal(
              "a cam's lift lies between 0 and 100 mm, was " + liftsM[i] * 1e3 + " mm");
        }
      }
      if (Arrays.stream(liftsM).noneMatch(lift -> lift > 0)) {
        throw new Refusal("the cam never opens the valve");
      }
    }

    @Override
    public double[] degrees() {
      return degrees.clone();
    }

    @Override
    public double[] liftsM() {
      return liftsM.clone();
    }
  }

  /**
   * Between measured lifts, and from no flow at no lift up to the first of them, the curve is taken
   * as straight; a third of its distance from the cubic through the four nearest counts as the
   * standard uncertainty of that, in one direction at all lifts.
   *
   * @throws Refusal when the cam lifts higher than the test went, or when fewer than three points
   *     can be trusted
   */
  public static CamFlow of(TestCurve test, Cam cam) {
    List<LiftPoint> points = test.curve().stream().filter(TestCurve::trusted).toList();
    int size = points.size() + 1;
    if (size < 4) {
      throw new Refusal("a flow through a cam needs three lifts or more");
    }
    double[] lifts = new double[size];
    double[] flows = new double[size];
    for (int i = 1; i < size; i++) {
      lifts[i] = points.get(i - 1).liftM();
      flows[i] = points.get(i - 1).flowM3PerS();
    }
    double highest = Arrays.stream(cam.liftsM).max().orElseThrow();
    if (Lifts.isBelow(lifts[size - 1], highest)) {
      throw new Refusal(
          Text.of(
              "the cam lifts the valve to %.2f mm but the test went to %.2f mm: nothing is"
                  + " guessed beyond it",
              highest * 1e3, lifts[size - 1] * 1e3));
    }
    Sums sums = new Sums(lifts, flows, new double[size]);
    double open = 0;
    for (int i = 1; i < cam.degrees.length; i++) {
      if (cam.liftsM[i - 1] > 0 || cam.liftsM[i] > 0) {
        double width = cam.degrees[i] - cam.degrees[i - 1];
        open += width;
        sums.add(cam.liftsM[i - 1], width / 2);
        sums.add(cam.liftsM[i], width / 2);
      }
    }
    double[] weights = sums.weights;
    double mean = 0;
    List<Contribution> all = new ArrayList<>();
    for (int i = 1; i < size; i++) {
      mean += weights[i] / open * flows[i];
      all.addAll(TestCurve.budget(points.get(i - 1)).times(weights[i] / open).contributions());
    }
    all.add(
        new Contribution(
            "curve between lifts", Kind.REPEAT, sums.bend / open, Double.POSITIVE_INFINITY, 1, ""));
    Budget budget = new Budget(all);
    return new CamFlow(
        new Estimate(mean, budget.standardUncertainty(), budget.effectiveDegreesOfFreedom()),
        open,
        highest);
  }

  /** How much each measured lift counts. */
  private static final class Sums {
    private final double[] lifts;
    private final double[] flows;
    private final double[] weights;
    private double bend;

    Sums(double[] lifts, double[] flows, double[] weights) {
      this.lifts = lifts;
      this.flows = flows;
      this.weights = weights;
    }

    void add(double camLift, double width) {
      double lift = Math.min(camLift, lifts[lifts.length - 1]);
      int above = 1;
      while (lifts[above] < lift) {
        above++;
      }
      double share = (lift - lifts[above - 1]) / (lifts[above] - lifts[above - 1]);
      weights[above] += width * share;
      weights[above - 1] += width * (1 - share);
      double straight = flows[above - 1] + share * (flows[above] - flows[above - 1]);
      bend += width * Math.abs(cubic(lifts, flows, above, lift) - straight) / 3;
    }
  }

  private static double cubic(double[] x, double[] y, int above, double at) {
    int first = Math.max(0, Math.min(x.length - 4, above - 2));
    double value = 0;
    for (int i = first; i < first + 4; i++) {
      double weight = 1;
      for (int j = first; j < first + 4; j++) {
        weight *= j == i ? 1 : (at - x[j]) / (x[i] - x[j]);
      }
      value += weight * y[i];
    }
    return value;
  }
}
