package meniscus.core.compare;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Random;
import meniscus.core.bench.Repeatability;
import org.hipparchus.distribution.continuous.TDistribution;
import org.hipparchus.distribution.discrete.BinomialDistribution;
import org.junit.jupiter.api.Tag;
import org.junit.jupiter.api.Test;

/** What six fittings are worth, and what leaning on other benches costs. */
class RepeatabilityOverBenchesTest {

  private static final long SEED = 20_311_207;

  private static Repeatability.Series series(String head, double sd, double degrees) {
    return new Repeatability.Series(
        head,
        List.of(head + "-1", head + "-2"),
        Instant.EPOCH,
        1,
        List.of(new Repeatability.Node(5e-3, sd)),
        0.5,
        degrees);
  }

  /** 95 % of chi squared with 5 degrees: 0.831 to 12.833 (any table; Abramowitz, Stegun 26.8). */
  @Test
  void sixFittingsKnowAScatterToAboutHalfAndTwiceAndAHalf() {
    double[] within = RepeatabilityOverBenches.knownWithin(5);
    assertEquals(Math.sqrt(5 / 12.833), within[0], 1e-3);
    assertEquals(Math.sqrt(5 / 0.831), within[1], 1e-3);
  }

  @Test
  void aQuietSeriesIsDrawnTowardsWhatIsUsualAndARoughOneIsBelieved() {
    Repeatability quiet = RepeatabilityOverBenches.of(List.of(series("a", 0.001, 5)));
    double expected = Math.sqrt((4 * 0.003 * 0.003 + 5 * 0.001 * 0.001) / 9);
    assertEquals(expected, quiet.nodes().get(0).relativeStandardDeviation(), 1e-12);
    assertEquals(9, quiet.degreesOfFreedom());
    Repeatability rough = RepeatabilityOverBenches.of(List.of(series("a", 0.007, 5)));
    assertEquals(0.007, rough.nodes().get(0).relativeStandardDeviation(), 1e-12);
    assertEquals(5, rough.degreesOfFreedom());
  }

  @Test
  void everyLaterSeriesCounts() {
    Repeatability all =
        RepeatabilityOverBenches.of(List.of(series("a", 0.004, 5), series("b", 0.008, 10)));
    assertEquals(15, all.degreesOfFreedom());
    assertEquals(
        Math.sqrt((5 * 0.004 * 0.004 + 10 * 0.008 * 0.008) / 15),
        all.nodes().get(0).relativeStandardDeviation(),
        1e-12);
    assertEquals(2, all.from().size());
  }

  /** Benches from very good to rough: a claim of 5 % is wrong in no more than 5 %. */
  @Test
  void falseClaimsKeepTheirRateOnBenchesThatAreNotUsual() {
    claims(4000, new Random(SEED));
  }

  @Test
  @Tag("bench")
  void falseClaimsKeepTheirRateOnBenchesThatAreNotUsualAtFullSize() {
    claims(200_000, new Random(SEED + 1));
  }

  private static void claims(int jobs, Random random) {
    for (double truth : new double[] {0.0015, 0.003, 0.0045, 0.006, 0.010, 0.014}) {
      int wrong = 0;
      for (int job = 0; job < jobs; job++) {
        Repeatability known =
            RepeatabilityOverBenches.of(List.of(series("a", sampled(truth, 6, random), 5)));
        double difference = Math.sqrt(2) * truth * random.nextGaussian();
        double limit =
            new TDistribution(known.degreesOfFreedom()).inverseCumulativeProbability(0.975)
                * Math.sqrt(2)
                * known.nodes().get(0).relativeStandardDeviation();
        wrong += Math.abs(difference) > limit ? 1 : 0;
      }
      System.out.printf(
          Locale.ROOT,
          "true scatter %.2f %%: %.2f %% of %d claims false, seed %d%n",
          100 * truth,
          100.0 * wrong / jobs,
          jobs,
          SEED);
      // Tried beforehand with 200 000 jobs: 5.1 % at the most.
      int most = new BinomialDistribution(jobs, 0.052).inverseCumulativeProbability(0.999);
      assertTrue(wrong <= most, "true " + truth + ": " + wrong + " of " + jobs);
    }
  }

  /** Standard deviation of some fittings. */
  private static double sampled(double truth, int fittings, Random random) {
    List<Double> values = new ArrayList<>();
    double mean = 0;
    for (int i = 0; i < fittings; i++) {
      double value = truth * random.nextGaussian();
      values.add(value);
      mean += value / fittings;
    }
    double squares = 0;
    for (double value : values) {
      squares += (value - mean) * (value - mean);
    }
    return Math.sqrt(squares / (fittings - 1));
  }
}
