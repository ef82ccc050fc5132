package meniscus.core.calibrate;

import java.util.Arrays;
import java.util.stream.IntStream;

/**
 * Pairs (x, y) with the covariances of their errors. Errors of x and errors of y are independent of
 * each other. Arrays are not copied on reading: treat them as read-only.
 */
public final class Observations {

  private final double[] x;
  private final double[] y;
  private final double[][] covarianceX;
  private final double[][] covarianceY;

  private Observations(double[] x, double[] y, double[][] covarianceX, double[][] covarianceY) {
    this.x = x;
    this.y = y;
    this.covarianceX = covarianceX;
    this.covarianceY = covarianceY;
  }

  /**
   * Independent errors.
   *
   * @param x stimulus
   * @param ux its standard uncertainties, 0 where x is exact
   * @param y response
   * @param uy its standard uncertainties, positive
   */
  public static Observations of(double[] x, double[] ux, double[] y, double[] uy) {
    if (x.length != y.length || ux.length != x.length || uy.length != y.length) {
      throw new IllegalArgumentException("x, y and their uncertainties must have one length");
    }
    for (double u : uy) {
      if (!(u > 0)) {
        throw new IllegalArgumentException("each y needs a positive standard uncertainty");
      }
    }
    return new Observations(x.clone(), y.clone(), diagonal(ux), diagonal(uy));
  }

  /** x exact, y with independent errors. */
  public static Observations exactX(double[] x, double[] y, double[] uy) {
    return of(x, new double[x.length], y, uy);
  }

  /** x exact, the errors of y equal and of unknown size: see {@link Fit#scaledByResiduals}. */
  public static Observations unweighted(double[] x, double[] y) {
    double[] ones = new double[y.length];
    Arrays.fill(ones, 1);
    return exactX(x, y, ones);
  }

  /**
   * The same pairs with one more error that several y share, so that more pairs do not make it
   * smaller.
   *
   * @param effects what one standard uncertainty of that error does to each y
   */
  public Observations withShared(double[] effects) {
    double[][] sum = new double[y.length][];
    for (int i = 0; i < y.length; i++) {
      sum[i] = covarianceY[i].clone();
      for (int j = 0; j < y.length; j++) {
        sum[i][j] += effects[i] * effects[j];
      }
    }
    return new Observations(x, y, covarianceX, sum);
  }

  /** The pairs with these indices alone. */
  public Observations only(int[] kept) {
    return new Observations(
        pick(x, kept), pick(y, kept), pick(covarianceX, kept), pick(covarianceY, kept));
  }

  public int size() {
    return x.length;
  }

  public double x(int i) {
    return x[i];
  }

  public double y(int i) {
    return y[i];
  }

  double covarianceX(int i, int j) {
    return covarianceX[i][j];
  }

  double covarianceY(int i, int j) {
    return covarianceY[i][j];
  }

  public double lowestX() {
    return Arrays.stream(x).min().orElseThrow();
  }

  public double highestX() {
    return Arrays.stream(x).max().orElseThrow();
  }

  private static double[] pick(double[] from, int[] kept) {
    return IntStream.of(kept).mapToDouble(i -> from[i]).toArray();
  }

  private static double[][] pick(double[][] from, int[] kept) {
    return IntStream.of(kept).mapToObj(i -> pick(from[i], kept)).toArray(double[][]::new);
  }

  private static double[][] diagonal(double[] u) {
    double[][] matrix = new double[u.length][u.length];
    for (int i = 0; i < u.length; i++) {
      if (!(u[i] >= 0)) {
        throw new IllegalArgumentException("a standard uncertainty cannot be negative");
      }
      matrix[i][i] = u[i] * u[i];
    }
    return matrix;
  }
}
