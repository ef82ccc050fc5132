package meniscus.core.settle;

import static org.junit.jupiter.api.Assertions.assertEquals;

import java.util.ArrayList;
import java.util.List;
import java.util.SplittableRandom;
import org.junit.jupiter.api.Test;

class SpectrumFitTest {

  private static double learned(NoiseShape truth, long seed) {
    NoiseSimulator simulator = new NoiseSimulator(truth, 0.1, 10);
    SplittableRandom random = new SplittableRandom(seed);
    List<double[]> runs = new ArrayList<>();
    for (int r = 0; r < 30; r++) {
      runs.add(simulator.draw(600, random));
    }
    NoiseShape shape = SpectrumFit.of(runs, 0.1, 10);
    return new NoiseSimulator(shape, 0.1, 10).longRunVariance();
  }

  private static void assertLearned(NoiseShape truth) {
    double exact = new NoiseSimulator(truth, 0.1, 10).longRunVariance();
    assertEquals(exact, learned(truth, 8), 0.25 * exact, truth + ", seed 8");
  }

  @Test
  void whiteNoise() {
    assertLearned(NoiseShape.of(NoiseShape.Term.white(1)));
  }

  @Test
  void slowNoise() {
    assertLearned(NoiseShape.of(NoiseShape.Term.decaying(1, 1)));
  }

  @Test
  void twoTimeScales() {
    assertLearned(
        NoiseShape.of(NoiseShape.Term.decaying(0.7, 0.1), NoiseShape.Term.decaying(0.3, 2)));
  }

  @Test
  void swinging() {
    assertLearned(NoiseShape.of(NoiseShape.Term.swinging(1, 0.4, 1.5)));
  }
}
