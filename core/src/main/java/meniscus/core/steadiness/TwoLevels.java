package meniscus.core.steadiness;

/**
 * Is it one level or two? A hidden Markov chain of two levels with first-order autoregressive noise
 * against the same noise about one level; fitted by expectation maximisation from three starts.
 *
 * <p>Source: Hamilton, Econometrica 57 (1989) 357-384, regime switching with autoregressive noise
 * (from memory).
 */
final class TwoLevels {

  private static final int ROUNDS = 30; // the last add less than ENOUGH in nearly all fits
  private static final int FIRST_ROUNDS = 6; // after which only the likeliest start goes on
  private static final double ENOUGH = 1e-3; // of a log likelihood: far below any limit
  private static final double MOST_EXPONENT = 300; // twice that is still a number

  private final double[] z;
  private final int n;
  private final boolean fitPhi;
  private double phi;
  private double sigma2;
  private final Size size;
  private final double[] mu = new double[2];
  private final double[][] stay = new double[2][2];
  private final double[] alpha; // two a value: lower, upper
  private final double[] gamma;
  private final double[] pair; // four a value: from lower to lower, to upper, from upper ...
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
    alpha = new double[2 * n];
    gamma = new double[2 * n];
    pair = new double[4 * n];
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
    double[][] starts = {{-1, 1}, {-2.2, 0.4}, {-0.4, 2.2}}; // half, a sixth, five sixths above
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
      upper += gamma[2 * t + 1];
      jumps += t > 0 && gamma[2 * t + 1] > 0.5 != gamma[2 * t - 1] > 0.5 ? 1 : 0;
    }
    return Math.min(upper, n - upper) / (0.5 * jumps + 1);
  }

  Fit finished() {
    maximise(ROUNDS - FIRST_ROUNDS);
    return result();
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

  /**
   * Forward and backward sweep; log likelihood.
   *
   * <p>A step from level a to b is off by d - c, where d is the value's distance from the middle
   * and c one of ±near (staying) and ±far (jumping). exp(-(d - c)²/2σ²) is exp(-d²/2σ²), the same
   * for all four and taken into the logarithm, times exp((d·c - c²/2)/σ²): two exponentials and
   * their inverses a value, not four.
   */
  private double expect() {
    double first = sigma2 / (1 - phi * phi);
    double p1 = stay[0][1] / (stay[0][1] + stay[1][0]);
    double e0 = z[0] - mu[0];
    double e1 = z[0] - mu[1];
    double begin0 = (1 - p1) * Math.exp(-0.5 * e0 * e0 / first) / Math.sqrt(first);
    double begin1 = p1 * Math.exp(-0.5 * e1 * e1 / first) / Math.sqrt(first);
    double total = begin0 + begin1 + 1e-300;
    double a0 = begin0 / total;
    double a1 = begin1 / total;
    alpha[0] = a0;
    alpha[1] = a1;
    double sum = Math.log(total);
    double squares = 0;
    double product = 1;
    double middle = 0.5 * (mu[0] + mu[1]) * (1 - phi);
    double near = 0.5 * (mu[1] - mu[0]) * (1 - phi);
    double far = 0.5 * (mu[1] - mu[0]) * (1 + phi);
    double root = 1 / Math.sqrt(sigma2);
    double nearest = Math.exp(-0.5 * near * near / sigma2) * root;
    double farthest = Math.exp(-0.5 * far * far / sigma2) * root;
    double stay0 = nearest * stay[0][0];
    double stay1 = nearest * stay[1][1];
    double up = farthest * stay[0][1];
    double down = farthest * stay[1][0];
    for (int t = 1; t < n; t++) {
      double d = z[t] - phi * z[t - 1] - middle;
      squares += d * d;
      double x = bounded(d * near / sigma2);
      double y = bounded(d * far / sigma2);
      double upper = Math.exp(x);
      double rise = Math.exp(y);
      double g00 = stay0 / upper;
      double g11 = stay1 * upper;
      double g01 = up * rise;
      double g10 = down / rise;
      double into0 = a0 * g00 + a1 * g10;
      double into1 = a0 * g01 + a1 * g11;
      total = into0 + into1 + 1e-300;
      double each = 1 / total;
      int at = 4 * t;
      pair[at] = g00 * each;
      pair[at + 1] = g01 * each;
      pair[at + 2] = g10 * each;
      pair[at + 3] = g11 * each;
      a0 = into0 * each;
      a1 = into1 * each;
      alpha[2 * t] = a0;
      alpha[2 * t + 1] = a1;
      product *= total;
      if (!(product > 1e-150 && product < 1e150)) {
        sum += Math.log(product);
        product = 1;
      }
    }
    sum += Math.log(product) - 0.5 * squares / sigma2;
    double b0 = 1;
    double b1 = 1;
    for (int t = n - 1; t > 0; t--) {
      gamma[2 * t] = alpha[2 * t] * b0;
      gamma[2 * t + 1] = alpha[2 * t + 1] * b1;
      double before0 = alpha[2 * t - 2];
      double before1 = alpha[2 * t - 1];
      int at = 4 * t;
      double w00 = pair[at] * b0;
      double w01 = pair[at + 1] * b1;
      double w10 = pair[at + 2] * b0;
      double w11 = pair[at + 3] * b1;
      b0 = w00 + w01;
      b1 = w10 + w11;
      pair[at] = before0 * w00;
      pair[at + 1] = before0 * w01;
      pair[at + 2] = before1 * w10;
      pair[at + 3] = before1 * w11;
    }
    gamma[0] = alpha[0] * b0;
    gamma[1] = alpha[1] * b1;
    return sum - 0.5 * n * Math.log(2 * Math.PI) + size.logPrior(sigma2);
  }

  /** Further off than this one level is as sure as can be. */
  private static double bounded(double exponent) {
    return Math.max(-MOST_EXPONENT, Math.min(MOST_EXPONENT, exponent));
  }

  private void improve() {
    double q = 1 - phi * phi;
    double a00 = q * gamma[0] + 1e-9;
    double a01 = 0;
    double a11 = q * gamma[1] + 1e-9;
    double h0 = q * gamma[0] * z[0];
    double h1 = q * gamma[1] * z[0];
    double same = 1 - phi;
    double s00 = 0.9; // one imagined step: keeps chances off 0 and 1
    double s01 = 0.1;
    double s10 = 0.1;
    double s11 = 0.9;
    for (int t = 1; t < n; t++) {
      double y = z[t] - phi * z[t - 1];
      double w00 = pair[4 * t];
      double w01 = pair[4 * t + 1];
      double w10 = pair[4 * t + 2];
      double w11 = pair[4 * t + 3];
      a00 += w00 * same * same + w10 + w01 * phi * phi;
      a11 += w11 * same * same + w01 + w10 * phi * phi;
      a01 -= (w01 + w10) * phi;
      h0 += y * (w00 * same + w10 - w01 * phi);
      h1 += y * (w11 * same + w01 - w10 * phi);
      s00 += w00;
      s01 += w01;
      s10 += w10;
      s11 += w11;
    }
    double det = a00 * a11 - a01 * a01;
    mu[0] = (a11 * h0 - a01 * h1) / det;
    mu[1] = (a00 * h1 - a01 * h0) / det;
    stay[0][0] = s00 / (s00 + s01);
    stay[0][1] = s01 / (s00 + s01);
    stay[1][0] = s10 / (s10 + s11);
    stay[1][1] = s11 / (s10 + s11);
    if (fitPhi) {
      fitCorrelation();
    }
    sigma2 = Math.max(least, size.estimate(squaresLeft(), n));
  }

  private void fitCorrelation() {
    double cross = 0;
    double own = 0;
    for (int t = 1; t < n; t++) {
      double u0 = z[t - 1] - mu[0];
      double u1 = z[t - 1] - mu[1];
      double v0 = z[t] - mu[0];
      double v1 = z[t] - mu[1];
      double w00 = pair[4 * t];
      double w01 = pair[4 * t + 1];
      double w10 = pair[4 * t + 2];
      double w11 = pair[4 * t + 3];
      cross += u0 * (w00 * v0 + w01 * v1) + u1 * (w10 * v0 + w11 * v1);
      own += (w00 + w01) * u0 * u0 + (w10 + w11) * u1 * u1;
    }
    phi = Math.max(0, Math.min(0.98, cross / own));
  }

  private double squaresLeft() {
    double q = 1 - phi * phi;
    double s =
        q
            * (gamma[0] * (z[0] - mu[0]) * (z[0] - mu[0])
                + gamma[1] * (z[0] - mu[1]) * (z[0] - mu[1]));
    double middle = 0.5 * (mu[0] + mu[1]) * (1 - phi);
    double near = 0.5 * (mu[1] - mu[0]) * (1 - phi);
    double far = 0.5 * (mu[1] - mu[0]) * (1 + phi);
    for (int t = 1; t < n; t++) {
      double d = z[t] - phi * z[t - 1] - middle;
      s +=
          pair[4 * t] * (d + near) * (d + near)
              + pair[4 * t + 1] * (d - far) * (d - far)
              + pair[4 * t + 2] * (d + far) * (d + far)
              + pair[4 * t + 3] * (d - near) * (d - near);
    }
    return s;
  }

  private Fit result() {
    boolean swap = mu[0] > mu[1];
    double[] upper = new double[n];
    for (int t = 0; t < n; t++) {
      upper[t] = swap ? gamma[2 * t] : gamma[2 * t + 1];
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
