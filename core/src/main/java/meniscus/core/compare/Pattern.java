package meniscus.core.compare;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Optional;
import meniscus.core.uncertainty.Budget;
import meniscus.core.uncertainty.Contribution;
import org.hipparchus.distribution.continuous.ChiSquaredDistribution;
import org.hipparchus.linear.Array2DRowRealMatrix;
import org.hipparchus.linear.ArrayRealVector;
import org.hipparchus.linear.LUDecomposition;
import org.hipparchus.linear.RealMatrix;
import org.hipparchus.linear.RealVector;

/**
 * Differences over all lifts that look like one error of the bench rather than the port.
 *
 * <p>Rival shapes are fitted to the relative differences by generalised least squares, each with
 * one free size: nothing, everything by one share, a shifted lift zero (slope of the curve over
 * flow), a leak (one flow at every lift), a change at low lift, a change at high lift, one lift
 * alone. A shape is named when it explains what nothing does not (χ² falls by 6.6, 1 %), is
 * adequate (5 %), and no rival comes within 2 of its χ². It can make one wary, never certain: a
 * seat gain looks like a shifted zero in 5 to 30 % of cases (simulated: docs/figures.md).
 *
 * @param shape that was named
 * @param size lift [m] for a shifted zero, flow [m³/s] for a leak, else a share [1]
 * @param standardUncertainty of the size
 */
record Pattern(Shape shape, double size, double standardUncertainty) {

  /** 99 % point of χ² with one degree of freedom. */
  private static final double TELLING = 6.63;

  private static final double ADEQUATE = 0.05; // the usual level of a χ² test

  /** Rivals within this of the best are as good (Raftery's "positive" evidence). */
  private static final double RIVAL = 2;

  /** Fewer lifts cannot tell shapes apart. */
  private static final int FEWEST_LIFTS = 6;

  /** Variance of each lift's own scatter over that of the whole curve. Our own choice. */
  private static final double OWN = 0.1;

  /** Re-fixing where nobody learned it: a good adapter on a good bench. Our own choice. */
  private static final double USUAL_REFIXING = 0.003;

  /** How the budget names the error that is looked for. */
  static final String LIFT_ZERO_SOURCE = "lift: zero";

  /** What differences may look like. */
  enum Shape {
    NOTHING,
    /** One share at all lifts: the test pressure read wrong, or the adapter, or a true change. */
    SCALE,
    LIFT_ZERO,
    LEAK,
    LOW_LIFTS,
    HIGH_LIFTS,
    ONE_LIFT;
  }

  private record Fitted(Shape shape, double size, double u, double chiSquare) {}

  /** The named shape among those that an error of the bench can have; empty when none is. */
  static Optional<Pattern> in(CommonLifts common) {
    double[] lifts = common.lifts();
    List<Run> before = common.before();
    List<Run> after = common.after();
    int size = lifts.length;
    if (size < FEWEST_LIFTS) {
      return Optional.empty();
    }
    double[] flows = new double[size];
    double[] y = new double[size];
    for (int i = 0; i < size; i++) {
      flows[i] = mean(before, i);
      y[i] = mean(after, i) / flows[i] - 1;
    }
    RealMatrix weight = inverse(covariance(before, after, flows));
    List<Fitted> fits = new ArrayList<>();
    RealVector seen = new ArrayRealVector(y);
    fits.add(new Fitted(Shape.NOTHING, 0, 0, weight.operate(seen).dotProduct(seen)));
    fits.add(fit(Shape.SCALE, filled(size), weight, seen));
    fits.add(fit(Shape.LIFT_ZERO, slopeOverFlow(lifts, flows), weight, seen));
    fits.add(fit(Shape.LEAK, inverseOf(flows), weight, seen));
    fits.add(bestOf(Shape.LOW_LIFTS, lifts, weight, seen));
    fits.add(bestOf(Shape.HIGH_LIFTS, lifts, weight, seen));
    fits.add(bestOf(Shape.ONE_LIFT, lifts, weight, seen));
    return named(fits, size);
  }

  private static Optional<Pattern> named(List<Fitted> fits, int lifts) {
    double nothing = fits.get(0).chiSquare;
    for (Fitted fit : fits) {
      boolean benchs =
          fit.shape == Shape.LIFT_ZERO || fit.shape == Shape.LEAK || fit.shape == Shape.SCALE;
      boolean telling = nothing - fit.chiSquare > TELLING;
      boolean adequate =
          1 - new ChiSquaredDistribution(lifts - 1.0).cumulativeProbability(fit.chiSquare)
              > ADEQUATE;
      boolean rivalled =
          fits.stream().anyMatch(other -> other != fit && other.chiSquare < fit.chiSquare + RIVAL);
      if (benchs && telling && adequate && !rivalled) {
        return Optional.of(new Pattern(fit.shape, fit.size, fit.u));
      }
    }
    return Optional.empty();
  }

