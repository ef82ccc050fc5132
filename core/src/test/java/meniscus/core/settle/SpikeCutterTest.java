package meniscus.core.settle;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.ArrayList;
import java.util.List;
import java.util.Random;
import org.junit.jupiter.api.Test;

class SpikeCutterTest {

  private final List<Double> kept = new ArrayList<>();
  private final SpikeCutter cutter = new SpikeCutter((seconds, value) -> kept.add(value));

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
}
