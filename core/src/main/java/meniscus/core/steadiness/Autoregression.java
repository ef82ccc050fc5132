package meniscus.core.steadiness;

import java.util.Arrays;
import java.util.List;
import java.util.SplittableRandom;

/**
 * The rhythm of a series about zero: each value foretold by those before it. Yule and Walker's
 * equations by Levinson's recursion, order by Akaike's criterion (Brockwell and Davis, Time Series:
 * Theory and Methods, sections 8.1 and 9.3, from memory).
 */
final class Autoregression {

  /** Six seconds of blocks: longer memory than that a reading of 20 s cannot show. Our choice. */
  private static final int MOST_ORDER = 60;

  /**
   * Share of a rhythm's variance that cannot be foretold, at least; else it is none. Our choice.
   */
  private static final double LEAST_LEFT = 0.01;

  private final double[] covariance;
  private final int values; // that it was learned from
  private final double[][] weights; // of each order up to the chosen one, nearest value first
  private final double[] variance; // left by each order

  private Autoregression(double[] covariance, int values, double[][] weights, double[] variance) {
    this.covariance = covariance;
    this.values = values;
    this.weights = weights;
    this.variance = variance;
  }

  /**
   * @param runs series about zero of one rhythm; NaN where a value is missing
   */
  static Autoregression of(List<double[]> runs) {
    int values = runs.stream().mapToInt(run -> run.length).sum();
    int longest = runs.stream().mapToInt(run -> run.length).max().orElse(0);
    int most = Math.max(0, Math.min(MOST_ORDER, Math.min(longest / 4, values / 20)));
    double[] covariance = new double[most + 1];
    for (double[] run : runs) {
      for (int lag = 0; lag <= most; lag++) {
        for (int t = lag; t < run.length; t++) {
          double product = run[t] * run[t - lag];
          covariance[lag] += Double.isNaN(product) ? 0 : product / values;
        }
      }
    }
    return of(covariance, values);
  }

  /**
   * The rhythm of what is left when white noise is taken off, as far as a rhythm is left then.
   *
   * @param share of the variance that is white
   */
  Autoregression without(double share) {
    for (double part = 1; part > 0.05; part -= 0.1) {
      double[] left = covariance.clone();
      left[0] *= 1 - part * share;
      Autoregression rest = of(left, values);
      if (rest.variance[rest.variance.length - 1] > LEAST_LEFT * rest.variance[0]) {
        return rest;
      }
    }
    return this;
  }

  private static Autoregression of(double[] covariance, int values) {
    int most = covariance.length - 1;
    double[][] weights = new double[most + 1][];
    double[] variance = new double[most + 1];
    weights[0] = new double[0];
    variance[0] = Math.max(covariance[0], 1e-12);
    int order = 0;
    double best = values * Math.log(variance[0]);
    for (int k = 1; k <= most; k++) {
      double left = covariance[k];
      for (int i = 0; i < k - 1; i++) {
        left -= weights[k - 1][i] * covariance[k - 1 - i];
      }
      double reflection = Math.max(-0.9999, Math.min(0.9999, left / variance[k - 1]));
      weights[k] = Arrays.copyOf(weights[k - 1], k);
      for (int i = 0; i < k - 1; i++) {
        weights[k][i] -= reflection * weights[k - 1][k - 2 - i];
      }
      weights[k][k - 1] = reflection;
      variance[k] = variance[k - 1] * (1 - reflection * reflection);
      double criterion = values * Math.log(variance[k]) + 2 * k;
      if (criterion < best) {
        best = criterion;
        order = k;
      }
    }
    return new Autoregression(
        covariance, values, Arrays.copyOf(weights, order + 1), Arrays.copyOf(variance, order + 1));
  }

  /** Correlation of neighbouring values. */
  double neighbours() {
    return covariance.length > 1 ? covariance[1] / variance[0] : 0;
  }

  /** Variance of the series. */
  double variance() {
    return variance[0];
  }

  /** Mean square of what could not be foretold, over what is expected; missing values pass. */
  double meanSquareLeft(double[] series) {
    double[] known = new double[series.length];
    double sum = 0;
    int count = 0;
    for (int t = 0; t < series.length; t++) {
      int order = Math.min(t, weights.length - 1);
      double foretold = foretold(known, t, order);
      known[t] = Double.isNaN(series[t]) ? foretold : series[t];
      if (!Double.isNaN(series[t])) {
        sum += (series[t] - foretold) * (series[t] - foretold) / variance[order];
        count++;
      }
    }
    return sum / Math.max(1, count);
  }

  /** A series of this rhythm, Gaussian, of variance one. */
  double[] draw(int count, SplittableRandom random) {
    double[] drawn = new double[count];
    double size = Math.sqrt(variance[0]);
    for (int t = 0; t < count; t++) {
      int order = Math.min(t, weights.length - 1);
      double left = Math.sqrt(variance[order]) / size;
      drawn[t] = foretold(drawn, t, order) + left * random.nextGaussian();
    }
    return drawn;
  }

  private double foretold(double[] series, int t, int order) {
    double[] w = weights[order];
    double sum = 0;
    for (int i = 0; i < w.length; i++) {
      sum += w[i] * series[t - 1 - i];
    }
    return sum;
  }
}
