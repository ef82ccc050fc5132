package meniscus.core.settle;

import java.util.random.RandomGenerator;

/** Draws block means with a noise shape: variance 1, mean 0. For limits set by simulation. */
final class NoiseSimulator {

  private final BlockNoise noise;
  private final double[][] first;
  private final double[][] step;

  NoiseSimulator(NoiseShape shape, double blockSeconds, int readings) {
    noise = new BlockNoise(shape, blockSeconds, readings);
    int d = noise.states;
    first = root(noise.stationary);
    double[][] joint = new double[d + 1][d + 1];
    joint[0][0] = noise.r;
    for (int i = 0; i < d; i++) {
      joint[i + 1][0] = noise.s[i];
      joint[0][i + 1] = noise.s[i];
      System.arraycopy(noise.q[i], 0, joint[i + 1], 1, d);
    }
    step = root(joint);
  }

  /** Variance of a long mean of blocks times their number, over the variance of one. */
  double longRunVariance() {
    return noise.longRunVariance();
  }

  double[] draw(int count, RandomGenerator random) {
    int d = noise.states;
    double[] x = product(first, random);
    double[] drawn = new double[count];
    for (int k = 0; k < count; k++) {
      double[] w = product(step, random);
      drawn[k] = BlockNoise.dot(noise.c, x) + w[0];
      x = noise.advance(x);
      for (int i = 0; i < d; i++) {
        x[i] += w[i + 1];
      }
    }
    return drawn;
  }

  private static double[] product(double[][] lower, RandomGenerator random) {
    double[] normal = new double[lower.length];
    double[] result = new double[lower.length];
    for (int i = 0; i < lower.length; i++) {
      normal[i] = random.nextGaussian();
      for (int k = 0; k <= i; k++) {
        result[i] += lower[i][k] * normal[k];
      }
    }
    return result;
  }

  /** Lower triangular root of a covariance; rows without variance of their own are zero. */
  private static double[][] root(double[][] a) {
    int n = a.length;
    double[][] l = new double[n][n];
    for (int i = 0; i < n; i++) {
      for (int k = 0; k <= i; k++) {
        double sum = a[i][k];
        for (int m = 0; m < k; m++) {
          sum -= l[i][m] * l[k][m];
        }
        if (i == k) {
          l[i][i] = sum > 1e-14 * a[i][i] ? Math.sqrt(sum) : 0;
        } else {
          l[i][k] = l[k][k] > 0 ? sum / l[k][k] : 0;
        }
      }
    }
    return l;
  }
}
