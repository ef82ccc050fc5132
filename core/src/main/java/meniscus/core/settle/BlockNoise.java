package meniscus.core.settle;

/**
 * A noise shape seen through block means, in state-space form: with x the state at the end of a
 * block,
 *
 * <pre>
 *   mean of next block = c·x + e,     x' = Φ x + w,     (w, e) jointly Gaussian
 * </pre>
 *
 * exact for readings spaced evenly within the block. The variance of one block mean is 1.
 *
 * <p>A gauge that gives a moving mean adds the air's last block means as states, each of which
 * takes over the one before: the mean then ends where the gauge's does, which no autoregression
 * can.
 */
final class BlockNoise {

  /** Finer spacing inside a block changes nothing that shows. */
  private static final int MOST_READINGS = 20;

  private static final int MOST_TAPS = 40; // blocks that a gauge's mean reaches over: 4 s

  final int states;
  private final int air; // states before those that hold earlier block means
  private final double[] airMean; // the air's next block mean from the state
  private final double longRun;
  final double[] diagonal; // Φ: each state couples to itself and at most to its partner
  final double[] coupling;
  final int[] partner;
  final double[] c;
  final double[][] stationary; // covariance of x
  final double[][] q; // covariance of w
  final double[] s; // covariance of w with e
  double r; // variance of e

  /**
   * @param blockSeconds length of one block [s]
   * @param readings readings in one block; 1 means point samples
   */
  BlockNoise(NoiseShape shape, double blockSeconds, int readings) {
    double[] taps = taps(shape.meanSeconds() / blockSeconds);
    air = shape.states();
    states = air + taps.length - 1;
    diagonal = new double[states];
    coupling = new double[states];
    partner = new int[states];
    c = new double[states];
    stationary = new double[states][states];
    q = new double[states][states];
    s = new double[states];
    int at = 0;
    int steps = Math.min(Math.max(readings, 1), MOST_READINGS);
    double own = 0; // white noise of the gauge
    for (NoiseShape.Term term : shape.terms()) {
      if (term.states() == 0 && taps.length == 1) {
        r += term.share();
      } else if (term.states() == 0) {
        own += term.share();
      } else {
        put(term, at, steps, blockSeconds / steps, passing(term, taps, blockSeconds, readings));
        at += term.states();
      }
    }
    longRun = longRunOfAir() + own; // a mean passes what lasts
    airMean = c.clone();
    if (taps.length > 1) {
      remember(taps);
      r += own;
    }
  }

  private static double[] taps(double blocks) {
    double reach = Math.min(blocks, MOST_TAPS);
    double[] taps = new double[(int) Math.max(1, Math.ceil(reach - 1e-9))];
    for (int k = 0; k < taps.length; k++) {
      taps[k] = taps.length == 1 ? 1 : Math.min(1, reach - k) / reach;
    }
    return taps;
  }

  /** Share of a term's variance that a gauge's mean lets pass. */
  private static double passing(
      NoiseShape.Term term, double[] taps, double blockSeconds, int readings) {
    if (taps.length == 1) {
      return 1;
    }
    BlockNoise alone = new BlockNoise(NoiseShape.of(term.withShare(1)), blockSeconds, readings);
    double[] gamma = alone.autocovariance(taps.length);
    double sum = 0;
    for (int i = 0; i < taps.length; i++) {
      for (int k = 0; k < taps.length; k++) {
        sum += taps[i] * taps[k] * gamma[Math.abs(i - k)];
      }
    }
    return sum;
  }

