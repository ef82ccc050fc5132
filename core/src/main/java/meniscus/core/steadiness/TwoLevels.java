package meniscus.core.steadiness;

/**
 * Is it one level or two? A hidden Markov chain of two levels with first-order autoregressive noise
 * against the same noise about one level; fitted by expectation maximisation from three starts.
 *
 * <p>Source: Hamilton, Econometrica 57 (1989) 357-384, regime switching with autoregressive noise
 * (from memory).
 */
final class TwoLevels {

  private static final int ROUNDS = 30;
  private static final int FIRST_ROUNDS = 6; // after which only the likeliest start goes on
  private static final double ENOUGH = 1e-3;

  private final double[] z;
  private final int n;
  private final boolean fitPhi;
  private double phi;
  private double sigma2;
  private final Size size;
  private final double[] mu = new double[2];
  private final double[][] stay = new double[2][2];
  private final double[][] alpha;
  private final double[][] gamma;
  private final double[][][] pair;
  private final double[] norm;
  private double least;
  private double log;
  private double oneLog;
  private boolean arrived;

  /**
   * @param likelihoodRatio twice the gain in log likelihood over one level in noise of the same
   *     kind
   * @param logLikelihood of two levels
   * @param low lower level
   * @param high upper level
   * @param upper chance of the upper level, per value
   */
  record Fit(
      double likelihoodRatio, double logLikelihood, double low, double high, double[] upper) {

    int jumps() {
      int jumps = 0;
      for (int i = 1; i < upper.length; i++) {
        jumps += upper[i] > 0.5 != upper[i - 1] > 0.5 ? 1 : 0;
      }
      return jumps;
    }

    double shareHigh() {
      double sum = 0;
      for (double u : upper) {
        sum += u;
      }
      return sum / upper.length;
    }
  }

  /**
   * What is known beforehand of the noise left after one step of correlation.
   *
   * @param variance expected
   * @param weight values that this knowledge is worth; 0 for none
   */
  record Size(double variance, double weight) {
    static final Size UNKNOWN = new Size(1, 0);

    double estimate(double squares, int count) {
      return (squares + weight * variance) / (count + weight);
    }

    double logPrior(double sigma2) {
      return -0.5 * weight * (Math.log(sigma2) + variance / sigma2);
    }
  }

  private TwoLevels(double[] z, double phi, boolean fitPhi, Size size) {
    this.size = size;
    this.z = z;
    this.n = z.length;
    this.phi = phi;
    this.fitPhi = fitPhi;
    alpha = new double[n][2];
    gamma = new double[n][2];
    pair = new double[n][2][2];
    norm = new double[n];
  }

  /**
   * @param z evenly spaced values, at least 8
   * @param phi correlation of neighbours
   */
  static Fit fit(double[] z, double phi, Size size) {
    return begun(z, phi, false, size).finished();
  }

  /**
   * A first fit, with the correlation of neighbours fitted as well: enough to tell which of several
   * is worth finishing.
   *
   * @param z evenly spaced values, at least 8
   */
  static TwoLevels begun(double[] z) {
    return begun(z, 0, true, Size.UNKNOWN);
  }

  private static TwoLevels begun(double[] z, double phi, boolean fitPhi, Size size) {
    double mean = 0;
    double square = 0;
    for (double v : z) {
      mean += v / z.length;
    }
    for (double v : z) {
      square += (v - mean) * (v - mean) / z.length;
    }
    double sd = Math.sqrt(square);
    double[] one = oneLevel(z, mean, phi, fitPhi, size);
    double[][] starts = {{-1, 1}, {-2.2, 0.4}, {-0.4, 2.2}};
    TwoLevels best = null;
    for (double[] start : starts) {
      TwoLevels model = new TwoLevels(z, fitPhi ? 0.3 * one[1] : phi, fitPhi, size);
      model.oneLog = one[0];
      model.begin(mean + start[0] * sd, mean + start[1] * sd, 0.4 * square + Double.MIN_NORMAL);
      model.maximise(FIRST_ROUNDS);
      best = best == null || model.log > best.log ? model : best;
    }
    return best;
  }

  double logLikelihood() {
    return log;
  }

