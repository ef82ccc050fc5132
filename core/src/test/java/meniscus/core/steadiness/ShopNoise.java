package meniscus.core.steadiness;

import java.util.Arrays;
import java.util.Random;
import meniscus.core.time.StreamTimes;
import org.hipparchus.distribution.continuous.NormalDistribution;
import org.hipparchus.distribution.continuous.TDistribution;

/**
 * Readings as benches in shops give them, made without any of the program's own noise: air of a law
 * on a fine grid, through the gauge's mean or lag, read at its rate, counted in its steps. Level 7,
 * deviation 1.5 % of it before the gauge, sizes scattering by 6 % from reading to reading.
 *
 * @param law how the air fluctuates
 * @param gauge how it is read
 * @param chunk readings that arrive at once, with the last of them; their own times are then those
 *     that the program makes of it. 0 where each is at its own time
 */
record ShopNoise(Law law, Gauge gauge, int chunk) {

  ShopNoise(Law law, Gauge gauge) {
    this(law, gauge, 0);
  }

  static final double LEVEL = 7;
  static final double SIZE = 0.015;
  static final double SCATTER = 0.06;

  private static final double GRID_HERTZ = 200;
  private static final double AIR_SECONDS = 0.2;

  /** Laws of the air: Gaussian, skewed, far-tailed, a cascade of eddies, and as once recorded. */
  enum Law {
    GAUSS,
    SKEW_075,
    SKEW_19,
    T4,
    CASCADE,
    BLOWER
  }

  /**
   * A gauge.
   *
   * @param hertz readings a second
   * @param meanSeconds of its moving mean; 0 for none
   * @param lagSeconds of its first-order lag; 0 for none
   * @param step in which it counts; 0 for none
   * @param jitter of its reading times, over the time between them
   */
  record Gauge(double hertz, double meanSeconds, double lagSeconds, double step, double jitter) {
    static Gauge quick(double hertz) {
      return new Gauge(hertz, 0, 0, 0, 0);
    }
  }

  /**
   * What the air does beside its calm noise.
   *
   * @param times its fluctuation is so many times larger
   * @param apart relative distance of two levels, each kept 1 s on average; 0 for one
   * @param ripple relative amplitude of 100 Hz in what is read; 0 for none
   */
  record Change(double times, double apart, double ripple) {
    static final Change NONE = new Change(1, 0, 0);
  }

  /** A reading, and the level that it is of. */
  record Reading(double[] seconds, double[] values, double truth) {}

  Reading reading(double seconds, Change change, Random random) {
    double before = gauge.meanSeconds() + 8 * gauge.lagSeconds() + 0.1;
    int n = (int) ((seconds + before) * GRID_HERTZ) + 1;
    double size = SIZE * Math.exp(SCATTER * random.nextGaussian()) * change.times();
    double[] air = air(n, random);
    double side = random.nextBoolean() ? 0.5 : -0.5;
    for (int i = 0; i < n; i++) {
      side = random.nextDouble() < 1 / GRID_HERTZ ? -side : side;
      air[i] = LEVEL * (1 + size * air[i] + side * change.apart());
    }
    double[] shown = lagged(averaged(air));
    int count = (int) (seconds * gauge.hertz());
    double[] t = new double[count];
    double[] x = new double[count];
    double phase = 2 * Math.PI * random.nextDouble();
    double offset = gauge.step() * (random.nextDouble() - 0.5); // where the level lies on the steps
    for (int i = 0; i < count; i++) {
      t[i] = (i + gauge.jitter() * (random.nextDouble() - 0.5)) / gauge.hertz();
      double wave =
          LEVEL * change.ripple() * Math.sin(phase + 2 * Math.PI * 100.02 * i / gauge.hertz());
      double value = shown[(int) ((before + Math.max(0, t[i])) * GRID_HERTZ)] + wave + offset;
      x[i] = gauge.step() > 0 ? gauge.step() * Math.rint(value / gauge.step()) : value;
    }
    return new Reading(chunk > 0 ? found(t, x) : t, x, LEVEL + offset);
  }

