package meniscus.core.steadiness;

import static org.junit.jupiter.api.Assertions.assertEquals;

import org.junit.jupiter.api.Tag;
import org.junit.jupiter.api.Test;
import org.openjdk.jmh.profile.GCProfiler;
import org.openjdk.jmh.runner.Runner;
import org.openjdk.jmh.runner.RunnerException;
import org.openjdk.jmh.runner.options.OptionsBuilder;

/** Prints the table of {@link JudgingSpeed}. */
@Tag("bench")
class JudgingSpeedTest {

  @Test
  void readingsASecondAgainstPlainSumming() throws RunnerException {
    var options =
        new OptionsBuilder()
            .include(JudgingSpeed.class.getName())
            .addProfiler(GCProfiler.class)
            .shouldFailOnError(true)
            .build();
    assertEquals(4, new Runner(options).run().size());
  }
}
