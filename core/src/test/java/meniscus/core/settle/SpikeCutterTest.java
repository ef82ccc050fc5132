package meniscus.core.settle;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Random;
import org.junit.jupiter.api.Test;

class SpikeCutterTest {

  private final List<Double> kept = new ArrayList<>();
  private final SpikeCutter cutter = new SpikeCutter((seconds, value) -> kept.add(value), false);

  private void feed(double[] values) {
    for (int i = 0; i < values.length; i++) {
      cutter.add(i * 0.01, values[i]);
    }
    cutter.finish();
  }

  private static double[] noise(int n, long seed) {
    Random random = new Random(seed);
    double[] x = new double[n];
    for (int i = 0; i < n; i++) {
      x[i] = 10 + 0.1 * random.nextGaussian();
    }
    return x;
  }

  @Test
  void spikesAreCutAndCountedWhereverTheyStand() {
    double[] x = noise(1000, 1);
    for (int at : new int[] {2, 60, 61, 500, 998}) {
      x[at] += 3;
    }
    feed(x);
    assertEquals(5, cutter.cut());
    assertEquals(1000, cutter.judged());
    assertTrue(kept.get(60).isNaN() && kept.get(61).isNaN() && kept.get(2).isNaN());
  }

  @Test
  void noiseAndStepsStay() {
    double[] x = noise(200_000, 2);
    for (int i = 100_000; i < x.length; i++) {
      x[i] += 5;
    }
    feed(x);
    assertEquals(0, cutter.cut());
  }

  @Test
  void aSmoothSwingStays() {
    double[] x = new double[4000];
    for (int i = 0; i < x.length; i++) {
      x[i] = Math.sin(i * 0.02);
    }
    feed(x);
    assertEquals(0, cutter.cut());
  }

  @Test
  void flickerOfTheLastDigitStays() {
    double[] x = new double[2000];
    for (int i = 0; i < x.length; i++) {
      x[i] = i % 97 == 0 ? 20.1 : 20.0;
    }
    cutter.resolution(0.1);
    feed(x);
    assertEquals(0, cutter.cut());
  }

  /** The rule as its Javadoc has it, with each window and each memory sorted anew. */
  @Test
  void itCutsWhatTheRuleCuts() {
    Random random = new Random(20320203);
    double[] x = new double[5000];
    for (int i = 0; i < x.length; i++) {
      double size = random.nextInt(12) == 0 ? 2 : 0.1;
      x[i] = Math.round(100 * size * random.nextGaussian()) / 100.0 + (i > 3000 ? 4 : 0);
    }
    List<Double> spreads = new ArrayList<>();
    double deviation = 0;
    List<Double> expected = new ArrayList<>();
    for (int i = 0; i < x.length; i++) {
      int from = Math.max(0, Math.min(i - 5, x.length - 11));
      // The last window stays where it is while the last readings are judged.
      double[] window = Arrays.copyOfRange(x, from, from + 11);
      double middle = median(window);
      double spread =
          1.4826 * median(Arrays.stream(window).map(v -> Math.abs(v - middle)).toArray());
      double limit;
      boolean few = spreads.size() < 10;
      if (few || i % 3 == 0) {
        spreads.add(spread);
        if (spreads.size() % 10 == 0) {
          int last = spreads.size();
          deviation =
              median(
                  spreads.subList(Math.max(0, last - 100), last).stream()
                      .mapToDouble(Double::doubleValue)
                      .toArray());
        }
      }
      limit = few ? 16 * spread : 8 * deviation;
      expected.add(Math.abs(x[i] - middle) > limit ? Double.NaN : x[i]);
    }
    feed(x);
    assertEquals(expected, kept);
    assertTrue(cutter.cut() > 50, "seed 20320203, cut: " + cutter.cut());
  }

  private static double median(double[] values) {
    double[] sorted = values.clone();
    Arrays.sort(sorted);
    return sorted[sorted.length / 2];
  }

  /** What leaves at once is what would have left later. */
  @Test
  void promptlyTheSameReadingsLeaveAndNearlyAllAtOnce() {
    double[] x = noise(5000, 5);
    for (int at : new int[] {60, 61, 500, 1800, 4000}) {
      x[at] += 3;
    }
    for (int i = 2500; i < x.length; i++) {
      x[i] += 5;
    }
    feed(x);
    List<Double> late = List.copyOf(kept);
    List<Double> prompt = new ArrayList<>();
    List<Integer> behind = new ArrayList<>();
    SpikeCutter cutter = new SpikeCutter((seconds, value) -> prompt.add(value), true);
    for (int i = 0; i < x.length; i++) {
      cutter.add(i * 0.01, x[i]);
      behind.add(i + 1 - prompt.size());
    }
    cutter.finish();
    assertEquals(late, prompt);
    long atOnce = behind.stream().filter(held -> held == 0).count();
    assertTrue(atOnce > 0.9 * x.length, atOnce + " of " + x.length);
    assertTrue(behind.subList(11, x.length).stream().allMatch(held -> held <= SpikeCutter.HALF));
  }

  /**
   * One window of eleven readings that lie close by chance stood for ten: one reading of 22 s at
   * two a second in 600 was called an instrument full of spikes.
   */
  @Test
  void calmReadingsOfASlowGaugeAreHardlyEverCut() {
    int cut = 0;
    for (int seed = 1; seed <= 4000; seed++) {
      Random random = new Random(seed);
      SpikeCutter cutter = new SpikeCutter((seconds, value) -> {}, true);
      for (int i = 0; i < 44; i++) {
        cutter.add(0.5 * i, random.nextGaussian());
      }
      cutter.finish();
      assertTrue(cutter.cut() <= 2, "seed " + seed + ", cut: " + cutter.cut());
      cut += cutter.cut();
    }
    assertTrue(cut < 20, cut + " cut in 4000 series of 44, seeds 1 to 4000");
  }
}
