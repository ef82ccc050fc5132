package meniscus.core.compare;

import java.util.Arrays;
import java.util.stream.IntStream;
import org.hipparchus.distribution.continuous.FDistribution;

/**
 * How much runs of one and the same thing differ, lift by lift, learned from repeats.
 *
 * <p>Model of the relative variance: v(L) = a² + b²·(L₁/L)². The first part is what moves the whole
 * curve (placing the adapter and the entry); the second is an error of lift, which weighs as 1/L
 * where flow grows with lift. Fitting it over all lifts pools their few degrees of freedom. A lift
 * that scatters more than the model allows (F test, 1 %) keeps its own variance.
 *
 * @param lifts [m], rising
 * @param relativeVariances of one run [1]
 * @param degreesOfFreedom behind each of them
 * @param correlation between lifts of one run [1]
 */
record ScatterProfile(
    double[] lifts, double[] relativeVariances, double[] degreesOfFreedom, double correlation) {

  // Two terms are fitted, and two lifts must be left to doubt them.
  private static final int FEWEST_LIFTS = 4;
  private static final double ODD_LIFT = 0.99; // of the F test, as above

  /**
   * @param lifts [m], rising
   * @param covariance sample covariance of the relative deviations between lifts
   * @param runDegreesOfFreedom of it
   */
  static ScatterProfile fitted(double[] lifts, double[][] covariance, double runDegreesOfFreedom) {
    int size = lifts.length;
    double[] raw = IntStream.range(0, size).mapToDouble(i -> covariance[i][i]).toArray();
    double correlation = correlation(covariance);
    double[] own = new double[size];
    Arrays.fill(own, runDegreesOfFreedom);
    if (size < FEWEST_LIFTS) {
      return new ScatterProfile(lifts, raw, own, correlation);
    }
    double[] liftError = new double[size];
    for (int i = 0; i < size; i++) {
      double ratio = lifts[i] > 0 ? lifts[0] / lifts[i] : 1;
      liftError[i] = ratio * ratio;
    }
    TwoTermFit fit = TwoTermFit.of(liftError, raw);
    double[] degrees =
        fit.degreesOfFreedom(cautious(correlation, runDegreesOfFreedom), runDegreesOfFreedom);
    double[] variances = fit.values();
    for (int i = 0; i < size; i++) {
      double limit =
          new FDistribution(runDegreesOfFreedom, degrees[i]).inverseCumulativeProbability(ODD_LIFT);
      if (raw[i] > limit * variances[i]) {
        variances[i] = raw[i];
        degrees[i] = runDegreesOfFreedom;
      }
    }
    return new ScatterProfile(lifts, variances, degrees, correlation);
  }

  /** Mean of the correlations of all pairs of lifts, 0 to 1. */
  private static double correlation(double[][] covariance) {
    double sum = 0;
    int pairs = 0;
    for (int i = 0; i < covariance.length; i++) {
      for (int j = 0; j < i; j++) {
        double product = covariance[i][i] * covariance[j][j];
        if (product > 0) {
          sum += covariance[i][j] / Math.sqrt(product);
          pairs++;
        }
      }
    }
    return pairs == 0 ? 0 : Math.max(0, Math.min(1, sum / pairs));
  }

  /**
   * Upper limit (95 %) of a correlation known from few runs, by Fisher's transformation: a mean
   * over lifts is not to look surer than it is because the correlation came out low by chance.
   */
  static double cautious(double correlation, double degreesOfFreedom) {
    double z = 0.5 * Math.log((1 + correlation) / Math.max(1e-9, 1 - correlation));
    double upper = z + 1.645 / Math.sqrt(Math.max(1, degreesOfFreedom - 1));
    return Math.tanh(upper);
  }

  /** Weighted least squares of v = a + b·x with a, b ≥ 0 and weights 1/v². */
  private record TwoTermFit(double[] x, double[] values) {

    private static final int ROUNDS = 25; // our own choice: an end, well after the weights rest

    static TwoTermFit of(double[] x, double[] raw) {
      double mean = Arrays.stream(raw).average().orElseThrow();
      double floor = Math.max(1e-3 * mean, 1e-16);
      double[] v = new double[raw.length];
      Arrays.fill(v, Math.max(mean, floor));
      for (int round = 0; round < ROUNDS; round++) {
        double sw = 0;
        double swx = 0;
        double swxx = 0;
        double swy = 0;
        double swxy = 0;
        for (int i = 0; i < raw.length; i++) {
          double w = 1 / (v[i] * v[i]);
          sw += w;
          swx += w * x[i];
          swxx += w * x[i] * x[i];
          swy += w * raw[i];
          swxy += w * x[i] * raw[i];
        }
        double determinant = sw * swxx - swx * swx;
        double a = (swxx * swy - swx * swxy) / determinant;
        double b = (sw * swxy - swx * swy) / determinant;
        if (!(determinant > 0) || b < 0) {
          a = swy / sw;
          b = 0;
        } else if (a < 0) {
          a = 0;
          b = swxy / swxx;
        }
        for (int i = 0; i < raw.length; i++) {
          v[i] = Math.max(floor, a + b * x[i]);
        }
      }
      return new TwoTermFit(x, v);
    }

    /**
     * ν = 2v²/Var(v), with the variance of the fit when sample variances of two lifts are
     * correlated by the square of the correlation of their values.
     */
    double[] degreesOfFreedom(double correlation, double runDegreesOfFreedom) {
      int size = x.length;
      double sw = 0;
      double swx = 0;
      double swxx = 0;
      for (int i = 0; i < size; i++) {
        double w = 1 / (values[i] * values[i]);
        sw += w;
        swx += w * x[i];
        swxx += w * x[i] * x[i];
      }
      double determinant = sw * swxx - swx * swx;
      double[] degrees = new double[size];
      for (int at = 0; at < size; at++) {
        double[] gain = new double[size];
        for (int i = 0; i < size; i++) {
          double w = 1 / (values[i] * values[i]);
          gain[i] =
              w * ((swxx - swx * x[at]) + x[i] * (sw * x[at] - swx)) / determinant * values[i];
        }
        double variance = 0;
        for (int i = 0; i < size; i++) {
          for (int j = 0; j < size; j++) {
            variance += gain[i] * gain[j] * (i == j ? 1 : correlation * correlation);
          }
        }
        variance *= 2 / runDegreesOfFreedom;
        double exact = 2 * values[at] * values[at] / variance;
        degrees[at] = Math.max(runDegreesOfFreedom, exact);
      }
      return degrees;
    }
  }
}
