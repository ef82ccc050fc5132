package meniscus.core.steadiness;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.Random;
import org.junit.jupiter.api.Test;

class SignalJudgeTest {

  private static Judged judge(double[] signal, double hertz, JudgeSettings settings) {
    SignalJudge judge = new SignalJudge(settings);
    for (int i = 0; i < signal.length && !judge.enough(); i++) {
      judge.sample(i / hertz, signal[i]);
    }
    judge.finish();
    return judge.judged();
  }

  @Test
  void aQuietReadingIsSteadyAndItsIntervalHoldsTheTruth() {
    double[] noise = Signals.noise("ar1_0.2", 4000, 100, new Random(3));
    Judged judged = judge(Signals.point(noise, 0.01, 0, 0, 100), 100, JudgeSettings.usual());
    assertEquals(Verdict.STEADY, judged.verdict(), judged.reasons().toString());
    assertEquals(1, judged.mean().orElseThrow(), judged.u95().orElseThrow());
    assertTrue(judged.precise() && judged.decided());
  }

  @Test
  void threeSecondsAreTooBrief() {
    double[] noise = Signals.noise("white", 300, 100, new Random(4));
    Judged judged = judge(Signals.point(noise, 0.01, 0, 0, 100), 100, JudgeSettings.usual());
    assertEquals(Verdict.BRIEF, judged.verdict());
  }

  @Test
  void aStuckGaugeIsFaulty() {
    double[] signal =
        Signals.point(Signals.noise("white", 4000, 100, new Random(5)), 0.01, 0, 0, 100);
    java.util.Arrays.fill(signal, 700, 4000, signal[700]);
    Judged judged = judge(signal, 100, JudgeSettings.usual());
    assertEquals(Verdict.FAULTY, judged.verdict());
    assertTrue(judged.mean().isEmpty());
  }
}
