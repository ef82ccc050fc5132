package meniscus.core.compare;

import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.Locale;
import meniscus.core.compare.RivalJobs.Truth;
import meniscus.core.finding.Finding.Kind;
import meniscus.core.lift.Plan;
import org.junit.jupiter.api.Tag;
import org.junit.jupiter.api.Test;

/**
 * How often made-up jobs with one known cause are called a likely short side, and how often a gain
 * or a loss is claimed that is not there. Bounds are the aims with three sigma of the binomial law;
 * the full size and its figures are in the bench group. Seeds were used for nothing else.
 */
class RivalCausesTest {

  private static final double BY_HAND = Plan.SetUp.USUAL_LIFT_ZERO_M;
  private static final double READ_TWICE = Plan.SetUp.LIFT_ZERO_READ_TWICE_M;

  /** What came of a number of jobs. */
  private record Rates(int jobs, int likely, int loses, int claimed, int zeroNamed, int leakNamed) {
    boolean likelyAtMost(double p) {
      return likely <= p * jobs + slack(p);
    }

    boolean likelyAtLeast(double p) {
      return likely >= p * jobs - slack(p);
    }

    boolean claimedAtMost(double p) {
      return claimed <= p * jobs + slack(p);
    }

    private double slack(double p) {
      return 3 * Math.sqrt(p * (1 - p) * jobs) + 0.5;
    }
  }

  @Test
  void aSteadyChokeIsSeldomCalledAShortSide() {
    assertTrue(rates(40, 8101, Truth.GAIN_BELOW_AND_CHOKE, BY_HAND).likelyAtMost(0.05));
  }

  @Test
  void aWetSeatIsSeldomCalledAShortSide() {
    assertTrue(rates(40, 8102, Truth.WET_SEAT, BY_HAND).likelyAtMost(0.05));
  }

  @Test
  void aShiftedLiftZeroIsSeldomCalledAnything() {
    Rates rates = rates(40, 8103, Truth.LIFT_ZERO, BY_HAND);
    assertTrue(rates.likelyAtMost(0.05), rates.toString());
    assertTrue(rates.claimedAtMost(0.05), rates.toString());
  }

  @Test
  void aLeakIsSeldomCalledAShortSide() {
    assertTrue(rates(40, 8104, Truth.LEAK, BY_HAND).likelyAtMost(0.05));
  }

  @Test
  void aLossWithRoughAirIsCalledOne() {
    assertTrue(rates(40, 8105, Truth.LOSS_WITH_ROUGH_AIR, BY_HAND).likelyAtLeast(0.9));
  }

  @Test
  void aLossWithTwoLevelsIsCalledOne() {
    assertTrue(rates(40, 8106, Truth.LOSS_WITH_TWO_LEVELS, BY_HAND).likelyAtLeast(0.9));
  }

  @Test
  void aSeparationWithoutGainBelowIsCalledOne() {
    assertTrue(rates(40, 8107, Truth.SEPARATION_WITHOUT_GAIN, BY_HAND).likelyAtLeast(0.8));
  }

  @Test
  void whereNothingChangedNothingIsClaimed() {
    Rates rates = rates(40, 8108, Truth.NOTHING, READ_TWICE);
    assertTrue(rates.likelyAtMost(0.02) && rates.claimedAtMost(0.05), rates.toString());
  }

  @Test
  @Tag("bench")
  void tables() {
    for (Truth truth : Truth.values()) {
      boolean both = truth == Truth.LIFT_ZERO || truth == Truth.NOTHING;
      for (double u : both ? new double[] {BY_HAND, READ_TWICE} : new double[] {BY_HAND}) {
        Rates rates = rates(400, 8200 + truth.ordinal(), truth, u);
        System.out.printf(
            Locale.ROOT,
            "%s, lift zero known to %.3f mm: likely short side %.2f %%, loses at high lift %.2f %%,"
                + " a gain or loss claimed %.2f %%, zero named %.2f %%, leak named %.2f %%%n",
            truth,
            1e3 * u,
            percent(rates.likely, rates),
            percent(rates.loses, rates),
            percent(rates.claimed, rates),
            percent(rates.zeroNamed, rates),
            percent(rates.leakNamed, rates));
      }
    }
  }

  private static double percent(int count, Rates rates) {
    return 100.0 * count / rates.jobs;
  }

  private static Rates rates(int jobs, long seed, Truth truth, double liftZeroU) {
    int[] counts = new int[5];
    for (int job = 0; job < jobs; job++) {
      Comparison c = new RivalJobs(seed * 1_000_003 + job, truth, liftZeroU).compared();
      counts[0] += has(c, Kind.LIKELY_SHORT_SIDE);
      counts[1] += has(c, Kind.LOSES_AT_HIGH_LIFT);
      counts[2] += c.lifts(Outcome.GAIN).isEmpty() && c.lifts(Outcome.LOSS).isEmpty() ? 0 : 1;
      counts[3] += has(c, Kind.LIKE_A_SHIFTED_LIFT_ZERO);
      counts[4] += has(c, Kind.LIKE_A_LEAK);
    }
    Rates rates = new Rates(jobs, counts[0], counts[1], counts[2], counts[3], counts[4]);
    System.out.println(truth + ", seed " + seed + ": " + rates);
    return rates;
  }

  private static int has(Comparison c, Kind kind) {
    return c.findings().stream().anyMatch(f -> f.kind() == kind) ? 1 : 0;
  }
}
