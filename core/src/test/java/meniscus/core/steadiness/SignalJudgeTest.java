package meniscus.core.steadiness;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Random;
import java.util.stream.IntStream;
import org.junit.jupiter.api.Test;

class SignalJudgeTest {

  private static final double HERTZ = 100;

  private static double[] signal(String kind, int count, long seed) {
    return Signals.point(Signals.noise(kind, count, HERTZ, new Random(seed)), 0.01, 0, 0, HERTZ);
  }

  private static Judged judge(double[] signal, JudgeSettings settings) {
    SignalJudge judge = new SignalJudge(settings);
    for (int i = 0; i < signal.length && !judge.enough(); i++) {
      judge.sample(i / HERTZ, signal[i]);
    }
    judge.finish();
    return judge.judged();
  }

  private static Judged judge(double[] signal) {
    return judge(signal, JudgeSettings.usual());
  }

  private static void assertSaid(Judged judged, String words) {
    assertTrue(
        judged.reasons().stream().anyMatch(reason -> reason.contains(words)),
        words + " in " + judged.reasons());
  }

  @Test
  void aQuietReadingIsSteadyAndItsIntervalHoldsTheTruth() {
    Judged judged = judge(signal("ar1_0.2", 4000, 3));
    assertEquals(Verdict.STEADY, judged.verdict(), judged.reasons().toString());
    assertEquals(1, judged.mean().orElseThrow(), judged.u95().orElseThrow());
    assertTrue(judged.precise() && judged.decided());
    assertTrue(judged.span().preciseAtSeconds().orElseThrow() <= judged.toSeconds());
  }

  /** What the page's one bar is drawn from: seconds gone over seconds gone and left. */
  @Test
  void whatIsLeftToWaitFallsUntilBothClocksAreThere() {
    double[] signal = signal("ar1_0.2", 6000, 31);
    SignalJudge judge = new SignalJudge(JudgeSettings.usual().withTarget(0.002));
    List<Double> filled = new ArrayList<>();
    int i = 0;
    while (i < signal.length && !judge.enough()) {
      judge.sample(i / HERTZ, signal[i]);
      i++;
      if (i % (int) HERTZ == 0) {
        Judged now = judge.judged();
        double gone = i / HERTZ;
        filled.add(gone / (gone + now.span().waitSeconds()));
        assertTrue(
            now.span().waitSeconds() > 0 || now.precise() && now.decided(),
            "nothing left to wait, and yet not good enough at " + gone + " s");
      }
    }
    Judged last = judge.judged();
    assertTrue(last.precise() && last.decided() && last.span().waitSeconds() == 0, "" + last);
    double half = filled.get(filled.size() / 2);
    assertTrue(filled.get(1) < half && half < filled.get(filled.size() - 2), filled.toString());
  }

  /** Pieces of slow noise that look quick and small are just those that would be stopped at. */
  @Test
  void withoutACalmRecordNothingIsCalledPreciseBeforeSlowNoiseCouldShow() {
    double[] slow = signal("ar1_2", 400, 3);
    Judged judged = judge(slow, JudgeSettings.usual().withTarget(0.05).withStabilitySeconds(1));
    assertTrue(judged.u95().orElseThrow() < 0.05 * judged.mean().orElseThrow());
    assertFalse(judged.precise());
    assertSaid(judged, "tell slow fluctuation where no calm record knows it");
  }

  @Test
  void readingsInAnotherUnitGiveTheSameAnswerInThatUnit() {
    double[] one = signal("ar1_0.2", 3000, 4);
    double[] large = Arrays.stream(one).map(x -> 1e6 * x).toArray();
    Judged small = judge(one);
    Judged big = judge(large);
    assertEquals(small.verdict(), big.verdict());
    assertEquals(small.toSeconds(), big.toSeconds());
    assertEquals(1e6 * small.mean().orElseThrow(), big.mean().orElseThrow(), 1);
    assertEquals(1e6 * small.u95().orElseThrow(), big.u95().orElseThrow(), 1);
  }

  @Test
  void heavySettlingIsTakenOut() {
    double[] noise = Signals.noise("ar1_0.2", 6000, HERTZ, new Random(5));
    Judged judged = judge(Signals.point(noise, 0.01, 0.4, 1.5, HERTZ));
    assertEquals(Verdict.STEADY, judged.verdict(), judged.reasons().toString());
    assertEquals(1, judged.mean().orElseThrow(), judged.u95().orElseThrow());
    assertTrue(judged.fromSeconds() > 0.5, "starts after the worst of it");
  }

