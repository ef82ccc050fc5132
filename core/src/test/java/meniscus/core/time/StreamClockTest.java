package meniscus.core.time;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.Arrays;
import java.util.Map;
import java.util.Random;
import java.util.TreeMap;
import org.junit.jupiter.api.Test;

/** When samples were taken, from when they arrived. */
class StreamClockTest {

  private static final long SEED = 16_2026;

  private static double[] sampled(StreamClock clock, double[] arrivals) {
    double[] moments = new double[arrivals.length];
    for (int k = 0; k < arrivals.length; k++) {
      moments[k] = clock.sampled(arrivals[k]);
      assertTrue(moments[k] <= arrivals[k], "later than its arrival");
      assertTrue(k == 0 || moments[k] >= moments[k - 1], "falls");
    }
    return moments;
  }

  /**
   * Standard deviation of the error of moments from one on, in intervals; what all share is out.
   */
  private static double error(double[] moments, double[] taken, double period, int from) {
    double sum = 0;
    double squares = 0;
    for (int k = from; k < moments.length; k++) {
      double off = (moments[k] - taken[k]) / period;
      sum += off;
      squares += off * off;
    }
    int n = moments.length - from;
    return Math.sqrt(Math.max(0, squares / n - sum / n * sum / n));
  }

  private static Map<String, double[]> ways(double[] taken, Random random) {
    Map<String, double[]> ways = new TreeMap<>();
    for (int group : new int[] {1, 2, 3, 4, 7, 10, 20}) {
      ways.put("groups of " + group, Arrivals.grouped(taken, group));
    }
    ways.put("timer of 16 ms", Arrivals.timer(taken, 0.016));
    ways.put("network", Arrivals.network(taken, random));
    ways.put("late by up to 16 ms", Arrivals.late(taken, 0.016, random));
    return ways;
  }

  @Test
  void theEvenClockIsFoundBehindGroupsTimersAndNetworks() {
    Random random = new Random(SEED);
    for (double period : new double[] {0.00500013, 0.0200031, 0.1, 0.2}) {
      int seconds = 60;
      double[] taken = Arrivals.even((int) (seconds / period), period);
      ways(taken, random)
          .forEach(
              (way, arrivals) -> {
                StreamClock clock = new StreamClock();
                double[] moments = sampled(clock, arrivals);
                String what = way + ", " + period + " s";
                assertTrue(clock.isEven(), what);
                int from = (int) (20 / period);
                double jitter = way.startsWith("late") ? 0.2 * 0.016 / period : 0;
                if (jitter < 0.5) {
                  assertEquals(0, clock.lost(), what);
                }
                double off = error(moments, taken, period, from);
                assertTrue(off < 0.1 + jitter, what + ": off by " + off + " intervals");
                assertEquals(1, clock.periodSeconds() / period, 2e-4, what);
              });
    }
  }

  @Test
  void evenArrivalsStayWhatTheyAre() {
    double[] arrivals = Arrivals.even(5000, 0.01);
    assertArrayEquals(arrivals, sampled(new StreamClock(), arrivals), 1e-9);
  }

  @Test
  void aClockThatDriftsIsFollowed() {
    double period = 0.02;
    double[] taken = Arrivals.moved(15_000, period, t -> t + 200e-6 * t * t / 600);
    double[] moments = sampled(new StreamClock(), Arrivals.timer(taken, 0.016));
    double off = error(moments, taken, period, 1000);
    assertTrue(off < 0.3, "off by " + off + " intervals");
  }

  @Test
  void samplesLostOnTheWayAreCounted() {
    Random random = new Random(SEED);
    int right = 0;
    int trials = 0;
    for (double period : new double[] {0.005, 0.02, 0.1}) {
      double[] taken = Arrivals.even((int) (90 / period), period);
      for (Map.Entry<String, double[]> way : ways(taken, random).entrySet()) {
        boolean delayed = way.getKey().startsWith("late"); // by several intervals
        boolean slow = period == 0.1 && way.getKey().matches(".* (7|10|20)"); // told after 8 s
        if (delayed || slow) {
          continue;
        }
        boolean[] missing = new boolean[taken.length];
        int lost = 0;
        for (int at = 1; at <= 3; at++) {
          int first = taken.length * at / 5 + random.nextInt(50);
          int many = 1 + random.nextInt(3);
          Arrays.fill(missing, first, first + many, true);
          lost += many;
        }
        StreamClock clock = new StreamClock();
        for (int k = 0; k < taken.length; k++) {
          if (!missing[k]) {
            clock.sampled(way.getValue()[k]);
          }
        }
        trials++;
        right += clock.lost() == lost ? 1 : 0;
      }
    }
    assertEquals(trials, right, "of " + trials + " streams, seed " + SEED);
  }

