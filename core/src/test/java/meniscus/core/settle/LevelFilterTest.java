package meniscus.core.settle;

import static org.junit.jupiter.api.Assertions.assertEquals;

import java.util.Random;
import org.hipparchus.linear.Array2DRowRealMatrix;
import org.hipparchus.linear.CholeskyDecomposition;
import org.hipparchus.linear.RealMatrix;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

/** The filter against the same least squares worked out with whole covariance matrices. */
class LevelFilterTest {

  private static final NoiseShape MIXED =
      NoiseShape.of(
          NoiseShape.Term.white(0.2),
          NoiseShape.Term.decaying(0.5, 0.7),
          NoiseShape.Term.swinging(0.3, 0.6, 1.4));

  /** Autocovariance of one reading of unit process variance, from its closed form. */
  private static double reading(NoiseShape.Term term, double t) {
    double decay = Math.exp(-t / term.decaySeconds());
    if (term.lagSeconds() > 0) { // two poles in a row: any handbook of linear systems
      double a = 1 / term.decaySeconds();
      double b = 1 / term.lagSeconds();
      return (b * decay - a * Math.exp(-b * t)) / (b - a);
    }
    if (term.hertz() == 0) {
      return decay;
    }
    double natural = 2 * Math.PI * term.hertz();
    double damping = 1 / term.decaySeconds();
    double swing = Math.sqrt(natural * natural - damping * damping);
    return decay * (Math.cos(swing * t) + damping / swing * Math.sin(swing * t));
  }

  private static double block(NoiseShape.Term term, int lag, int readings, double seconds) {
    double sum = 0;
    for (int i = 0; i < readings; i++) {
      for (int k = 0; k < readings; k++) {
        double t = Math.abs(lag * readings + i - k) * seconds / readings;
        sum += reading(term, t);
      }
    }
    return sum / readings / readings;
  }

  private static double[] autocovariance(
      NoiseShape shape, int count, int readings, double seconds) {
    double[] gamma = new double[count];
    for (NoiseShape.Term term : shape.terms()) {
      for (int lag = 0; lag < count; lag++) {
        gamma[lag] +=
            term.decaySeconds() == 0
                ? (lag == 0 ? term.share() : 0)
                : term.share()
                    * block(term, lag, readings, seconds)
                    / block(term, 0, readings, seconds);
      }
    }
    return gamma;
  }

  /** Through a gauge's moving mean over three and a half blocks; white noise passes by it. */
  private static double[] throughMean(NoiseShape shape, int count) {
    double[] taps = {1 / 3.5, 1 / 3.5, 1 / 3.5, 0.5 / 3.5};
    double[] gamma = new double[count];
    for (NoiseShape.Term term : shape.terms()) {
      double[] air = autocovariance(NoiseShape.of(term.withShare(1)), count + 4, 10, 0.1);
      double[] shown = new double[count];
      for (int lag = 0; lag < count; lag++) {
        for (int i = 0; i < taps.length; i++) {
          for (int k = 0; k < taps.length; k++) {
            shown[lag] += taps[i] * taps[k] * air[Math.abs(lag + i - k)];
          }
        }
      }
      for (int lag = 0; lag < count; lag++) {
        boolean white = term.decaySeconds() == 0;
        gamma[lag] += term.share() * (white ? air[lag] : shown[lag] / shown[0]);
      }
    }
    return gamma;
  }

  @Test
  void blockMeansHaveTheCovarianceOfAveragedReadings() {
    assertSame(autocovariance(MIXED, 40, 10, 0.1), MIXED);
  }

  @Test
  void soTheyHaveThroughAGaugesMovingMean() {
    assertSame(throughMean(MIXED, 40), MIXED.through(0.35));
  }

