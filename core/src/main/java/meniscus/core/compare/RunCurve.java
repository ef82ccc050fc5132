package meniscus.core.compare;

import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.function.UnaryOperator;
import meniscus.core.lift.LiftPoint;
import meniscus.core.lift.Lifts;
import meniscus.core.lift.TestCurve;
import meniscus.core.uncertainty.Budget;
import meniscus.core.uncertainty.Contribution;
import meniscus.core.uncertainty.Contribution.Kind;
import meniscus.core.uncertainty.SharedId;

/**
 * One run as flow against lift, each value moved from the lift that was read to the lift that was
 * asked, with the budget of that.
 *
 * @param test it comes from
 * @param lifts asked [m], rising
 * @param flows at those lifts [m³/s]
 * @param budgets of those flows
 */
record RunCurve(TestCurve test, double[] lifts, double[] flows, List<Budget> budgets) {

  /** A value at one lift. */
  record At(double flow, Budget budget, boolean interpolated) {}

  /**
   * @param run its place among all runs, to keep apart what runs do not share
   * @param scale from this test's reference conditions to the common ones [1]
   * @param sharing true when systematic errors of this test are those of the others
   */
  static RunCurve of(TestCurve test, int run, double scale, boolean sharing) {
    return of(test, scale, c -> SharedId.between(c, sharing, "run " + run));
  }

  /**
   * @param scale from this test's reference conditions to the common ones [1]
   * @param known names each error so that it is met wherever it is the same
   */
  static RunCurve of(TestCurve test, double scale, UnaryOperator<Contribution> known) {
    List<LiftPoint> points = test.curve().stream().filter(TestCurve::trusted).toList();
    int size = points.size();
    double[] asked = new double[size];
    double[] read = new double[size];
    double[] measured = new double[size];
    for (int i = 0; i < size; i++) {
      asked[i] = points.get(i).liftM();
      read[i] = points.get(i).setting().liftReadM().orElse(asked[i]);
      measured[i] = points.get(i).flowM3PerS() * scale;
    }
    double[] flows = new double[size];
    List<Budget> budgets = new ArrayList<>();
    for (int i = 0; i < size; i++) {
      Slope slope = Slope.at(read, measured, i);
      double off = read[i] - asked[i];
      flows[i] = measured[i] - slope.value * off;
      List<Contribution> all = new ArrayList<>();
      Budget own = TestCurve.budget(points.get(i)).times(scale);
      for (Contribution c : own.contributions()) {
        all.add(known.apply(c));
      }
      if (off != 0) {
        all.add(
            new Contribution(
                "slope of the curve",
                Kind.REPEAT,
                slope.uncertainty,
                Double.POSITIVE_INFINITY,
                off,
                ""));
      }
      budgets.add(new Budget(all));
    }
    return new RunCurve(test, asked, flows, budgets);
  }

  /** The value at a lift that was measured; empty when it was not. */
  Optional<At> measuredAt(double liftM) {
    for (int i = 0; i < lifts.length; i++) {
      if (Lifts.same(lifts[i], liftM)) {
        return Optional.of(new At(flows[i], budgets.get(i), false));
      }
    }
    return Optional.empty();
  }

  /**
   * The value at a lift between measured ones, by the cubic through the four nearest points; a
   * third of its distance from the straight line counts as the standard uncertainty of having
   * interpolated. Empty outside the measured lifts and with fewer than four points.
   */
  Optional<At> interpolatedAt(double liftM) {
    int size = lifts.length;
    if (size < 4 || liftM < lifts[0] || liftM > lifts[size - 1]) {
      return Optional.empty();
    }
    int above = 1;
    while (lifts[above] < liftM) {
      above++;
    }
    int first = Math.max(0, Math.min(size - 4, above - 2));
    double flow = 0;
    List<Contribution> all = new ArrayList<>();
    for (int i = first; i < first + 4; i++) {
      double weight = 1;
      for (int j = first; j < first + 4; j++) {
        weight *= j == i ? 1 : (liftM - lifts[j]) / (lifts[i] - lifts[j]);
      }
      flow += weight * flows[i];
      all.addAll(budgets.get(i).times(weight).contributions());
    }
    double share = (liftM - lifts[above - 1]) / (lifts[above] - lifts[above - 1]);
    double straight = flows[above - 1] + share * (flows[above] - flows[above - 1]);
    all.add(
        new Contribution(
            "interpolation between lifts",
            Kind.REPEAT,
            Math.abs(flow - straight) / 3,
            Double.POSITIVE_INFINITY,
            1,
            ""));
    return Optional.of(new At(flow, new Budget(all), true));
  }

  /**
   * The curve's local slope.
   *
   * @param value [m²/s]
   * @param uncertainty standard [m²/s]: half the difference of the slopes to the left and right
   *     over √3; at the ends, where one side is missing, half the slope over √3
   */
  private record Slope(double value, double uncertainty) {
    static Slope at(double[] x, double[] y, int i) {
      boolean left = i > 0 && x[i] > x[i - 1];
      boolean right = i < x.length - 1 && x[i + 1] > x[i];
      double below = left ? (y[i] - y[i - 1]) / (x[i] - x[i - 1]) : 0;
      double above = right ? (y[i + 1] - y[i]) / (x[i + 1] - x[i]) : 0;
      if (left && right) {
        double share = (x[i] - x[i - 1]) / (x[i + 1] - x[i - 1]);
        return new Slope(
            share * above + (1 - share) * below, Math.abs(above - below) / 2 / Math.sqrt(3));
      }
      double only = left ? below : above;
      return new Slope(only, Math.abs(only) / 2 / Math.sqrt(3));
    }
  }
}