  @Test
  void afterAGapTheClockIsRightWithTheNextChunk() {
    for (int group : new int[] {1, 4}) {
      for (int gone : new int[] {20, 60, 3000}) {
        double period = 0.05;
        double[] taken = Arrivals.even(5000, period);
        double[] arrivals = Arrivals.grouped(taken, group);
        StreamClock clock = new StreamClock();
        for (int k = 0; k < taken.length; k++) {
          if (k >= 1000 && k < 1000 + gone) {
            continue;
          }
          double moment = clock.sampled(arrivals[k]);
          if (k > 100 && (k < 1000 || k > 1000 + gone + 2 * group)) {
            assertEquals(taken[k] + 0.001, moment, 0.01 * period, "sample " + k + " of " + group);
          }
        }
      }
    }
  }

  @Test
  void whatAPortHeldBeforeItWasOpenedComesAtOnceAndSpoilsNothing() {
    for (int group : new int[] {1, 4, 10}) {
      for (double period : new double[] {0.005, 0.05, 0.2}) {
        double[] taken = Arrivals.even(400 + (int) (40 / period), period);
        double[] arrivals = Arrivals.grouped(taken, group);
        double opened = taken[399];
        StreamClock clock = new StreamClock();
        for (int k = 0; k < taken.length; k++) {
          // In four reads, some milliseconds apart.
          double held = opened + 0.003 * (k / 100);
          double moment = clock.sampled(k < 400 ? held : Math.max(opened + 0.012, arrivals[k]));
          if (taken[k] > opened + 10) {
            assertEquals(taken[k] + 0.001, moment, 0.01 * period, group + ", " + period);
          }
        }
      }
    }
  }

  @Test
  void aStallThatLosesNothingMovesNothing() {
    double period = 0.02;
    double[] taken = Arrivals.even(4000, period);
    double[] arrivals = taken.clone();
    for (int k = 2000; k < 2040; k++) {
      arrivals[k] = taken[2039]; // 0.8 s at once
    }
    StreamClock clock = new StreamClock();
    double[] moments = sampled(clock, arrivals);
    assertArrayEquals(taken, moments, 1e-6);
    assertEquals(0, clock.lost());
  }

  @Test
  void anInstrumentWithoutAnEvenClockKeepsItsArrivals() {
    Random random = new Random(SEED);
    double[] arrivals = new double[2000];
    for (int k = 1; k < arrivals.length; k++) {
      arrivals[k] = arrivals[k - 1] + 0.05 * (1 + random.nextDouble() - 0.5);
    }
    StreamClock clock = new StreamClock();
    double[] moments = sampled(clock, arrivals);
    assertFalse(clock.isEven());
    assertEquals(arrivals[1999], moments[1999]);
    assertTrue(Double.isNaN(clock.periodSeconds()));
  }

  @Test
  void aCounterTellsWhatWasLostAtOnce() {
    double period = 0.05;
    double[] taken = Arrivals.even(2000, period);
    double[] arrivals = Arrivals.grouped(taken, 5);
    StreamClock clock = new StreamClock();
    long before = -1;
    for (int k = 0; k < taken.length; k++) {
      if (k % 97 == 13) {
        continue;
      }
      double moment = clock.sampled(arrivals[k], k - before);
      before = k;
      if (k > 200) {
        assertEquals(taken[k] + 0.001, moment, 1e-6, "sample " + k);
      }
    }
  }

  @Test
  void theUncertaintyIsTheScatterOfTheArrivals() {
    StreamClock clock = new StreamClock();
    assertEquals(0, clock.standardUncertaintySeconds());
    sampled(clock, Arrivals.late(Arrivals.even(3000, 0.1), 0.01, new Random(SEED)));
    assertEquals(0.01 / Math.sqrt(12), clock.standardUncertaintySeconds(), 0.0006);
  }
}
