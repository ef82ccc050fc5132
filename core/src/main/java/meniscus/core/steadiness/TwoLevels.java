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

  private final double mean; // of the values; all else is about it
  private final double[] z;
  private final int n;
  private final boolean fitPhi;
  private double phi;
  private double sigma2;
  private final Size size;
  private final double[] mu = new double[2];
  private final double[][] stay = new double[2][2];
  private final double[] state; // chances, two a value: lower, upper
  private final double[] step; // four a value: from lower to lower, to upper, from upper ...
  private final StepSums steps;
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

  private TwoLevels(
      double mean, double[] z, StepSums.All all, double phi, boolean fitPhi, Size size) {
    this.mean = mean;
    this.size = size;
    this.z = z;
    this.steps = new StepSums(all);
    this.n = z.length;
    this.phi = phi;
    this.fitPhi = fitPhi;
    state = new double[2 * n];
    step = new double[4 * n];
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
    double[] about = new double[z.length];
    for (int t = 0; t < z.length; t++) {
      about[t] = z[t] - mean;
    }
    StepSums.All all = StepSums.All.of(about);
    double[] one = oneLevel(about, phi, fitPhi, size);
    double[][] starts = {{-1, 1}, {-2.2, 0.4}, {-0.4, 2.2}}; // half, a sixth, five sixths above
    TwoLevels best = null;
    for (double[] start : starts) {
      TwoLevels model = new TwoLevels(mean, about, all, fitPhi ? 0.3 * one[1] : phi, fitPhi, size);
      model.oneLog = one[0];
      model.begin(start[0] * sd, start[1] * sd, 0.4 * square + Double.MIN_NORMAL);
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
      upper += state[2 * t + 1];
      jumps += t > 0 && state[2 * t + 1] > 0.5 != state[2 * t - 1] > 0.5 ? 1 : 0;
    }
    return Math.min(upper, n - upper) / (0.5 * jumps + 1);
  }

  Fit finished() {
    maximise(ROUNDS - FIRST_ROUNDS);
    return result();
  }

  /** Log likelihood, phi and variance left of one level. */
  private static double[] oneLevel(double[] z, double phi, boolean free, Size size) {
    double mu = 0;
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
    state[0] = a0;
    state[1] = a1;
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
    double perNear = near / sigma2;
    double perFar = far / sigma2;
    for (int t = 1; t < n; t++) {
      double d = z[t] - phi * z[t - 1] - middle;
      squares += d * d;
      double upper = Math.exp(bounded(d * perNear));
      double rise = Math.exp(bounded(d * perFar));
      double g00 = stay0 / upper;
      double g11 = stay1 * upper;
      double g01 = up * rise;
      double g10 = down / rise;
      double into0 = a0 * g00 + a1 * g10;
      double into1 = a0 * g01 + a1 * g11;
      total = into0 + into1 + 1e-300;
      double each = 1 / total;
      int at = 4 * t;
      step[at] = g00 * each;
      step[at + 1] = g01 * each;
      step[at + 2] = g10 * each;
      step[at + 3] = g11 * each;
      a0 = into0 * each;
      a1 = into1 * each;
      state[2 * t] = a0;
      state[2 * t + 1] = a1;
      product *= total;
      if (!(product > 1e-150 && product < 1e150)) {
        sum += Math.log(product);
        product = 1;
      }
    }
    sum += Math.log(product) - 0.5 * squares / sigma2;
    steps.sweepBack(z, state, step);
    return sum - 0.5 * n * Math.log(2 * Math.PI) + size.logPrior(sigma2);
  }

  /** Further off than this one level is as sure as can be. */
  private static double bounded(double exponent) {
    if (exponent > MOST_EXPONENT) { // Math.min and max are no instructions to a quick compiler
      return MOST_EXPONENT;
    }
    return exponent < -MOST_EXPONENT ? -MOST_EXPONENT : exponent;
  }

  private void improve() {
    double q = 1 - phi * phi;
    double same = 1 - phi;
    double[][] w = steps.count;
    double across = w[0][1] + w[1][0];
    double a00 = q * state[0] + 1e-9 + w[0][0] * same * same + w[1][0] + w[0][1] * phi * phi;
    double a11 = q * state[1] + 1e-9 + w[1][1] * same * same + w[0][1] + w[1][0] * phi * phi;
    double a01 = -across * phi;
    double h0 = q * state[0] * z[0];
    h0 += same * steps.left(0, 0, phi) + steps.left(1, 0, phi) - phi * steps.left(0, 1, phi);
    double h1 = q * state[1] * z[0];
    h1 += same * steps.left(1, 1, phi) + steps.left(0, 1, phi) - phi * steps.left(1, 0, phi);
    double det = a00 * a11 - a01 * a01;
    mu[0] = (a11 * h0 - a01 * h1) / det;
    mu[1] = (a00 * h1 - a01 * h0) / det;
    for (int from = 0; from < 2; from++) { // one imagined step: keeps chances off 0 and 1
      stay[from][1 - from] = (0.1 + w[from][1 - from]) / (1 + w[from][0] + w[from][1]);
      stay[from][from] = 1 - stay[from][1 - from];
    }
    if (fitPhi) {
      phi = Math.max(0, Math.min(0.98, steps.correlation(mu)));
    }
    sigma2 = Math.max(least, size.estimate(steps.squaresLeft(z[0], state, mu, phi), n));
  }

  private Fit result() {
    boolean swap = mu[0] > mu[1];
    double[] upper = new double[n];
    for (int t = 0; t < n; t++) {
      upper[t] = swap ? state[2 * t] : state[2 * t + 1];
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
        mean + (above < n ? belowSum / (n - above) : mu[swap ? 1 : 0]),
        mean + (above > 0 ? aboveSum / above : mu[swap ? 0 : 1]),
        upper);
  }
}