  /** Mean stay at the level that is left sooner, in values. */
  double shortestStay() {
    double upper = 0;
    int jumps = 0;
    for (int t = 0; t < n; t++) {
      upper += gamma[t][1];
      jumps += t > 0 && gamma[t][1] > 0.5 != gamma[t - 1][1] > 0.5 ? 1 : 0;
    }
    return Math.min(upper, n - upper) / (0.5 * jumps + 1);
  }

  Fit finished() {
    maximise(ROUNDS - FIRST_ROUNDS);
    return result();
  }

  /** Variance left after one step of correlation, when there is one level. */
  static double leftVariance(double[] z, double phi) {
    return oneLevel(z, 0, phi, false, Size.UNKNOWN)[2];
  }

  /** Log likelihood, phi and variance left of one level. */
  private static double[] oneLevel(double[] z, double start, double phi, boolean free, Size size) {
    double mu = start;
    double f = phi;
    for (int round = 0; round < 20; round++) {
      double a = 1 - f * f;
      double b = (1 - f * f) * z[0];
      for (int i = 1; i < z.length; i++) {
        a += (1 - f) * (1 - f);
        b += (1 - f) * (z[i] - f * z[i - 1]);
      }
      mu = b / a;
      if (free) {
        double c = 0;
        double d = 0;
        for (int i = 1; i < z.length; i++) {
          c += (z[i] - mu) * (z[i - 1] - mu);
          d += (z[i - 1] - mu) * (z[i - 1] - mu);
        }
        f = Math.max(0, Math.min(0.98, c / d));
      }
    }
    double s = (1 - f * f) * (z[0] - mu) * (z[0] - mu);
    for (int i = 1; i < z.length; i++) {
      double e = z[i] - mu - f * (z[i - 1] - mu);
      s += e * e;
    }
    double sigma2 = size.estimate(s, z.length);
    double log =
        -0.5 * z.length * Math.log(2 * Math.PI * sigma2)
            - 0.5 * s / sigma2
            + size.logPrior(sigma2)
            + 0.5 * Math.log(1 - f * f);
    return new double[] {log, f, sigma2};
  }

  private void begin(double low, double high, double variance) {
    mu[0] = low;
    mu[1] = high;
    sigma2 = variance * (1 - phi * phi);
    stay[0][0] = stay[1][1] = 0.95;
    stay[0][1] = stay[1][0] = 0.05;
    least = 1e-4 * variance;
    log = expect();
  }

  private void maximise(int rounds) {
    for (int round = 0; round < rounds && !arrived; round++) {
      improve();
      double next = expect();
      arrived = next - log < ENOUGH;
      log = next;
    }
  }

  /** Forward and backward sweep; log likelihood. */
  private double expect() {
    double sum = 0;
    double first = sigma2 / (1 - phi * phi);
    double total = 0;
    double p1 = stay[0][1] / (stay[0][1] + stay[1][0]);
    for (int b = 0; b < 2; b++) {
      double e = z[0] - mu[b];
      alpha[0][b] = (b == 0 ? 1 - p1 : p1) * Math.exp(-0.5 * e * e / first) / Math.sqrt(first);
      total += alpha[0][b];
    }
    total += 1e-300;
    alpha[0][0] /= total;
    alpha[0][1] /= total;
    sum += Math.log(total);
    double root = 1 / Math.sqrt(sigma2);
    for (int t = 1; t < n; t++) {
      total = 1e-300;
      for (int b = 0; b < 2; b++) {
        double into = 0;
        for (int a = 0; a < 2; a++) {
          double e = z[t] - mu[b] - phi * (z[t - 1] - mu[a]);
          double g = Math.exp(-0.5 * e * e / sigma2) * root * stay[a][b];
          pair[t][a][b] = g;
          into += alpha[t - 1][a] * g;
        }
        alpha[t][b] = into;
        total += into;
      }
      alpha[t][0] /= total;
      alpha[t][1] /= total;
      norm[t] = total;
      sum += Math.log(total);
    }
    double b0 = 1;
    double b1 = 1;
    for (int t = n - 1; t >= 0; t--) {
      gamma[t][0] = alpha[t][0] * b0;
      gamma[t][1] = alpha[t][1] * b1;
      if (t > 0) {
        double[][] g = pair[t];
        double c0 = (g[0][0] * b0 + g[0][1] * b1) / norm[t];
        double c1 = (g[1][0] * b0 + g[1][1] * b1) / norm[t];
        for (int a = 0; a < 2; a++) {
          g[a][0] = alpha[t - 1][a] * g[a][0] * b0 / norm[t];
          g[a][1] = alpha[t - 1][a] * g[a][1] * b1 / norm[t];
        }
        b0 = c0;
        b1 = c1;
      }
    }
    return sum - 0.5 * n * Math.log(2 * Math.PI) + size.logPrior(sigma2);
  }

