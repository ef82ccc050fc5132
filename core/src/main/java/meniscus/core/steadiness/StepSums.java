package meniscus.core.steadiness;

/**
 * All that improving a fit of {@link TwoLevels} needs to know of the steps from one value to the
 * next, by the levels a step goes from and to: how many (chances added up), and the values stepped
 * to and from. Gathered in one sweep, so that no further one is needed to improve it.
 */
final class StepSums {

  private final All all;
  final double[][] count = new double[2][2];
  private final double[][] now = new double[2][2];
  private final double[][] before = new double[2][2];

  /**
   * Sums over all steps, whatever the levels.
   *
   * @param now square of the value stepped to
   * @param both product of the two
   * @param before square of the value stepped from
   */
  record All(double now, double both, double before) {
    static All of(double[] z) {
      double now = 0;
      double both = 0;
      double before = 0;
      for (int t = 1; t < z.length; t++) {
        now += z[t] * z[t];
        both += z[t] * z[t - 1];
        before += z[t - 1] * z[t - 1];
      }
      return new All(now, both, before);
    }
  }

  StepSums(All all) {
    this.all = all;
  }

  /**
   * The backward half of a forward and backward sweep.
   *
   * @param z values
   * @param state chances of each value's levels as the values before it tell, two a value; they
   *     become those that all values tell
   * @param step weights of each step, four a value: from lower to lower, to upper, from upper ...
   */
  void sweepBack(double[] z, double[] state, double[] step) {
    double b0 = 1;
    double b1 = 1;
    double c00 = 0;
    double c01 = 0;
    double c10 = 0;
    double c11 = 0;
    double now00 = 0;
    double now01 = 0;
    double now10 = 0;
    double now11 = 0;
    double before00 = 0;
    double before01 = 0;
    double before10 = 0;
    double before11 = 0;
    for (int t = z.length - 1; t > 0; t--) {
      state[2 * t] *= b0;
      state[2 * t + 1] *= b1;
      double v00 = step[4 * t] * b0;
      double v01 = step[4 * t + 1] * b1;
      double v10 = step[4 * t + 2] * b0;
      double v11 = step[4 * t + 3] * b1;
      b0 = v00 + v01;
      b1 = v10 + v11;
      double w00 = state[2 * t - 2] * v00;
      double w01 = state[2 * t - 2] * v01;
      double w10 = state[2 * t - 1] * v10;
      double w11 = state[2 * t - 1] * v11;
      c00 += w00;
      c01 += w01;
      c10 += w10;
      c11 += w11;
      double to = z[t];
      now00 += w00 * to;
      now01 += w01 * to;
      now10 += w10 * to;
      now11 += w11 * to;
      double from = z[t - 1];
      before00 += w00 * from;
      before01 += w01 * from;
      before10 += w10 * from;
      before11 += w11 * from;
    }
    state[0] *= b0;
    state[1] *= b1;
    set(count, c00, c01, c10, c11);
    set(now, now00, now01, now10, now11);
    set(before, before00, before01, before10, before11);
  }

  private static void set(double[][] of, double v00, double v01, double v10, double v11) {
    of[0][0] = v00;
    of[0][1] = v01;
    of[1][0] = v10;
    of[1][1] = v11;
  }

  /** Sum of what correlation leaves of the values stepped to. */
  double left(int from, int to, double phi) {
    return now[from][to] - phi * before[from][to];
  }

  /** Correlation of neighbours about their levels. */
  double correlation(double[] mu) {
    double cross = all.both();
    double own = all.before();
    for (int from = 0; from < 2; from++) {
      for (int to = 0; to < 2; to++) {
        cross -=
            mu[from] * now[from][to] + mu[to] * (before[from][to] - mu[from] * count[from][to]);
        own -= mu[from] * (2 * before[from][to] - mu[from] * count[from][to]);
      }
    }
    return cross / own;
  }

  /**
   * Squares of what levels and correlation leave over.
   *
   * @param first value, whose chances stand first in {@code state}
   */
  double squaresLeft(double first, double[] state, double[] mu, double phi) {
    double s = all.now() - 2 * phi * all.both() + phi * phi * all.before();
    for (int at = 0; at < 2; at++) {
      s += (1 - phi * phi) * state[at] * (first - mu[at]) * (first - mu[at]);
      for (int to = 0; to < 2; to++) {
        double centre = mu[to] - phi * mu[at];
        s -= centre * (2 * left(at, to, phi) - centre * count[at][to]);
      }
    }
    return s;
  }
}
