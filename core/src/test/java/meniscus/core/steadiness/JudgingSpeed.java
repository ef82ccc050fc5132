package meniscus.core.steadiness;

import java.util.Random;
import java.util.concurrent.TimeUnit;
import meniscus.core.settle.Blocks;
import org.openjdk.jmh.annotations.Benchmark;
import org.openjdk.jmh.annotations.BenchmarkMode;
import org.openjdk.jmh.annotations.Fork;
import org.openjdk.jmh.annotations.Measurement;
import org.openjdk.jmh.annotations.Mode;
import org.openjdk.jmh.annotations.OperationsPerInvocation;
import org.openjdk.jmh.annotations.OutputTimeUnit;
import org.openjdk.jmh.annotations.Scope;
import org.openjdk.jmh.annotations.State;
import org.openjdk.jmh.annotations.Warmup;

/**
 * Readings a second on one core, with plain summing as what nothing can beat. One operation is one
 * reading of a settled rung of 60 s at 100 readings a second.
 */
@State(Scope.Benchmark)
@BenchmarkMode(Mode.Throughput)
@OutputTimeUnit(TimeUnit.SECONDS)
@Warmup(iterations = 4, time = 2)
@Measurement(iterations = 5, time = 2)
@Fork(1)
public class JudgingSpeed {

  private static final int READINGS = 6000;

  private final double[] values =
      Signals.point(
          Signals.noise("ar1_0.2", READINGS, Trials.HERTZ, new Random(9101)),
          Trials.SD,
          -0.2,
          0.5,
          Trials.HERTZ);
  private final JudgeSettings alone = JudgeSettings.usual();
  private final JudgeSettings withCalm = alone.withCalm(Trials.calm("ar1_0.2", 10, 0.04, 9102));

  @Benchmark
  @OperationsPerInvocation(READINGS)
  public double summed() {
    double sum = 0;
    for (double value : values) {
      sum += value;
    }
    return sum;
  }

  @Benchmark
  @OperationsPerInvocation(READINGS)
  public Blocks inBlocks() {
    Blocks blocks = new Blocks();
    for (int i = 0; i < READINGS; i++) {
      blocks.add(i / Trials.HERTZ, values[i]);
    }
    return blocks;
  }

  /** Spikes cut, level and interval kept up to date at each look; the verdict once, at the end. */
  @Benchmark
  @OperationsPerInvocation(READINGS)
  public Judged judgedWithACalmRecord() {
    return judged(withCalm);
  }

  @Benchmark
  @OperationsPerInvocation(READINGS)
  public Judged judgedOnDataAlone() {
    return judged(alone);
  }

  private Judged judged(JudgeSettings settings) {
    SignalJudge judge = new SignalJudge(settings);
    for (int i = 0; i < READINGS; i++) {
      judge.sample(i / Trials.HERTZ, values[i]);
    }
    return judge.judged();
  }
}
