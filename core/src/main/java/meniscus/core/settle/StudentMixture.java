package meniscus.core.settle;

/** A weighted sum of shifted, scaled Student distributions: what is known of one number. */
final class StudentMixture {

  private static final double CHANCE = 0.05; // outside a 95 % interval
  private static final double MANY_DEGREES = 15; // from where the quicker formula is as good

  private double[] weight = new double[64];
  private double[] location = new double[64];
  private double[] scale = new double[64];
  private double[] degrees = new double[64];
  private int size;

  void clear() {
    size = 0;
  }

  void add(double w, double at, double s, double nu) {
    if (size == weight.length) {
      weight = java.util.Arrays.copyOf(weight, 2 * size);
      location = java.util.Arrays.copyOf(location, 2 * size);
      scale = java.util.Arrays.copyOf(scale, 2 * size);
      degrees = java.util.Arrays.copyOf(degrees, 2 * size);
    }
    weight[size] = w;
    location[size] = at;
    scale[size] = s;
    degrees[size++] = nu;
  }

  double mean() {
    double sum = 0;
    double total = 0;
    for (int i = 0; i < size; i++) {
      sum += weight[i] * location[i];
      total += weight[i];
    }
    return sum / total;
  }

  /** Variance of the mixture with each Student scale widened by its degrees of freedom. */
  double variance(double mean) {
    double sum = 0;
    double total = 0;
    for (int i = 0; i < size; i++) {
      double nu = Math.max(degrees[i], 3);
      double d = location[i] - mean;
      sum += weight[i] * (scale[i] * scale[i] * nu / (nu - 2) + d * d);
      total += weight[i];
    }
    return sum / total;
  }

  /** Half width h with chance 0.95 within mean ± h, to a thousandth of itself. */
  double halfWidth(double mean) {
    double low = 0;
    double lowOver = Math.log(1 / CHANCE);
    double high = 2 * Math.sqrt(variance(mean)) + Double.MIN_NORMAL;
    double highOver = over(mean, high);
    while (highOver > 0) {
      low = high;
      lowOver = highOver;
      high *= 1.5;
      highOver = over(mean, high);
    }
    // The logarithm of the chance outside is nearly straight: false position, guarded by halving.
    for (int k = 0; k < 40 && high - low > 1e-3 * high; k++) {
      double share = lowOver / (lowOver - highOver);
      double guess =
          k % 3 == 2
              ? 0.5 * (low + high)
              : low + Math.min(Math.max(share, 0.02), 0.98) * (high - low);
      double over = over(mean, guess);
      if (Math.abs(over) < 1e-3) {
        return guess;
      }
      if (over > 0) {
        low = guess;
        lowOver = over;
      } else {
        high = guess;
        highOver = over;
      }
    }
    return high;
  }

  /** How far the chance outside is above the asked one; its logarithm. */
  private double over(double mean, double h) {
    return Math.log(Math.max(outside(mean, h), 1e-300) / CHANCE);
  }

  private double outside(double mean, double h) {
    double sum = 0;
    double total = 0;
    for (int i = 0; i < size; i++) {
      sum +=
          weight[i]
              * (tail((mean + h - location[i]) / scale[i], degrees[i])
                  + tail((location[i] - mean + h) / scale[i], degrees[i]));
      total += weight[i];
    }
    return sum / total;
  }

  /**
   * Chance that a Student variable exceeds t. Normal approximation of Wallace, Annals of
   * Mathematical Statistics 30 (1959) 1124 (from memory); within 0.0005 for 6 degrees of freedom
   * and up.
   */
  static double tail(double t, double nu) {
    if (nu > MANY_DEGREES) { // quicker, and as good there: Abramowitz and Stegun, 26.7.8
      return normalTail(t * (1 - 0.25 / nu) / Math.sqrt(1 + t * t / (2 * nu)));
    }
    double z = (8 * nu + 1) / (8 * nu + 3) * Math.sqrt(nu * Math.log1p(t * t / nu));
    z = t < 0 ? -z : z;
    return normalTail(z);
  }

  /**
   * Chance that a standard normal variable exceeds z. Abramowitz and Stegun, 26.2.17; absolute
   * error below 7.5e-8.
   */
  static double normalTail(double z) {
    if (z < 0) {
      return 1 - normalTail(-z);
    }
    if (z > 7) {
      return 0;
    }
    double t = 1 / (1 + 0.2316419 * z);
    double poly =
        t
            * (0.319381530
                + t * (-0.356563782 + t * (1.781477937 + t * (-1.821255978 + t * 1.330274429))));
    return 0.3989422804014327 * Math.exp(-0.5 * z * z) * poly;
  }
}
