package meniscus.core.pipeline;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.Random;
import org.junit.jupiter.api.Test;

/** When samples were taken, from when they arrived. */
class SampleClockTest {

  private static final long SEED = 815;

  /** Scatter of moments about an even clock: standard deviation from the end of warming up on. */
  private static double scatter(double[] moments, double period, int from) {
    double sum = 0;
    double squares = 0;
    int count = moments.length - from;
    for (int k = from; k < moments.length; k++) {
      double off = moments[k] - k * period;
      sum += off;
      squares += off * off;
    }
    return Math.sqrt(Math.max(0, squares / count - sum / count * sum / count));
  }

  private static double[] sampled(double[] arrivals) {
    SampleClock clock = new SampleClock();
    double[] moments = new double[arrivals.length];
    for (int k = 0; k < arrivals.length; k++) {
      moments[k] = clock.sampled(arrivals[k]);
      assertTrue(moments[k] <= arrivals[k], "later than its arrival");
      assertTrue(k == 0 || moments[k] >= moments[k - 1], "falls");
    }
    return moments;
  }

  /** Samples of an even clock, each some time on its way, none before the one before it. */
  private static double[] delayed(int count, double period, double longest) {
    Random random = new Random(SEED);
    double[] arrivals = new double[count];
    for (int k = 0; k < count; k++) {
      double arrival = k * period + longest * random.nextDouble();
      arrivals[k] = k == 0 ? arrival : Math.max(arrival, arrivals[k - 1]);
    }
    return arrivals;
  }

  @Test
  void theEvenClockIsFoundBehindDelaysOfSixteenMilliseconds() {
    double period = 0.0200031;
    double[] arrivals = delayed(2000, period, 0.016);
    assertTrue(
        scatter(sampled(arrivals), period, 256) < scatter(arrivals, period, 256) / 4,
        scatter(sampled(arrivals), period, 256) + " s of " + scatter(arrivals, period, 256));
  }

  @Test
  void framesThatArriveInBunchesAreSpreadOutAgain() {
    double period = 0.002;
    double[] arrivals = new double[4000];
    for (int k = 0; k < arrivals.length; k++) {
      arrivals[k] = Math.ceil((k * period + 1e-6) / 0.016) * 0.016;
    }
    double[] moments = sampled(arrivals);
    assertTrue(scatter(moments, period, 256) < 0.0005, "" + scatter(moments, period, 256));
    for (int k = 1000; k < moments.length; k++) {
      assertEquals(period, moments[k] - moments[k - 1], 0.0009);
    }
  }

  @Test
  void anInstrumentWithoutAnEvenClockKeepsItsArrivals() {
    Random random = new Random(SEED);
    double[] arrivals = new double[500];
    for (int k = 1; k < arrivals.length; k++) {
      arrivals[k] = arrivals[k - 1] + 1 + 9 * random.nextDouble();
    }
    assertEquals(arrivals[499], sampled(arrivals)[499]);
    SampleClock clock = new SampleClock();
    for (double arrival : arrivals) {
      clock.sampled(arrival);
    }
    assertFalse(clock.isEven());
    assertEquals(5.5 / Math.sqrt(12), clock.standardUncertaintySeconds(), 0.3);
  }

  @Test
  void aLostFrameOrAGapPutsNoLaterSampleOffByAPeriod() {
    for (int lost : new int[] {1, 7, 300}) {
      double period = 0.05;
      double[] whole = delayed(1500, period, 0.004);
      double[] arrivals = new double[whole.length - lost];
      System.arraycopy(whole, 0, arrivals, 0, 500);
      System.arraycopy(whole, 500 + lost, arrivals, 500, arrivals.length - 500);
      double[] moments = sampled(arrivals);
      for (int k = 0; k < arrivals.length; k++) {
        double taken = (k < 500 ? k : k + lost) * period;
        assertEquals(taken, moments[k], 0.006, "frame " + k + " with " + lost + " lost");
      }
    }
  }

  @Test
  void theUncertaintyIsTheScatterOfTheArrivals() {
    SampleClock clock = new SampleClock();
    assertEquals(0, clock.standardUncertaintySeconds());
    for (double arrival : delayed(1000, 0.1, 0.01)) {
      clock.sampled(arrival);
    }
    assertEquals(0.01 / Math.sqrt(12), clock.standardUncertaintySeconds(), 0.0006);
  }
}
