package meniscus.core.steadiness;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.Random;
import meniscus.core.steadiness.ShopNoise.Change;
import meniscus.core.steadiness.ShopNoise.Gauge;
import meniscus.core.steadiness.ShopNoise.Law;
import meniscus.core.steadiness.ShopNoise.Reading;
import org.junit.jupiter.api.Tag;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/** {@link ShopFiguresTest} in small: noise and gauges as benches in shops have them. */
@Tag("long")
class ShopBenchTest {

  private static final Gauge SLOW_AND_COARSE = new Gauge(5, 1, 0, 0.1, 0);
  private static final Change TWICE_AS_ROUGH = new Change(2, 0, 0);
  private static final Change FIVE_PERCENT_APART = new Change(1, 0.05, 0);

  private static ShopTrials trials(Law law, Gauge gauge, long seed) {
    return new ShopTrials(new ShopNoise(law, gauge), seed);
  }

  /** Skewed and far-tailed noise was called unsteady in 39 of 40 and 99 of 100 calm readings. */
  @ParameterizedTest
  @CsvSource({"SKEW_075, 601", "SKEW_19, 602", "T4, 603", "BLOWER, 604", "CASCADE, 605"})
  void whatTheCalmRecordHoldsJustTheSameIsCalm(Law law, long seed) {
    int found = trials(law, Gauge.quick(50), seed).notSteady(24, Change.NONE, 20);
    assertTrue(Binomial.atMost(found, 24, 0.005), found + " of 24 not steady, seed " + seed);
  }

  /** Two counts of a coarse gauge are no two levels. */
  @Test
  void aSlowAndCoarseGaugeIsCalmWhereTheAirIs() {
    ShopTrials coarse = trials(Law.GAUSS, SLOW_AND_COARSE, 606);
    int found = coarse.notSteady(40, Change.NONE, 20);
    assertTrue(Binomial.atMost(found, 40, 0.005), found + " of 40 not steady, seed 606");
  }

  @ParameterizedTest
  @CsvSource({"GAUSS, 611", "SKEW_19, 612", "T4, 613"})
  void doubledFluctuationIsFoundAndNotCalledSwitching(Law law, long seed) {
    ShopTrials trials = trials(law, Gauge.quick(50), seed);
    int found = trials.notSteady(12, TWICE_AS_ROUGH, 20);
    assertTrue(Binomial.couldBe(found, 12, 0.85), found + " of 12 found, seed " + seed);
    int switching = trials.switching(12, TWICE_AS_ROUGH, 20);
    assertTrue(Binomial.atMost(switching, 12, 0.02), switching + " switching, seed " + seed);
  }

  @ParameterizedTest
  @CsvSource({"GAUSS, 621", "SKEW_19, 622"})
  void levelsApartAreSwitching(Law law, long seed) {
    int found = trials(law, Gauge.quick(50), seed).switching(12, FIVE_PERCENT_APART, 20);
    assertTrue(Binomial.couldBe(found, 12, 0.9), found + " of 12 switching, seed " + seed);
  }

  /** A mean as long as the stays rounds jumps off: they are found, and not named. */
  @Test
  void switchingIsNotAskedOfAGaugeAsSlowAsTheStays() {
    ShopTrials slow = trials(Law.GAUSS, new Gauge(5, 1, 0, 0, 0), 631);
    assertTrue(Binomial.couldBe(slow.notSteady(12, FIVE_PERCENT_APART, 20), 12, 0.9));
    assertEquals(0, slow.switching(12, FIVE_PERCENT_APART, 20), "seed 631");
  }

  @ParameterizedTest
  @CsvSource({"5, 1, 0, 0, 641", "2, 1, 0, 0, 642", "5, 0, 0.5, 0, 643", "5, 1, 0, 0.1, 644"})
  void slowGaugesGiveTrueIntervals(double hertz, double mean, double lag, double step, long seed) {
    ShopTrials trials = trials(Law.GAUSS, new Gauge(hertz, mean, lag, step, 0), seed);
    ShopTrials.Covered covered = trials.coverage(40);
    assertTrue(Binomial.couldBe(covered.held(), 40, 0.95), covered + ", seed " + seed);
  }