  /** Adds the air's last block means to the state, and sees them through the gauge's mean. */
  private void remember(double[] taps) {
    double[] cross = new double[states]; // of the air's state with its last block mean
    for (int i = 0; i < air; i++) {
      cross[i] = crossAt(i);
    }
    int held = taps.length - 1;
    double[] gamma = new double[held];
    double[] ahead = cross.clone();
    gamma[0] = r + quadratic(c, stationary, c);
    for (int k = 0; k < held; k++) {
      for (int i = 0; i < air; i++) {
        stationary[i][air + k] = ahead[i];
        stationary[air + k][i] = ahead[i];
      }
      if (k + 1 < held) {
        gamma[k + 1] = dot(c, ahead);
      }
      ahead = advance(ahead);
    }
    for (int i = 0; i < held; i++) {
      for (int k = 0; k < held; k++) {
        stationary[air + i][air + k] = gamma[Math.abs(i - k)];
      }
    }
    for (int i = 0; i < air; i++) {
      q[i][air] = s[i];
      q[air][i] = s[i];
      c[i] *= taps[0];
      s[i] *= taps[0];
    }
    q[air][air] = r;
    s[air] = taps[0] * r;
    r *= taps[0] * taps[0];
    for (int k = 0; k < held; k++) {
      c[air + k] = taps[k + 1];
    }
  }

  /** Autocovariance of block means at lags 0…count-1; lag 0 is 1. */
  double[] autocovariance(int count) {
    double[] gamma = new double[count];
    gamma[0] = r + quadratic(c, stationary, c);
    double[] cross = new double[states]; // cov(x at block end, that block's mean)
    for (int i = 0; i < states; i++) {
      cross[i] = crossAt(i);
    }
    for (int lag = 1; lag < count; lag++) {
      gamma[lag] = dot(c, cross);
      cross = advance(cross);
    }
    return gamma;
  }

  /** Sum of the autocovariance over all lags: variance of a long mean times its blocks. */
  double longRunVariance() {
    return longRun;
  }

  private double longRunOfAir() {
    // Σ over lags k ≥ 1 of c Φ^(k-1) cross = c (I-Φ)^-1 cross, one partner pair at a time.
    double sum = r + quadratic(c, stationary, c);
    for (int i = 0; i < air; i++) {
      int p = partner[i];
      double ci = crossAt(i);
      if (p == i) {
        sum += 2 * c[i] * ci / (1 - diagonal[i]);
      } else if (p > i) {
        double cp = crossAt(p);
        double a = 1 - diagonal[i];
        double b = -coupling[i];
        double d = -coupling[p];
        double e = 1 - diagonal[p];
        double det = a * e - b * d;
        sum += 2 * (c[i] * (e * ci - b * cp) + c[p] * (a * cp - d * ci)) / det;
      }
    }
    return sum;
  }

  /** The state one block on, but for what is new. */
  double[] advance(double[] x) {
    double[] next = new double[states];
    advance(x, next);
    return next;
  }

  void advance(double[] x, double[] next) {
    for (int i = states - 1; i > air; i--) {
      next[i] = x[i - 1];
    }
    if (states > air) {
      double mean = 0;
      for (int i = 0; i < air; i++) {
        mean += airMean[i] * x[i];
      }
      next[air] = mean;
    }
    for (int i = 0; i < air; i++) {
      next[i] = diagonal[i] * x[i] + (partner[i] == i ? 0 : coupling[i] * x[partner[i]]);
    }
  }

  private double phi(int i, int k) {
    if (i < air) {
      return i == k ? diagonal[i] : partner[i] == k ? coupling[i] : 0;
    }
    return i > air ? (k == i - 1 ? 1 : 0) : k < air ? airMean[k] : 0;
  }

  private double crossAt(int i) {
    double sum = s[i];
    for (int k = 0; k < states; k++) {
      sum += phi(i, k) * dot(stationary[k], c);
    }
    return sum;
  }