  @Test
  void soTheyHaveBehindAGaugesLag() {
    NoiseShape lagged = MIXED.through(new GaugeTransfer(0, 0.5));
    assertSame(autocovariance(lagged, 40, 10, 0.1), lagged);
    NoiseShape both = MIXED.through(new GaugeTransfer(0.35, 0.5));
    assertSame(throughMean(lagged, 40), both);
    assertSum(both);
  }

  /** A lag as long as the air's own decay: the limit of two poles that meet. */
  @Test
  void aLagAsLongAsTheAirsDecayIsTheLimitOfLagsNearIt() {
    NoiseShape air = NoiseShape.of(NoiseShape.Term.decaying(1, 0.5));
    double[] equal =
        new BlockNoise(air.through(new GaugeTransfer(0, 0.5)), 0.1, 10).autocovariance(40);
    assertSame(equal, 1e-4, air.through(new GaugeTransfer(0, 0.5001)));
  }

  private static void assertSame(double[] expected, NoiseShape shape) {
    assertSame(expected, 1e-10, shape);
  }

  private static void assertSame(double[] expected, double within, NoiseShape shape) {
    double[] found = new BlockNoise(shape, 0.1, 10).autocovariance(40);
    for (int lag = 0; lag < 40; lag++) {
      assertEquals(expected[lag], found[lag], within, "lag " + lag);
    }
  }

  @ParameterizedTest
  @ValueSource(doubles = {0, 0.35})
  void longRunVarianceIsTheSumOfTheAutocovariance(double gaugeMean) {
    assertSum(MIXED.through(gaugeMean));
  }

  private static void assertSum(NoiseShape shape) {
    BlockNoise noise = new BlockNoise(shape, 0.1, 10);
    double[] gamma = noise.autocovariance(2000);
    double sum = gamma[0];
    for (int lag = 1; lag < gamma.length; lag++) {
      sum += 2 * gamma[lag];
    }
    assertEquals(sum, noise.longRunVariance(), 1e-9);
  }

  @ParameterizedTest
  @ValueSource(doubles = {0, 0.35})
  void sumsAreThoseOfGeneralisedLeastSquaresGapsIncluded(double gaugeMean) {
    int n = 60;
    Random random = new Random(12);
    LevelFilter filter = new LevelFilter(new BlockNoise(MIXED.through(gaugeMean), 0.1, 10), 1);
    double[] gamma = gaugeMean > 0 ? throughMean(MIXED, n) : autocovariance(MIXED, n, 10, 0.1);
    double[][] rows = new double[n][];
    int[] at = new int[n];
    int kept = 0;
    for (int i = 0; i < n; i++) {
      double[] row = {random.nextGaussian(), 1, Math.exp(-i / 9.0)};
      if (i == 7 || i >= 20 && i < 25) {
        filter.skip();
      } else {
        filter.step(row);
        at[kept] = i;
        rows[kept++] = row;
      }
    }
    RealMatrix covariance = new Array2DRowRealMatrix(kept, kept);
    RealMatrix x = new Array2DRowRealMatrix(kept, 3);
    for (int i = 0; i < kept; i++) {
      x.setRow(i, rows[i]);
      for (int k = 0; k < kept; k++) {
        covariance.setEntry(i, k, gamma[Math.abs(at[i] - at[k])]);
      }
    }
    CholeskyDecomposition root = new CholeskyDecomposition(covariance);
    RealMatrix sums = x.transposeMultiply(root.getSolver().solve(x));
    assertEquals(sums.getEntry(0, 0), filter.yy, 1e-6);
    assertEquals(sums.getEntry(0, 1), filter.y[0], 1e-6);
    assertEquals(sums.getEntry(0, 2), filter.y[1], 1e-6);
    assertEquals(sums.getEntry(1, 1), filter.own[0], 1e-6);
    assertEquals(sums.getEntry(1, 2), filter.one[1], 1e-6);
    assertEquals(sums.getEntry(2, 2), filter.own[1], 1e-6);
    assertEquals(Math.log(root.getDeterminant()), filter.logDeterminant, 1e-6);
  }
}
