package meniscus.core.steadiness;

import java.util.Arrays;

/**
 * How well one level in noise of some rhythm and skewness, whichever, explains a stretch of values.
 * Slow air about one level must not pass for two levels only because the calm record knows no air
 * as slow as that.
 *
 * <p>Two families of autoregressions, the better of which counts: on the last few values (Burg's
 * method, orders 0 to {@value #MOST_ORDER}), and on means over ever longer pasts, for noise of
 * several time scales (Corsi, Journal of Financial Econometrics 7 (2009) 174-196). The order is
 * Akaike's choice. All from memory.
 */
final class OneLevel {

  private static final int MOST_ORDER = 12; // a quarter of a second of short blocks
  private static final int[] PASTS = {1, 2, 5, 15, 45, 135}; // threefold: 20 ms to 2.7 s

  /** Scores at which the curve of skewed noise may bend. */
  private static final double[] CURVE = {-2, -1.2, -0.6, 0, 0.6, 1.2, 2};

  /** No steeper than this, in scores a deviation: values on few counts are no density. */
  private static final double STEEPEST = 10;

  private OneLevel() {}

  /**
   * @param values evenly spaced, some tens at least
   * @return log likelihood less the number of parameters (level and size not counted) of the best
   */
  static double merit(double[] values) {
    double mean = Arrays.stream(values).average().orElse(0);
    double[] rest = Arrays.stream(values).map(v -> v - mean).toArray();
    double straight = Math.max(onLastValues(rest), onPasts(rest));
    return Math.max(straight, curved(rest));
  }

  /**
   * Merit of noise that is Gaussian behind a rising curve: skewed, heavy-tailed or both. The curve
   * is straight between a few of the values' own quantiles; each costs a parameter.
   */
  private static double curved(double[] rest) {
    double[] sorted = rest.clone();
    Arrays.sort(sorted);
    double size = Math.sqrt(Arrays.stream(rest).map(v -> v * v).average().orElse(0));
    double[] knots = new double[CURVE.length];
    for (int k = 0; k < knots.length; k++) {
      double at = sorted[(int) (NormalScores.share(CURVE[k]) * (sorted.length - 1))];
      double least = k == 0 ? at : knots[k - 1] + (CURVE[k] - CURVE[k - 1]) * size / STEEPEST;
      knots[k] = Math.max(at, least);
    }
    double[] behind = new double[rest.length];
    double logSlopes = 0;
    for (int i = 0; i < rest.length; i++) {
      int k = 1;
      while (k < knots.length - 1 && rest[i] > knots[k]) {
        k++;
      }
      double slope = (CURVE[k] - CURVE[k - 1]) / (knots[k] - knots[k - 1]);
      behind[i] = CURVE[k - 1] + slope * (rest[i] - knots[k - 1]);
      logSlopes += Math.log(slope);
    }
    double mean = Arrays.stream(behind).average().orElse(0);
    for (int i = 0; i < behind.length; i++) {
      behind[i] -= mean;
    }
    return onLastValues(behind) + logSlopes - (CURVE.length - 2);
  }

  private static double onLastValues(double[] rest) {
    int n = rest.length;
    double[] forward = rest.clone();
    double[] backward = rest.clone();
    double[][] weights = new double[MOST_ORDER + 1][];
    double[] variance = new double[MOST_ORDER + 1];
    weights[0] = new double[0];
    variance[0] = Arrays.stream(rest).map(v -> v * v).sum() / n;
    double best = merit(rest, weights, variance, 0);
    for (int order = 1; order <= MOST_ORDER; order++) {
      double product = 0;
      double squares = 0;
      for (int t = order; t < n; t++) {
        product += forward[t] * backward[t - 1];
        squares += forward[t] * forward[t] + backward[t - 1] * backward[t - 1];
      }
      double reflection = squares > 0 ? 2 * product / squares : 0;
      for (int t = n - 1; t >= order; t--) {
        double ahead = forward[t];
        forward[t] = ahead - reflection * backward[t - 1];
        backward[t] = backward[t - 1] - reflection * ahead;
      }
      double[] shorter = weights[order - 1];
      double[] longer = Arrays.copyOf(shorter, order);
      for (int i = 0; i < order - 1; i++) {
        longer[i] -= reflection * shorter[order - 2 - i];
      }
      longer[order - 1] = reflection;
      weights[order] = longer;
      variance[order] = variance[order - 1] * (1 - reflection * reflection);
      best = Math.max(best, merit(rest, weights, variance, order));
    }
    return best;
  }

  /** Exact likelihood: the first values are foretold by the shorter autoregressions. */
  private static double merit(double[] rest, double[][] weights, double[] variance, int order) {
    double squares = 0;
    double logRatios = 0;
    for (int t = 0; t < rest.length; t++) {
      double[] w = weights[Math.min(t, order)];
      double error = rest[t];
      for (int i = 0; i < w.length; i++) {
        error -= w[i] * rest[t - 1 - i];
      }
      double ratio = variance[w.length] / variance[order];
      squares += error * error / ratio;
      logRatios += Math.log(ratio);
    }
    return gaussian(squares, rest.length) - 0.5 * logRatios - order;
  }

  private static double onPasts(double[] rest) {
    int n = rest.length;
    double[] sums = new double[n + 1];
    for (int t = 0; t < n; t++) {
      sums[t + 1] = sums[t] + rest[t];
    }
    double best = Double.NEGATIVE_INFINITY;
    for (int count = 1; count <= PASTS.length; count++) {
      double[][] normal = new double[count][count + 1];
      double[] past = new double[count];
      for (int t = 0; t < n; t++) {
        fill(past, sums, t);
        for (int i = 0; i < count; i++) {
          for (int k = 0; k < count; k++) {
            normal[i][k] += past[i] * past[k];
          }
          normal[i][count] += past[i] * rest[t];
        }
      }
      double[] weights = solved(normal);
      double squares = 0;
      for (int t = 0; t < n; t++) {
        fill(past, sums, t);
        double error = rest[t];
        for (int i = 0; i < count; i++) {
          error -= weights[i] * past[i];
        }
        squares += error * error;
      }
      best = Math.max(best, gaussian(squares, n) - count);
    }
    return best;
  }

  /** Means over the pasts at a time; what lies before the first value counts as the level. */
  private static void fill(double[] past, double[] sums, int t) {
    for (int i = 0; i < past.length; i++) {
      past[i] = (sums[t] - sums[Math.max(0, t - PASTS[i])]) / PASTS[i];
    }
  }

  /** Gauss and Jordan; a past that says nothing new gets next to no weight. */
  private static double[] solved(double[][] a) {
    int n = a.length;
    for (int i = 0; i < n; i++) {
      a[i][i] = a[i][i] * (1 + 1e-9) + Double.MIN_NORMAL;
      for (int row = 0; row < n; row++) {
        double by = a[row][i] / a[i][i];
        for (int k = i; row != i && k <= n; k++) {
          a[row][k] -= by * a[i][k];
        }
      }
    }
    double[] weights = new double[n];
    for (int i = 0; i < n; i++) {
      weights[i] = a[i][n] / a[i][i];
    }
    return weights;
  }

  /** Log likelihood of errors at the likeliest size. */
  private static double gaussian(double squares, int n) {
    return -0.5 * n * (Math.log(2 * Math.PI * (squares / n + Double.MIN_NORMAL)) + 1);
  }
}