  @Test
  void aLevelThatKeepsClimbingDrifts() {
    double[] x = signal("ar1_0.2", 6000, 6);
    for (int i = 0; i < x.length; i++) {
      x[i] += 0.002 * i / HERTZ;
    }
    Judged judged = judge(x);
    assertEquals(Verdict.DRIFTING, judged.verdict(), judged.reasons().toString());
  }

  @Test
  void aSlowClimbIsWaitedForUntilItIsToldFromASettling() {
    CalmRecord calm = Trials.calm("ar1_0.1", 8, 0, 31);
    int called = 0;
    for (long seed = 200; seed < 220; seed++) {
      double[] x = signal("ar1_0.1", 6000, seed);
      for (int i = 0; i < x.length; i++) {
        x[i] += 0.001 * i / HERTZ;
      }
      Judged judged = judge(x, JudgeSettings.usual().withCalm(calm));
      called += judged.verdict() == Verdict.STEADY ? 0 : 1;
    }
    assertTrue(called >= 19, "2 % in 20 s is no rest: told of " + called + " of 20");
  }

  @Test
  void jumpsBetweenTwoLevelsAreSwitching() {
    double[] x = signal("ar1_0.2", 6000, 7);
    for (int i = 0; i < x.length; i++) {
      x[i] += i / 170 % 2 == 0 ? 0.025 : -0.025;
    }
    Judged judged = judge(x);
    assertEquals(Verdict.SWITCHING, judged.verdict(), judged.reasons().toString());
    Switching two = judged.switching().orElseThrow();
    assertEquals(0.975, two.low(), 0.005);
    assertEquals(1.025, two.high(), 0.005);
    assertEquals(0.5, two.shareHigh(), 0.05);
    assertEquals(1.7, two.dwellHighSeconds(), 0.3);
  }

  @Test
  void threeSecondsAreTooBrief() {
    Judged judged = judge(signal("white", 300, 8));
    assertEquals(Verdict.BRIEF, judged.verdict());
  }

  @Test
  void nothingAtAllIsTooBrief() {
    Judged judged = judge(new double[] {1, Double.NaN, 1.01});
    assertEquals(Verdict.BRIEF, judged.verdict());
    assertTrue(judged.mean().isEmpty() && judged.u95().isEmpty());
  }

  @Test
  void aStuckGaugeIsFaulty() {
    double[] x = signal("white", 4000, 9);
    Arrays.fill(x, 700, 4000, x[700]);
    Judged judged = judge(x);
    assertEquals(Verdict.FAULTY, judged.verdict());
    assertTrue(judged.mean().isEmpty());
    assertSaid(judged, "stuck");
  }

  @Test
  void aCoarseGaugeThatRepeatsIsNotFaulty() {
    double[] x = new double[4000];
    Arrays.fill(x, 20);
    Judged judged = judge(x);
    assertFalse(judged.verdict() == Verdict.FAULTY, judged.reasons().toString());
    assertSaid(judged, "counts in steps of 5.0 %");
    assertTrue(judged.u95().orElseThrow() > 0.1, "what resolution hides is in the interval");
  }

  @Test
  void stepsAsCoarseAsTheNoiseCostNothing() {
    double[] x = signal("white", 4000, 10);
    Judged fine = judge(x);
    for (int i = 0; i < x.length; i++) {
      x[i] = Math.rint(x[i] / 0.01) * 0.01;
    }
    Judged coarse = judge(x);
    assertEquals(Verdict.STEADY, coarse.verdict(), coarse.reasons().toString());
    double u95 = coarse.u95().orElseThrow();
    assertEquals(fine.mean().orElseThrow(), coarse.mean().orElseThrow(), 0.5 * u95);
    assertEquals(fine.u95().orElseThrow(), u95, 0.2 * u95);
  }

  @Test
  void aSaturatedGaugeIsFaultyWithAndWithoutItsRange() {
    double[] x = signal("ar1_0.2", 4000, 11);
    for (int i = 0; i < x.length; i++) {
      x[i] = Math.min(x[i], 1.004);
    }
    assertEquals(Verdict.FAULTY, judge(x).verdict());
    Judged judged = judge(x, JudgeSettings.usual().withRange(0, 1.004));
    assertEquals(Verdict.FAULTY, judged.verdict());
    assertSaid(judged, "range");
  }

  @Test
  void longDropoutsAreAFaultAndShortOnesARemark() {
    double[] x = signal("ar1_0.2", 4000, 12);
    double[] y = x.clone();
    Arrays.fill(x, 1000, 1030, Double.NaN);
    Judged small = judge(x);
    assertEquals(Verdict.STEADY, small.verdict(), small.reasons().toString());
    assertSaid(small, "dropped");
    Arrays.fill(y, 1000, 1400, Double.NaN);
    assertEquals(Verdict.FAULTY, judge(y).verdict());
  }