  private void put(NoiseShape.Term term, int at, int steps, double h, double passing) {
    int n = term.states();
    double[][] f = transition(term, h);
    double[][] p = new double[n][n];
    p[0][0] = 1;
    if (term.lagSeconds() > 0) {
      p[0][1] = 1;
      p[1][0] = 1;
      p[1][1] = 1 + term.lagSeconds() / term.decaySeconds();
    } else if (n == 2) {
      p[1][1] = square(2 * Math.PI * term.hertz());
    }
    double[][] step = minus(p, times(times(f, p), transposed(f)));
    // Augmented with the running mean of the block: (x, mean).
    double[][] phi = identity(n);
    double[] mean = new double[n];
    double[][] ww = new double[n][n];
    double[] we = new double[n];
    double ee = 0;
    for (int k = 0; k < steps; k++) {
      phi = times(f, phi);
      ww = plus(times(times(f, ww), transposed(f)), step);
      we = times(f, we);
      for (int i = 0; i < n; i++) {
        mean[i] += phi[0][i] / steps;
      }
      ee += 2 * we[0] / steps + ww[0][0] / steps / steps;
      for (int i = 0; i < n; i++) {
        we[i] += ww[i][0] / steps;
      }
    }
    double scale = term.share() / passing / (quadratic(mean, p, mean) + ee);
    r += scale * ee;
    for (int i = 0; i < n; i++) {
      c[at + i] = mean[i];
      s[at + i] = scale * we[i];
      diagonal[at + i] = phi[i][i];
      partner[at + i] = n == 1 ? at : at + 1 - i;
      coupling[at + i] = n == 1 ? 0 : phi[i][1 - i];
      for (int k = 0; k < n; k++) {
        stationary[at + i][at + k] = scale * p[i][k];
        q[at + i][at + k] = scale * ww[i][k];
      }
    }
  }

  private static double[][] transition(NoiseShape.Term term, double h) {
    double decay = Math.exp(-h / term.decaySeconds());
    if (term.lagSeconds() > 0) {
      // State: what the lag shows, and the air behind it: y' = (x - y)/lag, x' = -x/decay + noise.
      double kept = Math.exp(-h / term.lagSeconds());
      double apart = 1 - term.lagSeconds() / term.decaySeconds();
      double taken = Math.abs(apart) < 1e-6 ? h / term.lagSeconds() * kept : (decay - kept) / apart;
      return new double[][] {{kept, taken}, {0, decay}};
    }
    if (term.hertz() == 0) {
      return new double[][] {{decay}};
    }
    double natural = 2 * Math.PI * term.hertz();
    double damping = 1 / term.decaySeconds();
    double swing = Math.sqrt(natural * natural - damping * damping);
    double cos = Math.cos(swing * h);
    double sin = Math.sin(swing * h) / swing;
    return new double[][] {
      {decay * (cos + damping * sin), decay * sin},
      {-decay * natural * natural * sin, decay * (cos - damping * sin)}
    };
  }

  private static double square(double x) {
    return x * x;
  }

  static double dot(double[] a, double[] b) {
    double sum = 0;
    for (int i = 0; i < a.length; i++) {
      sum += a[i] * b[i];
    }
    return sum;
  }

  static double quadratic(double[] a, double[][] m, double[] b) {
    double sum = 0;
    for (int i = 0; i < a.length; i++) {
      sum += a[i] * dot(m[i], b);
    }
    return sum;
  }

  private static double[][] identity(int n) {
    double[][] one = new double[n][n];
    for (int i = 0; i < n; i++) {
      one[i][i] = 1;
    }
    return one;
  }

  private static double[][] transposed(double[][] a) {
    double[][] t = new double[a.length][a.length];
    for (int i = 0; i < a.length; i++) {
      for (int k = 0; k < a.length; k++) {
        t[k][i] = a[i][k];
      }
    }
    return t;
  }

  private static double[][] times(double[][] a, double[][] b) {
    int n = a.length;
    double[][] product = new double[n][n];
    for (int i = 0; i < n; i++) {
      for (int k = 0; k < n; k++) {
        for (int l = 0; l < n; l++) {
          product[i][k] += a[i][l] * b[l][k];
        }
      }
    }
    return product;
  }

  private static double[] times(double[][] a, double[] x) {
    double[] product = new double[a.length];
    for (int i = 0; i < a.length; i++) {
      product[i] = dot(a[i], x);
    }
    return product;
  }

  private static double[][] plus(double[][] a, double[][] b) {
    double[][] sum = new double[a.length][a.length];
    for (int i = 0; i < a.length; i++) {
      for (int k = 0; k < a.length; k++) {
        sum[i][k] = a[i][k] + b[i][k];
      }
    }
    return sum;
  }

  private static double[][] minus(double[][] a, double[][] b) {
    double[][] difference = new double[a.length][a.length];
    for (int i = 0; i < a.length; i++) {
      for (int k = 0; k < a.length; k++) {
        difference[i][k] = a[i][k] - b[i][k];
      }
    }
    return difference;
  }
}
