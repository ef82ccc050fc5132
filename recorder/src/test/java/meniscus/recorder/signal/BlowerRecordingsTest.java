package meniscus.recorder.signal;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertNotEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.nio.file.Path;
import meniscus.core.steadiness.JudgeSettings;
import meniscus.core.steadiness.Judged;
import meniscus.core.steadiness.SignalJudge;
import meniscus.core.steadiness.Verdict;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/**
 * Real recordings of a blower through a venturi, held for some seconds, then throttled to nothing
 * and let go. Source: public repository RespiraWorks/Ventilator, blower characterisation
 * 2020-05-05, Apache-2.0.
 */
class BlowerRecordingsTest {

  private static Judged judged(String speed, String column, double from, double to)
      throws IOException {
    Path file =
        Path.of("src/test/resources/meniscus/recorder/signal/blower")
            .resolve("venturi-blower-" + speed + ".csv");
    SignalJudge judge = new SignalJudge(JudgeSettings.usual().withCapSeconds(1e6));
    new SignalFile(file, "t", column)
        .read(
            (seconds, value) -> {
              if (seconds >= from) {
                judge.sample(seconds, value);
              }
              return seconds < to;
            });
    judge.finish();
    return judge.judged();
  }

  @ParameterizedTest
  @CsvSource({"21818", "24000", "26666"})
  void theThrottledRecordingIsNeverSteady(String speed) throws IOException {
    for (String column : new String[] {"p2", "p3", "Q1"}) {
      Judged judged = judged(speed, column, 0, 1e9);
      assertNotEquals(Verdict.STEADY, judged.verdict(), column + " " + judged.reasons());
    }
  }

  @ParameterizedTest
  @CsvSource({"21818, 4", "24000, 4", "26666, 4"})
  void twoSensorsOnOneTapAgreeOnceOneGainIsTakenOut(String speed, double until) throws IOException {
    Judged a = judged(speed, "p2", 0, until);
    Judged b = judged(speed, "p3", 0, until);
    double gain = 1.01; // the recordings' own note: about 1 % apart, steadily
    double apart = a.mean().orElseThrow() * gain - b.mean().orElseThrow();
    double allowed = Math.hypot(a.u95().orElseThrow(), b.u95().orElseThrow());
    assertTrue(Math.abs(apart) < allowed, apart + " against " + allowed);
  }

  @ParameterizedTest
  @CsvSource({"24000"})
  void glitchesOfTheThirdSensorAreCutAndCounted(String speed) throws IOException {
    Judged judged = judged(speed, "p1_adc", 0, 1e9);
    assertTrue(judged.spikes() > 20, judged.spikes() + " cut");
    assertEquals(true, judged.reasons().stream().anyMatch(reason -> reason.contains("spikes")));
  }
}