  /** Air 1.6 times as rough as calm air was steady at 18 s and unsteady at 234 s. */
  @Test
  void aVerdictDoesNotTurnByWaitingAlone() {
    ShopNoise noise = new ShopNoise(Law.GAUSS, Gauge.quick(20));
    CalmRecord calm = ShopTrials.calm(noise, 10, 651);
    JudgeSettings settings = JudgeSettings.usual().withCalm(calm).withCapSeconds(1e6);
    int turned = 0;
    for (int run = 0; run < 8; run++) {
      Reading reading = noise.reading(240, new Change(1.15, 0, 0), new Random(652 + run));
      SignalJudge judge = new SignalJudge(settings);
      boolean wasSteady = false;
      boolean turns = false;
      for (int i = 0; i < reading.values().length; i++) {
        judge.sample(reading.seconds()[i], reading.values()[i]);
        if (i % 40 == 39 && reading.seconds()[i] > 22) {
          boolean steady = judge.judged().verdict() == Verdict.STEADY;
          turns |= wasSteady && !steady;
          wasSteady |= steady;
        }
      }
      turned += turns ? 1 : 0;
    }
    assertTrue(Binomial.atMost(turned, 8, 0.02), turned + " of 8 turned, seeds 651 and 652");
  }

  @Test
  void mainsRippleIsNamedAndTakenOutOfTheVerdict() {
    ShopNoise noise = new ShopNoise(Law.GAUSS, Gauge.quick(47));
    CalmRecord calm = ShopTrials.calm(noise, 10, 661);
    JudgeSettings settings = JudgeSettings.usual().withCalm(calm).withCapSeconds(1e6);
    int named = 0;
    int steady = 0;
    for (int run = 0; run < 12; run++) {
      Reading reading = noise.reading(22, new Change(1, 0, 0.03), new Random(662 + run));
      SignalJudge judge = new SignalJudge(settings);
      for (int i = 0; i < reading.values().length; i++) {
        judge.sample(reading.seconds()[i], reading.values()[i]);
      }
      Judged judged = judge.judged();
      steady += judged.verdict() == Verdict.STEADY ? 1 : 0;
      if (judged.air().mains().isPresent()) {
        named++;
        assertEquals(6.02, judged.air().mains().get().aliasHertz(), 0.05);
        assertEquals(0.03, judged.air().mains().get().relative(), 0.003);
      }
    }
    assertTrue(Binomial.couldBe(named, 12, 0.97), named + " of 12 named, seeds 661 and 662");
    assertTrue(Binomial.couldBe(steady, 12, 0.97), steady + " of 12 steady, seeds 661 and 662");
  }

  /** What could hide is what is missed: a jump of that size is found about every other time. */
  @Test
  void whatCouldHideIsFoundEveryOtherTime() {
    ShopNoise noise = new ShopNoise(Law.GAUSS, Gauge.quick(50));
    CalmRecord calm = ShopTrials.calm(noise, 10, 671);
    JudgeSettings settings = JudgeSettings.usual().withCalm(calm).withCapSeconds(1e6);
    Reading quiet = noise.reading(22, Change.NONE, new Random(672));
    SignalJudge first = new SignalJudge(settings);
    for (int i = 0; i < quiet.values().length; i++) {
      first.sample(quiet.seconds()[i], quiet.values()[i]);
    }
    double hidden = first.judged().air().couldHide().orElseThrow();
    assertTrue(hidden > 0.01 && hidden < 0.05, "could hide " + hidden);
    int found = new ShopTrials(noise, 673).notSteady(24, new Change(1, hidden, 0), 20);
    assertTrue(
        Binomial.couldBe(found, 24, 0.2) && Binomial.atMost(found, 24, 0.85),
        found + " of 24 found, seeds 671 to 673");
  }
}
