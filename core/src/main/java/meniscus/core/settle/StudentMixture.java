package meniscus.core.settle;

/** A weighted sum of shifted, scaled Student distributions: what is known of one number. */
final class StudentMixture {

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

  /** Half width h with chance 0.95 within mean ± h. */
  double halfWidth(double mean) {
    dropNegligible();
    double high = 2.5 * Math.sqrt(variance(mean)) + Double.MIN_NORMAL;
    while (outside(mean, high) > 0.05) {
      high *= 2;
    }
    double low = 0;
    for (int k = 0; k < 30 && high - low > 1e-3 * high; k++) {
      double middle = 0.5 * (low + high);
      if (outside(mean, middle) > 0.05) {
        low = middle;
      } else {
        high = middle;
      }
    }
    return high;
  }

  /**
   * Takes out parts too light to matter: together they weigh less than 1e-4 of the rest. Most parts
   * of a bank of hypotheses are, once there is data.
   */
  private void dropNegligible() {
    double total = 0;
    for (int i = 0; i < size; i++) {
      total += weight[i];
    }
    double least = 1e-4 * total / Math.max(size, 1);
    int kept = 0;
    for (int i = 0; i < size; i++) {
      if (weight[i] >= least) {
        weight[kept] = weight[i];
        location[kept] = location[i];
        scale[kept] = scale[i];
        degrees[kept++] = degrees[i];
      }
    }
    size = kept;
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
    if (z > 12) {
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
