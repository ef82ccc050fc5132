package meniscus.core.time;

import java.util.Random;
import java.util.function.DoubleUnaryOperator;

/** Ways in which even samples come to a computer: sample times in, arrival times out. */
public final class Arrivals {

  private Arrivals() {}

  /** Even samples [s]. */
  public static double[] even(int count, double period) {
    return moved(count, period, t -> t);
  }

  /** Samples of a clock that is moved [s]. */
  public static double[] moved(int count, double period, DoubleUnaryOperator clock) {
    double[] taken = new double[count];
    for (int k = 0; k < count; k++) {
      taken[k] = clock.applyAsDouble(k * period);
    }
    return taken;
  }

  /** Each sample waits for the others of its group. */
  public static double[] grouped(double[] taken, int group) {
    double[] arrivals = new double[taken.length];
    for (int k = 0; k < taken.length; k++) {
      arrivals[k] = taken[Math.min(taken.length - 1, k / group * group + group - 1)] + 0.001;
    }
    return arrivals;
  }

  /** Each sample waits for the next tick of an adapter's timer. */
  public static double[] timer(double[] taken, double tick) {
    double[] arrivals = new double[taken.length];
    for (int k = 0; k < taken.length; k++) {
      arrivals[k] = Math.ceil((taken[k] + 1e-6) / tick) * tick;
    }
    return arrivals;
  }

  /** Groups of 4 to 10, of which 15 in 100 come late by some 10 ms; none overtakes. */
  public static double[] network(double[] taken, Random random) {
    double[] arrivals = new double[taken.length];
    double before = 0;
    for (int k = 0; k < taken.length; ) {
      int group = Math.min(taken.length - k, 4 + random.nextInt(7));
      double late = random.nextDouble() < 0.15 ? -0.01 * Math.log(1 - random.nextDouble()) : 0;
      double arrival = Math.max(before, taken[k + group - 1] + 0.002 + late);
      for (int i = 0; i < group; i++) {
        arrivals[k++] = arrival;
      }
      before = arrival;
    }
    return arrivals;
  }

  /** Each sample late by up to so much, none overtaking the one before it. */
  public static double[] late(double[] taken, double longest, Random random) {
    double[] arrivals = new double[taken.length];
    for (int k = 0; k < taken.length; k++) {
      double arrival = taken[k] + longest * random.nextDouble();
      arrivals[k] = k == 0 ? arrival : Math.max(arrival, arrivals[k - 1]);
    }
    return arrivals;
  }
}
