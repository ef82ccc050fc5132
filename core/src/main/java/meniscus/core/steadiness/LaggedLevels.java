package meniscus.core.steadiness;

import java.util.Optional;

/**
 * Two levels as a gauge with lag shows them. A lag rounds the jumps off, and one level in slow
 * noise then explains them as well; so the lag is taken out first, once or twice in a row as it may
 * be one of the gauge and one of the air in its way, and the likeliest lag counts.
 */
final class LaggedLevels {

  /** Shares of the value before that a lag keeps, for the first and a second one. */
  private static final double[][] LAGS = {
    {0, 0}, {0.5, 0}, {0.7, 0}, {0.8, 0}, {0.5, 0.5}, {0.7, 0.7}
  };

  private static final double PARAMETERS = 4; // beside level and size: one level more, 2, phi
  private static final double CLEAR = 6; // in log likelihood: odds of 400 to 1

  /**
   * Values that a stay at a level takes at least, beside twice what a lag remembers: too large a
   * lag taken out turns each jump into a spike, and spikes are no level.
   */
  private static final double LEAST_STAY = 3;

  private LaggedLevels() {}

  /**
   * @param z evenly spaced values, some tens at least
   * @return the two levels, when one level in noise of any rhythm and skewness explains the values
   *     clearly worse
   */
  static Optional<TwoLevels.Fit> clear(double[] z) {
    TwoLevels best = null;
    double merit = 0;
    double cost = 0;
    for (double[] lag : LAGS) {
      double[] ahead = without(lag[1], without(lag[0], z));
      TwoLevels model = TwoLevels.begun(ahead);
      double lagCost = cost(lag[0], z.length) + cost(lag[1], z.length);
      boolean lasts = model.shortestStay() >= LEAST_STAY + 2 * (memory(lag[0]) + memory(lag[1]));
      if (lasts && (best == null || model.logLikelihood() - lagCost > merit)) {
        best = model;
        cost = lagCost;
        merit = model.logLikelihood() - lagCost;
      }
    }
    if (best == null) {
      return Optional.empty();
    }
    TwoLevels.Fit fit = best.finished();
    return fit.logLikelihood() - cost - PARAMETERS > OneLevel.merit(z) + CLEAR
        ? Optional.of(fit)
        : Optional.empty();
  }

  /**
   * One parameter, less what taking a lag out stretches the values by: densities shrink with it.
   */
  private static double cost(double lag, int values) {
    return lag == 0 ? 0 : 1 + values * Math.log(1 - lag);
  }

  /** Values after which a lag has forgotten all but 1/e. */
  private static double memory(double lag) {
    return lag == 0 ? 0 : -1 / Math.log(lag);
  }

  private static double[] without(double lag, double[] z) {
    double[] ahead = z.clone();
    for (int i = 1; i < z.length; i++) {
      ahead[i] = (z[i] - lag * z[i - 1]) / (1 - lag);
    }
    return ahead;
  }
}
