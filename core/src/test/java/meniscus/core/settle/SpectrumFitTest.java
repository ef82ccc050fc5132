package meniscus.core.settle;

import static org.junit.jupiter.api.Assertions.assertEquals;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Random;
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
    NoiseShape shape = SpectrumFit.of(runs, 0.1, 10, GaugeTransfer.NONE);
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

  /** A mean of 1 s over readings 0.2 s apart, made as sums of white noise that decays. */
  @Test
  void aGaugesOwnMeanIsFoundAndNoneWhereThereIsNone() {
    Random random = new Random(9);
    List<double[]> plain = new ArrayList<>();
    List<double[]> averaged = new ArrayList<>();
    for (int r = 0; r < 10; r++) {
      double[] air = new double[305];
      for (int i = 1; i < air.length; i++) {
        air[i] = 0.3 * air[i - 1] + random.nextGaussian();
      }
      double[] shown = new double[300];
      for (int i = 0; i < shown.length; i++) {
        shown[i] = (air[i] + air[i + 1] + air[i + 2] + air[i + 3] + air[i + 4]) / 5;
      }
      plain.add(Arrays.copyOf(air, 300));
      averaged.add(shown);
    }
    assertEquals(
        1, SpectrumFit.of(averaged, 0.2, 1, GaugeTransfer.NONE).meanSeconds(), 0.01, "seed 9");
    assertEquals(0, SpectrumFit.of(plain, 0.2, 1, GaugeTransfer.NONE).meanSeconds(), "seed 9");
  }

  /** A lag is nobody's to find; told, it is in what is learned, and the rest is the air's. */
  @Test
  void aLagThatIsToldIsInWhatIsLearned() {
    NoiseShape truth =
        NoiseShape.of(NoiseShape.Term.decaying(1, 0.2)).through(new GaugeTransfer(0, 0.5));
    SplittableRandom random = new SplittableRandom(10);
    NoiseSimulator simulator = new NoiseSimulator(truth, 0.1, 10);
    List<double[]> runs = new ArrayList<>();
    for (int r = 0; r < 10; r++) {
      runs.add(simulator.draw(600, random));
    }
    NoiseShape told = SpectrumFit.of(runs, 0.1, 10, new GaugeTransfer(0, 0.5));
    assertEquals(
        0.5,
        told.terms().stream()
            .filter(term -> term.lagSeconds() > 0)
            .mapToDouble(NoiseShape.Term::share)
            .sum(),
        0.5,
        "seed 10: " + told);
    double exact = simulator.longRunVariance();
    assertEquals(exact, new NoiseSimulator(told, 0.1, 10).longRunVariance(), 0.15 * exact);
    NoiseShape mean = SpectrumFit.of(runs, 0.1, 10, new GaugeTransfer(0.4, 0));
    assertEquals(0.4, mean.meanSeconds(), "as told");
  }

  @Test
  void swinging() {
    assertLearned(NoiseShape.of(NoiseShape.Term.swinging(1, 0.4, 1.5)));
  }
}
