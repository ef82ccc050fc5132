package meniscus.core.time;

import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.Arrays;
import java.util.Locale;
import java.util.Random;
import java.util.function.BiFunction;
import meniscus.core.steadiness.Binomial;
import org.junit.jupiter.api.Tag;
import org.junit.jupiter.api.Test;

/** How well sample times are recovered: the table in docs/figures.md. */
@Tag("bench")
class StreamClockFiguresTest {

  private static final int TRIALS = 200;
  private static final long SEED = 16;
  private static final double[] PERIODS = {0.005, 0.02, 0.1, 0.2};

  private static void cell(String name, BiFunction<double[], Random, double[]> way) {
    StringBuilder line = new StringBuilder(name);
    for (double period : PERIODS) {
      double[] errors = new double[TRIALS];
      int counted = 0;
      int uneven = 0;
      for (int trial = 0; trial < TRIALS; trial++) {
        Random random = new Random(SEED + trial);
        double own = period * (1 + 1e-3 * random.nextGaussian());
        double[] taken = Arrivals.even((int) (60 / period), own);
        double[] arrivals = way.apply(taken, random);
        StreamClock clock = new StreamClock();
        double sum = 0;
        double squares = 0;
        int n = 0;
        for (int k = 0; k < taken.length; k++) {
          double off = (clock.sampled(arrivals[k]) - taken[k]) / own;
          if (taken[k] > 20) {
            sum += off;
            squares += off * off;
            n++;
          }
        }
        errors[trial] = Math.sqrt(Math.max(0, squares / n - sum / n * sum / n));
        counted += clock.lost() > 0 ? 1 : 0;
        uneven += clock.isEven() ? 0 : 1;
      }
      Arrays.sort(errors);
      line.append(
          String.format(
              Locale.ROOT,
              " | %.3f, %.3f, %d, %d",
              errors[TRIALS / 2],
              errors[(int) (0.95 * TRIALS)],
              counted,
              uneven));
    }
    System.out.println(line);
  }

  @Test
  void errorsOfSampleTimesInIntervals() {
    System.out.println(
        "median and 95 % point of the rms error in intervals, of "
            + TRIALS
            + " trials those that counted a loss and those called uneven, at "
            + Arrays.toString(PERIODS)
            + " s");
    for (int group : new int[] {1, 2, 4, 10, 20}) {
      cell("groups of " + group, (taken, random) -> Arrivals.grouped(taken, group));
    }
    cell("timer of 16 ms", (taken, random) -> Arrivals.timer(taken, 0.016));
    cell("network", Arrivals::network);
    cell("late by up to 16 ms", (taken, random) -> Arrivals.late(taken, 0.016, random));
    cell(
        "each step ±50 %",
        (taken, random) -> {
          double[] arrivals = new double[taken.length];
          for (int k = 1; k < taken.length; k++) {
            double step = taken[k] - taken[k - 1];
            arrivals[k] = arrivals[k - 1] + step * (0.5 + random.nextDouble());
          }
          return arrivals;
        });
    int right = 0;
    int trials = 0;
    for (double period : new double[] {0.005, 0.02, 0.1}) {
      for (int trial = 0; trial < TRIALS; trial++) {
        Random random = new Random(SEED + trial);
        double[] taken = Arrivals.even((int) (90 / period), period);
        double[] arrivals =
            switch (trial % 4) {
              case 0 -> Arrivals.grouped(taken, 1);
              case 1 -> Arrivals.grouped(taken, 4);
              case 2 -> Arrivals.timer(taken, 0.016);
              default -> Arrivals.network(taken, random);
            };
        boolean[] missing = new boolean[taken.length];
        for (int at = 1; at <= 3; at++) {
          int first = taken.length * at / 5 + random.nextInt(50);
          Arrays.fill(missing, first, first + 1 + random.nextInt(3), true);
        }
        StreamClock clock = new StreamClock();
        int lost = 0;
        for (int k = 0; k < taken.length; k++) {
          if (missing[k]) {
            lost++;
          } else {
            clock.sampled(arrivals[k]);
          }
        }
        trials++;
        right += clock.lost() == lost ? 1 : 0;
      }
    }
    System.out.println("lost samples counted right in " + right + " of " + trials);
    // docs/figures.md claims 94 %: 568 of 600.
    assertTrue(Binomial.couldBe(right, trials, 0.94), right + " of " + trials);
  }
}