  /** Times that a stream's clock finds of readings that arrive together. */
  private double[] found(double[] t, double[] x) {
    double[] found = new double[t.length];
    int[] next = {0};
    StreamTimes times = new StreamTimes((seconds, value) -> found[next[0]++] = seconds);
    for (int i = 0; i < t.length; i++) {
      times.reading(t[Math.min(t.length - 1, i / chunk * chunk + chunk - 1)], x[i]);
    }
    times.finish();
    return found;
  }

  private double[] averaged(double[] air) {
    int over = (int) Math.round(gauge.meanSeconds() * GRID_HERTZ);
    if (over < 2) {
      return air;
    }
    double[] mean = new double[air.length];
    double sum = 0;
    for (int i = 0; i < air.length; i++) {
      sum += air[i] - (i >= over ? air[i - over] : 0);
      mean[i] = sum / Math.min(i + 1, over);
    }
    return mean;
  }

  private double[] lagged(double[] air) {
    if (gauge.lagSeconds() == 0) {
      return air;
    }
    double keep = Math.exp(-1 / GRID_HERTZ / gauge.lagSeconds());
    double[] shown = air.clone();
    for (int i = 1; i < air.length; i++) {
      shown[i] = keep * shown[i - 1] + (1 - keep) * air[i];
    }
    return shown;
  }

  /** Air of deviation one about zero. */
  private double[] air(int n, Random random) {
    return switch (law) {
      case GAUSS -> rhythm(n, random);
      case SKEW_075 -> Arrays.stream(rhythm(n, random)).map(g -> skewed(g, 0.2418)).toArray();
      case SKEW_19 -> Arrays.stream(rhythm(n, random)).map(g -> skewed(g, 0.5514)).toArray();
      case T4 -> Arrays.stream(rhythm(n, random)).map(ShopNoise::t4).toArray();
      case CASCADE -> cascade(n, random);
      case BLOWER -> BlowerNoise.draw(n, GRID_HERTZ, random);
    };
  }

  /** Correlation exp(-t/0.2 s). */
  private static double[] rhythm(int n, Random random) {
    double keep = Math.exp(-1 / GRID_HERTZ / AIR_SECONDS);
    double[] x = new double[n];
    x[0] = random.nextGaussian();
    for (int i = 1; i < n; i++) {
      x[i] = keep * x[i - 1] + Math.sqrt(1 - keep * keep) * random.nextGaussian();
    }
    return x;
  }

  /**
   * Lognormal, turned over: skewness is -(e^{s²} + 2) √(e^{s²} - 1), -0.75 for s = 0.2418 and -1.9
   * for s = 0.5514 (moments of the lognormal distribution, any handbook).
   */
  private static double skewed(double gauss, double s) {
    double grow = Math.exp(s * s);
    double mean = Math.sqrt(grow);
    return (mean - Math.exp(s * gauss)) / Math.sqrt(grow * (grow - 1));
  }

  private static final double[] T4_AT = new double[1201];

  static {
    TDistribution t = new TDistribution(4);
    NormalDistribution normal = new NormalDistribution();
    for (int i = 0; i < T4_AT.length; i++) {
      double share = normal.cumulativeProbability((i - 600) / 100.0);
      T4_AT[i] = t.inverseCumulativeProbability(share) / Math.sqrt(2); // variance 4/(4 - 2)
    }
  }

  private static double t4(double gauss) {
    return T4_AT[Math.max(0, Math.min(1200, (int) Math.rint(600 + 100 * gauss)))];
  }

  /** Spectrum f^-5/3 above 0.2 Hz, flat below: a sum of many waves of random phase and height. */
  private static double[] cascade(int n, Random random) {
    int size = Integer.highestOneBit(8 * n - 1);
    double[] re = new double[size];
    double[] im = new double[size];
    double power = 0;
    for (int k = 1; k < size / 2; k++) {
      double f = Math.max(0.2, k * GRID_HERTZ / size);
      double height = Math.pow(f, -5.0 / 6);
      re[k] = height * random.nextGaussian();
      im[k] = height * random.nextGaussian();
      power += height * height;
    }
    Fourier.transform(re, im);
    double by = 1 / Math.sqrt(power);
    return Arrays.stream(re, 0, n).map(v -> v * by).toArray();
  }
}
