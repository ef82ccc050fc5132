package meniscus.core.steadiness;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertNotEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.ValueSource;

/**
 * Real recordings of a blower through a venturi, held for some seconds, then throttled to nothing
 * and let go. Source and licence stand in the notice beside them.
 */
class BlowerRecordingsTest {

  private static final double GAIN = 1.01; // the recordings' own note: p3 about 1 % above p2

  private static Judged judged(String speed, String column, double to) {
    double[][] recording = BlowerNoise.recording(speed, column);
    SignalJudge judge = new SignalJudge(JudgeSettings.usual().withCapSeconds(1e6));
    for (int i = 0; i < recording[0].length && recording[0][i] < to; i++) {
      judge.sample(recording[0][i], recording[1][i]);
    }
    judge.finish();
    return judge.judged();
  }

  @ParameterizedTest
  @ValueSource(strings = {"21818", "24000", "26666"})
  void theThrottledRecordingIsNeverSteady(String speed) {
    for (String column : new String[] {"p2", "p3", "Q1"}) {
      Judged judged = judged(speed, column, 1e9);
      assertNotEquals(Verdict.STEADY, judged.verdict(), column + " " + judged.reasons());
    }
  }

  @ParameterizedTest
  @CsvSource({"21818, 4", "24000, 4", "26666, 4"})
  void twoSensorsOnOneTapAgreeOnceOneGainIsTakenOut(String speed, double until) {
    Judged a = judged(speed, "p2", until);
    Judged b = judged(speed, "p3", until);
    double apart = a.mean().orElseThrow() * GAIN - b.mean().orElseThrow();
    double allowed = Math.hypot(a.u95().orElseThrow(), b.u95().orElseThrow());
    assertTrue(Math.abs(apart) < allowed, apart + " against " + allowed);
  }

  @ParameterizedTest
  @ValueSource(strings = "24000")
  void glitchesOfTheThirdSensorAreCutAndCounted(String speed) {
    Judged judged = judged(speed, "p1_adc", 1e9);
    assertTrue(judged.spikes() > 20, judged.spikes() + " cut");
    assertEquals(true, judged.reasons().stream().anyMatch(reason -> reason.contains("spikes")));
  }
}