  /** A reading lost here and there, and mains that are folded to far from zero, change nothing. */
  @Test
  void whatIsHarmlessIsNotSaid() {
    double[] x = signal("ar1_0.2", 4000, 12);
    for (int i = 500; i < x.length; i += 1000) {
      x[i] = Double.NaN;
    }
    Judged judged = judge(x, JudgeSettings.usual().withMainsHertz(60));
    assertEquals(Verdict.STEADY, judged.verdict(), judged.reasons().toString());
    for (String harmless : List.of("dropped", "mains", "spikes", "NaN")) {
      assertTrue(
          judged.reasons().stream().noneMatch(reason -> reason.contains(harmless)),
          judged.reasons().toString());
    }
  }

  @Test
  void spikesAreCutOutAndCounted() {
    double[] x = signal("ar1_0.2", 4000, 13);
    for (int i = 150; i < x.length; i += 400) {
      x[i] = 0;
    }
    Judged judged = judge(x);
    assertEquals(Verdict.STEADY, judged.verdict(), judged.reasons().toString());
    assertSaid(judged, "spikes");
    assertEquals(1, judged.mean().orElseThrow(), judged.u95().orElseThrow());
  }

  @Test
  void aRateThatFoldsMainsDownIsSaid() {
    SignalJudge judge = new SignalJudge(JudgeSettings.usual());
    double[] x = signal("white", 2000, 14);
    for (int i = 0; i < x.length; i++) {
      judge.sample(i / 50.0, x[i]);
    }
    assertSaid(judge.judged(), "50 Hz mains");
  }

  @Test
  void noiseAboutZeroGivesAnAnswer() {
    double[] x = signal("ar1_0.2", 6000, 15);
    for (int i = 0; i < x.length; i++) {
      x[i] -= 1;
    }
    Judged judged = judge(x);
    assertEquals(0, judged.mean().orElseThrow(), judged.u95().orElseThrow());
  }

  @Test
  void aRungLeftAloneForAnHourKeepsItsMemory() {
    SignalJudge judge = new SignalJudge(JudgeSettings.usual().withCapSeconds(1e9));
    Random random = new Random(16);
    for (int i = 0; i < 36_000; i++) {
      judge.sample(i / 10.0, 1 + 0.01 * random.nextGaussian());
    }
    assertTrue(judge.blocks() <= 6000);
    assertEquals(1, judge.judged().mean().orElseThrow(), 0.001);
  }

  /** Through a first-order lag of 0.3 s: half power at 1/(2π·0.3 s) = 0.53 Hz. */
  @Test
  void whatADampedGaugeCannotSeeIsSaid() {
    Judged judged = judge(signal("ar1_0.3", 12_000, 21));
    assertEquals(0.53, judged.air().seenToHertz(), 0.15);
    assertSaid(judged, "cannot see fluctuation above 0.");
  }

  /** A test does not end because its bench's calm runs were short. */
  @Test
  void whereNoCalmRunIsLongEnoughForSoSlowAGaugeItIsJudgedWithoutThem() {
    double[] seconds = IntStream.range(0, 30).mapToDouble(i -> i).toArray();
    double[] values = Arrays.copyOf(signal("white", 3000, 24), seconds.length);
    CalmRecord tooShort = CalmRecord.of(List.of(CalmRun.of("calm", seconds, values)));
    SignalJudge judge = new SignalJudge(JudgeSettings.usual().withCalm(tooShort));
    double[] slow = signal("white", 6000, 25);
    for (int i = 0; i < 60; i++) {
      judge.sample(i, slow[i]);
    }
    Judged judged = judge.judged();
    assertTrue(judged.mean().isPresent());
    assertSaid(judged, "no calm record");
  }

  @Test
  void slowAirIsNoSlowGaugeWhereThePlatesHaveShownMore() {
    JudgeSettings settings =
        JudgeSettings.usual().withCalm(Trials.calm("ar1_0.05", 8, 0.04, 22)).withCapSeconds(30);
    Judged judged = judge(signal("ar1_0.5", 6000, 23), settings);
    assertEquals(3.2, judged.air().seenToHertz(), 0.5, "1/(2π·0.05 s)");
  }

  @Test
  void jumpsOfTheAirAreNoSlowGauge() {
    double[] x = signal("ar1_0.05", 6000, 24);
    for (int i = 0; i < x.length; i++) {
      x[i] += i / 150 % 2 == 0 ? 0.04 : -0.04;
    }
    Judged judged = judge(x);
    assertEquals(Verdict.SWITCHING, judged.verdict(), judged.reasons().toString());
    assertTrue(judged.air().seenToHertz() > 1.5, "seen to " + judged.air().seenToHertz() + " Hz");
  }
}
