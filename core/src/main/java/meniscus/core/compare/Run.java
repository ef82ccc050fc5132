package meniscus.core.compare;

import java.util.ArrayList;
import java.util.List;
import java.util.stream.DoubleStream;
import meniscus.core.lift.TestCurve;
import meniscus.core.uncertainty.Budget;
import meniscus.core.uncertainty.Contribution;
import meniscus.core.uncertainty.Contribution.Kind;

/**
 * One run in columns: its flow at each compared lift, and last the mean of those (the mean flow
 * over the ladder), which is then treated as one more lift.
 *
 * @param test it comes from
 * @param lifts compared [m], without the mean
 * @param values of the columns [m³/s]
 * @param budgets of the columns
 */
record Run(TestCurve test, double[] lifts, double[] values, List<Budget> budgets) {

  static Run of(TestCurve test, double[] lifts, List<RunCurve.At> atLifts) {
    int size = lifts.length;
    double[] values = new double[size + 1];
    List<Budget> budgets = new ArrayList<>();
    List<Contribution> all = new ArrayList<>();
    for (int i = 0; i < size; i++) {
      values[i] = atLifts.get(i).flow();
      budgets.add(atLifts.get(i).budget());
      all.addAll(atLifts.get(i).budget().times(1.0 / size).contributions());
    }
    values[size] = DoubleStream.of(values).limit(size).average().orElse(Double.NaN);
    budgets.add(new Budget(all));
    return new Run(test, lifts, values, budgets);
  }

  int columns() {
    return values.length;
  }

  /** The errors of one kind in one column. */
  Budget budget(int column, Kind kind) {
    return budgets.get(column).only(c -> c.kind() == kind);
  }
}