  private void improve() {
    double[][] moves = {{0.9, 0.1}, {0.1, 0.9}}; // one imagined step: keeps chances off 0 and 1
    double a00 = 0;
    double a01 = 0;
    double a11 = 0;
    double h0 = 0;
    double h1 = 0;
    double q = 1 - phi * phi;
    a00 += q * gamma[0][0];
    a11 += q * gamma[0][1];
    h0 += q * gamma[0][0] * z[0];
    h1 += q * gamma[0][1] * z[0];
    for (int t = 1; t < n; t++) {
      double y = z[t] - phi * z[t - 1];
      double[][] w = pair[t];
      double same = 1 - phi;
      a00 += w[0][0] * same * same + w[1][0] + w[0][1] * phi * phi;
      a11 += w[1][1] * same * same + w[0][1] + w[1][0] * phi * phi;
      a01 -= (w[0][1] + w[1][0]) * phi;
      h0 += y * (w[0][0] * same + w[1][0] - w[0][1] * phi);
      h1 += y * (w[1][1] * same + w[0][1] - w[1][0] * phi);
      for (int a = 0; a < 2; a++) {
        moves[a][0] += w[a][0];
        moves[a][1] += w[a][1];
      }
    }
    a00 += 1e-9;
    a11 += 1e-9;
    double det = a00 * a11 - a01 * a01;
    mu[0] = (a11 * h0 - a01 * h1) / det;
    mu[1] = (a00 * h1 - a01 * h0) / det;
    for (int a = 0; a < 2; a++) {
      double sum = moves[a][0] + moves[a][1];
      stay[a][0] = moves[a][0] / sum;
      stay[a][1] = moves[a][1] / sum;
    }
    double cross = 0;
    double own = 0;
    for (int t = 1; fitPhi && t < n; t++) {
      for (int a = 0; a < 2; a++) {
        for (int b = 0; b < 2; b++) {
          double u = z[t - 1] - mu[a];
          cross += pair[t][a][b] * u * (z[t] - mu[b]);
          own += pair[t][a][b] * u * u;
        }
      }
    }
    phi = fitPhi ? Math.max(0, Math.min(0.98, cross / own)) : phi;
    double s = 0;
    for (int b = 0; b < 2; b++) {
      s += gamma[0][b] * (z[0] - mu[b]) * (z[0] - mu[b]) * (1 - phi * phi);
    }
    for (int t = 1; t < n; t++) {
      for (int a = 0; a < 2; a++) {
        for (int b = 0; b < 2; b++) {
          double e = z[t] - mu[b] - phi * (z[t - 1] - mu[a]);
          s += pair[t][a][b] * e * e;
        }
      }
    }
    sigma2 = Math.max(least, size.estimate(s, n));
  }

  private Fit result() {
    boolean swap = mu[0] > mu[1];
    double[] upper = new double[n];
    for (int t = 0; t < n; t++) {
      upper[t] = swap ? gamma[t][0] : gamma[t][1];
    }
    double above = 0;
    double aboveSum = 0;
    double belowSum = 0;
    for (int t = 0; t < n; t++) {
      above += upper[t];
      aboveSum += upper[t] * z[t];
      belowSum += (1 - upper[t]) * z[t];
    }
    // Plain means: the fit's own levels lean on the jumps, which a slow gauge smears.
    return new Fit(
        2 * (log - oneLog),
        log,
        above < n ? belowSum / (n - above) : mu[swap ? 1 : 0],
        above > 0 ? aboveSum / above : mu[swap ? 0 : 1],
        upper);
  }
}
