package meniscus.core.steadiness;

import java.util.Random;

/** Signals whose truth is known: level 1 (times a chosen mean), noise of standard deviation 1 %. */
final class Signals {

  static final String[] KINDS = {
    "white", "ar1_0.05", "ar1_0.2", "ar1_0.5", "ar1_1", "ar1_2", "ar2_1.5", "mix", "drift", "ripple"
  };

  /** With kinds that were never looked at while rules were chosen. */
  static final String[] ALL = {
    "white",
    "ar1_0.05",
    "ar1_0.2",
    "ar1_0.5",
    "ar1_1",
    "ar1_2",
    "ar2_1.5",
    "mix",
    "drift",
    "ripple",
    "ar2_0.8",
    "threescale"
  };

  private Signals() {}

  /** Unit-variance noise of a kind. */
  static double[] noise(String kind, int n, double hertz, Random random) {
    double[] x = new double[n];
    if (kind.startsWith("ar1_")) {
      return ar1(n, Double.parseDouble(kind.substring(4)), hertz, random);
    }
    switch (kind) {
      case "white" -> {
        for (int i = 0; i < n; i++) {
          x[i] = random.nextGaussian();
        }
        return x;
      }
      case "ar2_1.5" -> {
        return ar2(n, 1.5, 0.4, hertz, random);
      }
      case "mix" -> {
        return sum(
            ar1(n, 0.1, hertz, random), Math.sqrt(0.8), ar1(n, 2, hertz, random), Math.sqrt(0.2));
      }
      case "drift" -> {
        double[] slow = new double[n];
        double phase = 2 * Math.PI * random.nextDouble();
        for (int i = 0; i < n; i++) {
          slow[i] = Math.sin(phase + 2 * Math.PI * i / hertz / 120) - 0;
        }
        return sum(ar1(n, 0.1, hertz, random), 1, slow, 0.1);
      }
      case "ripple" -> {
        double[] mains = new double[n];
        double phase = 2 * Math.PI * random.nextDouble();
        for (int i = 0; i < n; i++) {
          mains[i] = Math.sin(phase + 2 * Math.PI * 50.03 * i / hertz) * Math.sqrt(2);
        }
        return sum(ar1(n, 0.1, hertz, random), 1, mains, 0.5);
      }
      case "ar2_0.8" -> {
        return ar2(n, 0.8, 0.8, hertz, random);
      }
      case "threescale" -> {
        return sum(
            sum(
                ar1(n, 0.03, hertz, random),
                Math.sqrt(0.5),
                ar1(n, 0.3, hertz, random),
                Math.sqrt(0.3)),
            1,
            ar1(n, 1.5, hertz, random),
            Math.sqrt(0.2));
      }
      default -> throw new IllegalArgumentException(kind);
    }
  }

  /** Long-run variance of unit noise [s]: variance of a long mean times its length. */
  static double longRun(String kind, double hertz) {
    if (kind.startsWith("ar1_")) {
      return ar1LongRun(Double.parseDouble(kind.substring(4)), hertz);
    }
    return switch (kind) {
      case "white" -> 1 / hertz;
      case "ar2_1.5" -> ar2LongRun(1.5, 0.4, hertz);
      case "ar2_0.8" -> ar2LongRun(0.8, 0.8, hertz);
      case "mix" -> 0.8 * ar1LongRun(0.1, hertz) + 0.2 * ar1LongRun(2, hertz);
      case "drift", "ripple" -> ar1LongRun(0.1, hertz);
      case "threescale" ->
          0.5 * ar1LongRun(0.03, hertz)
              + 0.3 * ar1LongRun(0.3, hertz)
              + 0.2 * ar1LongRun(1.5, hertz);
      default -> throw new IllegalArgumentException(kind);
    };
  }

  static double[] ar1(int n, double tau, double hertz, Random random) {
    double a = Math.exp(-1 / (tau * hertz));
    double b = Math.sqrt(1 - a * a);
    double[] x = new double[n];
    double state = random.nextGaussian();
    for (int i = 0; i < n; i++) {
      x[i] = state;
      state = a * state + b * random.nextGaussian();
    }
    return x;
  }

  private static double ar1LongRun(double tau, double hertz) {
    double a = Math.exp(-1 / (tau * hertz));
    return (1 + a) / (1 - a) / hertz;
  }

  /** Damped oscillation: AR(2) with poles at exp(-1/(tau fs) ± 2πi f/fs). */
  private static double[] ar2(int n, double f, double tau, double hertz, Random random) {
    double rho = Math.exp(-1 / (tau * hertz));
    double a1 = 2 * rho * Math.cos(2 * Math.PI * f / hertz);
    double a2 = -rho * rho;
    double scale = Math.sqrt(ar2Innovation(a1, a2));
    int burn = (int) (10 * tau * hertz);
    double x1 = 0;
    double x2 = 0;
    double[] x = new double[n];
    for (int i = -burn; i < n; i++) {
      double next = a1 * x1 + a2 * x2 + scale * random.nextGaussian();
      x2 = x1;
      x1 = next;
      if (i >= 0) {
        x[i] = next;
      }
    }
    return x;
  }

  private static double ar2Innovation(double a1, double a2) {
    return (1 + a2) * ((1 - a2) * (1 - a2) - a1 * a1) / (1 - a2);
  }

  private static double ar2LongRun(double f, double tau, double hertz) {
    double rho = Math.exp(-1 / (tau * hertz));
    double a1 = 2 * rho * Math.cos(2 * Math.PI * f / hertz);
    double a2 = -rho * rho;
    double d = 1 - a1 - a2;
    return ar2Innovation(a1, a2) / (d * d) / hertz;
  }

  private static double[] sum(double[] a, double p, double[] b, double q) {
    double[] x = new double[a.length];
    for (int i = 0; i < x.length; i++) {
      x[i] = p * a[i] + q * b[i];
    }
    return x;
  }

  /** A reading of one lift point: level 1, noise, exponential settling. */
  static double[] point(double[] noise, double sd, double amplitude, double tau, double hertz) {
    double[] x = new double[noise.length];
    for (int i = 0; i < x.length; i++) {
      x[i] = 1 + sd * noise[i] + (tau > 0 ? amplitude * Math.exp(-i / hertz / tau) : 0);
    }
    return x;
  }

  /**
   * Shortest time with |bias| + 1.96·SE within the target, for one who knows the noise and the
   * settling and picks where to start averaging [s].
   */
  static double oracle(double longRun, double sd, double amplitude, double tau, double target) {
    for (double t = 0.1; t < 1000; t += 0.1) {
      for (double from = 0; from < t - 0.05; from += 0.1) {
        double length = t - from;
        double bias =
            tau > 0
                ? Math.abs(amplitude) * tau * (Math.exp(-from / tau) - Math.exp(-t / tau)) / length
                : 0;
        if (bias + 1.96 * sd * Math.sqrt(longRun / length) <= target) {
          return t;
        }
      }
    }
    return 1000;
  }
}