  private static Fitted fit(Shape shape, double[] form, RealMatrix weight, RealVector seen) {
    RealVector along = new ArrayRealVector(form);
    RealVector weighted = weight.operate(along);
    double information = weighted.dotProduct(along);
    double size = weighted.dotProduct(seen) / information;
    RealVector rest = seen.subtract(along.mapMultiply(size));
    return new Fitted(
        shape, size, 1 / Math.sqrt(information), weight.operate(rest).dotProduct(rest));
  }

  /** The place of a change is free as well. */
  private static Fitted bestOf(Shape shape, double[] lifts, RealMatrix weight, RealVector seen) {
    Fitted best = null;
    // High lifts from the lowest one on are all of them: that is SCALE, and no rival of it.
    for (int at = shape == Shape.HIGH_LIFTS ? 1 : 0; at < lifts.length; at++) {
      double[] form = new double[lifts.length];
      for (int i = 0; i < lifts.length; i++) {
        form[i] =
            switch (shape) {
              case LOW_LIFTS -> Math.exp(-Math.pow(lifts[i] / lifts[at], 2));
              case HIGH_LIFTS -> i >= at ? 1 : 0;
              default -> i == at ? 1 : 0;
            };
      }
      Fitted fit = fit(shape, form, weight, seen);
      best = best == null || fit.chiSquare < best.chiSquare ? fit : best;
    }
    return best;
  }

  /**
   * Relative, of after less before: what is not shared of reading and of each lift's own, and what
   * moves the whole curve. The lift's zero is left out: it is what is looked for.
   */
  private static double[][] covariance(List<Run> before, List<Run> after, double[] flows) {
    double share = refixing(before.get(0));
    int size = flows.length;
    double[][] covariance = new double[size][size];
    for (List<Run> side : List.of(before, after)) {
      for (Run run : side) {
        for (int i = 0; i < size; i++) {
          for (int j = 0; j < size; j++) {
            Budget one = bare(run, i);
            double own = i == j ? square(one.standardUncertainty()) : one.covariance(bare(run, j));
            covariance[i][j] += own / flows[i] / flows[j] / square(side.size());
            covariance[i][j] += square(share) * (i == j ? 1 + OWN : 1) / side.size();
          }
        }
      }
    }
    return covariance;
  }

  /** What moves the whole curve from fitting to fitting [1]. */
  private static double refixing(Run run) {
    double highest = run.lifts()[run.lifts().length - 1];
    return run.test()
        .repeatability()
        .map(learned -> learned.relativeStandardDeviation(highest))
        .orElse(USUAL_REFIXING);
  }

  private static Budget bare(Run run, int column) {
    return run.budgets()
        .get(column)
        .only(
            c -> c.kind() != Contribution.Kind.SYSTEMATIC && !c.source().equals(LIFT_ZERO_SOURCE));
  }

  /** What the shape takes of the flow at each lift [1]. */
  double[] relative(double[] lifts, double[] flows) {
    double[] form =
        switch (shape) {
          case LIFT_ZERO -> slopeOverFlow(lifts, flows);
          case LEAK -> inverseOf(flows);
          default -> filled(lifts.length);
        };
    return Arrays.stream(form).map(f -> f * size).toArray();
  }

  private static double[] slopeOverFlow(double[] lifts, double[] flows) {
    double[] slope = new double[lifts.length];
    for (int i = 0; i < lifts.length; i++) {
      int low = Math.max(0, i - 1);
      int high = Math.min(lifts.length - 1, i + 1);
      slope[i] = (flows[high] - flows[low]) / (lifts[high] - lifts[low]) / flows[i];
    }
    return slope;
  }

  private static double mean(List<Run> side, int column) {
    return side.stream().mapToDouble(run -> run.values()[column]).average().orElseThrow();
  }

  private static double[] filled(int size) {
    double[] ones = new double[size];
    Arrays.fill(ones, 1);
    return ones;
  }

  private static double[] inverseOf(double[] values) {
    return Arrays.stream(values).map(v -> 1 / v).toArray();
  }

  private static RealMatrix inverse(double[][] matrix) {
    return new LUDecomposition(new Array2DRowRealMatrix(matrix)).getSolver().getInverse();
  }

  private static double square(double value) {
    return value * value;
  }
}
