package meniscus.core.steadiness;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.Random;
import java.util.stream.IntStream;
import meniscus.core.settle.GaugeTransfer;
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

  /** A sine of amplitude a over t seconds at f hertz moves the mean by a/(π f t) at most. */
  @Test
  void whatRippleLeavesInTheMeanIsInItsInterval() {
    ShopNoise noise = new ShopNoise(Law.GAUSS, Gauge.quick(10.05)); // 100.02 Hz shows at 0.48 Hz
    JudgeSettings settings = JudgeSettings.usual().withCapSeconds(1e6);
    JudgeSettings with = settings.withCalm(ShopTrials.calm(noise, 10, 681));
    Reading reading = noise.reading(22, new Change(1, 0, 0.06), new Random(682));
    Judged judged = judged(reading, with);
    MainsRipple ripple = judged.air().mains().orElseThrow();
    assertEquals(0.48, ripple.aliasHertz(), 0.05);
    double left = 0.06 * ShopNoise.LEVEL / (Math.PI * ripple.aliasHertz() * 22);
    assertTrue(judged.u95().orElseThrow() > left, judged.u95() + " holds " + left);
    JudgeSettings prompt = with.averaged(JudgeSettings.Averaging.PROMPT); // so and no more
    assertTrue(
        judged(reading, prompt).u95().orElseThrow()
            > judged(reading, with.asBefore()).u95().orElseThrow(),
        "and was narrower before");
  }

  private static Judged judged(Reading reading, JudgeSettings settings) {
    SignalJudge judge = new SignalJudge(settings);
    for (int i = 0; i < reading.values().length; i++) {
      judge.sample(reading.seconds()[i], reading.values()[i]);
    }
    judge.judged(); // as it is shown at the bench before it is asked for
    return judge.judged();
  }

  /** Five readings held back and one to close a block were six of the twenty seconds. */
  @Test
  void aSlowGaugesAverageEndsWithTheReadingThatSuffices() {
    ShopNoise noise = new ShopNoise(Law.GAUSS, new Gauge(1, 1, 0, 0, 0));
    JudgeSettings now =
        JudgeSettings.usual().withStabilitySeconds(0.5).withCalm(ShopTrials.calm(noise, 10, 691));
    double earlier = 0;
    for (int run = 0; run < 10; run++) {
      Reading reading = noise.reading(60, Change.NONE, new Random(692 + run));
      earlier += (preciseAt(reading, now.asBefore()) - preciseAt(reading, now)) / 10;
    }
    assertTrue(earlier > 4, earlier + " s earlier on average, seeds 691 and 692");
  }

  private static double preciseAt(Reading reading, JudgeSettings settings) {
    SignalJudge judge = new SignalJudge(settings);
    for (int i = 0; i < reading.values().length && !judge.enough(); i++) {
      judge.sample(reading.seconds()[i], reading.values()[i]);
    }
    return judge.judged().span().preciseAtSeconds().orElse(60);
  }

  /** A lag rounds jumps off: told of it, the judge says that larger ones could hide. */
  @Test
  void aLagThatIsToldIsInWhatCouldHide() {
    ShopNoise noise = new ShopNoise(Law.GAUSS, new Gauge(5, 0, 0.8, 0, 0));
    JudgeSettings untold =
        JudgeSettings.usual().withCapSeconds(1e6).withCalm(ShopTrials.calm(noise, 10, 701));
    Reading quiet = noise.reading(22, Change.NONE, new Random(702));
    double hidden = judged(quiet, untold).air().couldHide().orElseThrow();
    double told =
        judged(quiet, untold.through(new GaugeTransfer(0, 0.8))).air().couldHide().orElseThrow();
    assertTrue(told > 1.15 * hidden, told + " told, " + hidden + " untold, seeds 701 and 702");
  }

  /**
   * Drop and test pressure both in steps of 0.1, the drop of 3 between two counts that each stay
   * for seconds: no difference of flows shows these steps any more, and they are 1.7 % of the flow.
   */
  @Test
  void twoCountsOfOneOfTwoCoarseGaugesAreNoTwoLevels() {
    Random random = new Random(711);
    for (boolean told : new boolean[] {false, true}) {
      SignalJudge judge = new SignalJudge(JudgeSettings.usual().withCapSeconds(1e6));
      double drop = 3.0;
      for (int i = 0; i < 600; i++) {
        drop = random.nextDouble() < 0.05 ? 6.1 - drop : drop;
        double pressure = 0.1 * Math.rint((28 + 0.1 * random.nextGaussian()) / 0.1);
        double flow = Math.sqrt(drop / pressure);
        if (told) {
          judge.quantum(0.5 * flow * 0.1 / drop);
        }
        judge.sample(0.1 * i, flow);
      }
      Verdict verdict = judge.judged().verdict();
      assertEquals(!told, verdict == Verdict.SWITCHING, "told " + told + ": " + verdict);
    }
  }

  /**
   * Behind a mean of 1 s calm air is so smooth that hardly a draw shows two levels. A tail fitted
   * to what the fit leaves of none gave limits of 0.00, and 7 of 800 calm readings were rough.
   */
  @Test
  void aLimitIsNotFittedToDrawsThatShowNothing() {
    double[] draws = IntStream.range(0, 250).mapToDouble(i -> i < 240 ? 1e-9 * i : 1.5).toArray();
    assertTrue(CalmJumps.limit(draws) > 3, "limit " + CalmJumps.limit(draws));
    CalmRecord smooth =
        ShopTrials.calm(new ShopNoise(Law.GAUSS, new Gauge(20, 1, 0, 0, 0)), 10, 721);
    CalmModel model = smooth.model(0.1, 2).orElseThrow();
    double limit = model.jumps(0.05, 1).limit(400);
    assertTrue(limit > 3, "limit " + limit + ", seed 721");
  }

  /** Ten seconds hold fewer looks inside blocks than the minute of a calm run. */
  @Test
  void theShorterAReadingIsTheMoreMayItsInsidesScatter() {
    ShopNoise noise = new ShopNoise(Law.GAUSS, Gauge.quick(20));
    CalmModel model = ShopTrials.calm(noise, 10, 722).model(0.1, 2).orElseThrow();
    assertTrue(model.mostWithin(100) > 1.03 * model.mostWithin(600), "seed 722");
    assertTrue(model.mostWithin(200) < Math.log(1.5), "seed 722: " + model.mostWithin(200));
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
