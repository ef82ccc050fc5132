package meniscus.core.settle;

/**
 * Kalman filter of one noise shape, run over the block means and over each regressor alike. What it
 * leaves of each (the innovations) is white, so the sums kept here are those of generalised least
 * squares with that noise, exact with gaps, at a fixed cost a block.
 *
 * <p>Source of the recursion: Anderson and Moore, Optimal Filtering, 1979, section 5.4 (correlated
 * noises); its use for generalised least squares after Harvey, Forecasting, Structural Time Series
 * Models and the Kalman Filter, 1989, section 3.4 (both from memory).
 */
final class LevelFilter {

  private static final double CONVERGED = 1e-9; // of the variance: below what sums can hold

  private final BlockNoise noise;
  private final int series;
  private final double[][] mean; // per series, state prediction
  private final double[] next;
  private final double[][] p;
  private final double[] pc;
  private final double[] gain;
  private double variance;
  private boolean steady;

  final double[] innovation;
  int count;
  double logDeterminant;
  double yy; // Σ v_y²/F
  final double[] y; // Σ v_i v_y/F, i = 0 for the constant, then each regressor
  final double[] one; // Σ v_i v_0/F
  final double[] own; // Σ v_i²/F

  /**
   * @param regressors how many beside the constant
   */
  LevelFilter(BlockNoise noise, int regressors) {
    this.noise = noise;
    this.series = regressors + 2;
    int d = noise.states;
    mean = new double[series][d];
    next = new double[d];
    p = new double[d][d];
    for (int i = 0; i < d; i++) {
      p[i] = noise.stationary[i].clone();
    }
    pc = new double[d];
    gain = new double[d];
    innovation = new double[series];
    y = new double[regressors + 1];
    one = new double[regressors + 1];
    own = new double[regressors + 1];
  }

  /**
   * One block.
   *
   * @param values the block mean, then 1, then the regressors
   */
  void step(double[] values) {
    int d = noise.states;
    if (!steady) {
      gains();
    }
    double[] c = noise.c;
    for (int k = 0; k < series; k++) {
      double[] m = mean[k];
      double predicted = 0;
      for (int i = 0; i < d; i++) {
        predicted += c[i] * m[i];
      }
      double v = values[k] - predicted;
      innovation[k] = v;
      advance(m, v);
    }
    accumulate();
    if (!steady) {
      carry(true);
    }
  }

  /** Expected variance of the innovation just seen, for a block variance of 1. */
  double variance() {
    return variance;
  }

  /** A block without readings. */
  void skip() {
    for (double[] m : mean) {
      advance(m, 0);
    }
    carry(false);
    steady = false;
  }

  private void accumulate() {
    count++;
    logDeterminant += Math.log(variance);
    double w = 1 / variance;
    double vy = innovation[0] * w;
    double v1 = innovation[1] * w;
    yy += vy * innovation[0];
    for (int i = 0; i < own.length; i++) {
      double v = innovation[i + 1];
      y[i] += v * vy;
      one[i] += v * v1;
      own[i] += v * v * w;
    }
  }

  private void advance(double[] m, double v) {
    noise.advance(m, next);
    for (int i = 0; i < m.length; i++) {
      m[i] = next[i] + gain[i] * v;
    }
  }

  private void gains() {
    int d = noise.states;
    double f = noise.r;
    for (int i = 0; i < d; i++) {
      pc[i] = BlockNoise.dot(p[i], noise.c);
      f += noise.c[i] * pc[i];
    }
    double[] moved = noise.advance(pc);
    double change = Math.abs(f - variance);
    for (int i = 0; i < d; i++) {
      double k = (moved[i] + noise.s[i]) / f;
      change = Math.max(change, Math.abs(k - gain[i]) * noise.stationary[i][i]);
      gain[i] = k;
    }
    variance = f;
    steady = change < CONVERGED * f;
  }

  /** Covariance of the state one block on. */
  private void carry(boolean seen) {
    int d = noise.states;
    double[][] half = new double[d][];
    for (int k = 0; k < d; k++) {
      half[k] = noise.advance(column(k));
    }
    // half[k][i] = (Φ P)_{ik}; then (Φ P) Φ', row by row.
    double[] row = new double[d];
    for (int i = 0; i < d; i++) {
      for (int k = 0; k < d; k++) {
        row[k] = half[k][i];
      }
      double[] both = noise.advance(row);
      for (int k = 0; k < d; k++) {
        double value = both[k] + noise.q[i][k];
        p[i][k] = seen ? value - gain[i] * gain[k] * variance : value;
      }
    }
  }

  private double[] column(int k) {
    double[] column = new double[p.length];
    for (int i = 0; i < p.length; i++) {
      column[i] = p[i][k];
    }
    return column;
  }
}
