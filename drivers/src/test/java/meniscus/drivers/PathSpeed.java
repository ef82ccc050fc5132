package meniscus.drivers;

import java.nio.ByteBuffer;
import java.nio.charset.StandardCharsets;
import java.util.List;
import java.util.Map;
import java.util.concurrent.TimeUnit;
import java.util.function.Consumer;
import meniscus.core.air.AirState;
import meniscus.core.bench.Bench;
import meniscus.core.bench.Source;
import meniscus.core.bench.Use;
import meniscus.core.budget.SmallBench;
import meniscus.core.flow.Direction;
import meniscus.core.flow.ReferenceState;
import meniscus.core.instrument.Channel;
import meniscus.core.pipeline.Acquisition;
import meniscus.core.pipeline.Frame;
import meniscus.core.pipeline.FrameDecoder;
import meniscus.core.quantity.Unit;
import meniscus.core.settle.Blocks;
import meniscus.core.steadiness.JudgeSettings;
import meniscus.core.time.Moment;
import meniscus.drivers.text.TextStreamDriver;
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
 * How far bytes get on one core, with adding up the bytes as what nothing can beat. One operation
 * is one reading; a line of the invented instrument carries two, and comes each millisecond of its
 * own time.
 */
@State(Scope.Benchmark)
@BenchmarkMode(Mode.Throughput)
@OutputTimeUnit(TimeUnit.SECONDS)
@Warmup(iterations = 4, time = 2)
@Measurement(iterations = 5, time = 2)
@Fork(1)
public class PathSpeed {

  private static final int LINES = 20_000;
  private static final int READINGS = 2 * LINES;

  private static final List<Channel> CHANNELS =
      List.of(new Channel("depression", Unit.PASCAL), new Channel("drop", Unit.PASCAL));

  private final byte[][] lines = new byte[SpeedTest.CHUNK_LINES][];
  private long count;

  public PathSpeed() {
    for (int i = 0; i < lines.length; i++) {
      lines[i] = SpeedTest.line(i).getBytes(StandardCharsets.US_ASCII);
    }
  }

  @Benchmark
  @OperationsPerInvocation(READINGS)
  public long bytesSummed() {
    long sum = 0;
    for (int i = 0; i < LINES; i++) {
      for (byte b : lines[i % lines.length]) {
        sum += b;
      }
    }
    return sum;
  }

  @Benchmark
  @OperationsPerInvocation(READINGS)
  public long toFrames() {
    return run(frame -> count++);
  }

  @Benchmark
  @OperationsPerInvocation(READINGS)
  public long toFlowSamples() {
    Acquisition acquisition = acquisition();
    return run(
        frame -> {
          count++;
          acquisition.accept(frame);
        });
  }

  /** Flow samples, and their test pressures gathered in blocks; nothing is judged. */
  @Benchmark
  @OperationsPerInvocation(READINGS)
  public long toBlocks() {
    Acquisition acquisition = acquisition();
    Blocks blocks = new Blocks();
    return run(
            frame -> {
              count++;
              acquisition.accept(frame);
              blocks.add(frame.moment().seconds(), acquisition.latest(Use.TEST_PRESSURE));
            })
        + blocks.size();
  }

  /** One rung of 20 s: blocks, level and interval at each look, verdicts as the page asks. */
  @Benchmark
  @OperationsPerInvocation(READINGS)
  public long toVerdicts() {
    Acquisition acquisition = acquisition();
    return run(
        frame -> {
          if (count++ == 0) {
            acquisition.begin(frame.moment());
          }
          acquisition.accept(frame);
        });
  }

  private long run(Consumer<Frame> frames) {
    FrameDecoder tap =
        new FrameDecoder(
            0,
            CHANNELS,
            new TextStreamDriver().newDecoder(SpeedTest.SHEET),
            frames,
            rejected -> {
              throw new IllegalStateException(rejected.toString());
            });
    count = 0;
    for (int i = 0; i < LINES; i++) {
      tap.bytes(new Moment((i + 1) * 1_000_000L), ByteBuffer.wrap(lines[i % lines.length]));
    }
    if (count != LINES) {
      throw new IllegalStateException(count + " frames of " + LINES + " lines");
    }
    return count;
  }

  private static Acquisition acquisition() {
    Bench small = SmallBench.bench();
    Bench bench =
        new Bench(
            small.identity(),
            small.units(),
            small.site(),
            small.layout(),
            small.plenum(),
            small.instruments(),
            Map.of(
                Use.TEST_PRESSURE, SmallBench.PRESSURE,
                Use.ROOM_TEMPERATURE, new Source.Typed(295, 1),
                Use.ROOM_PRESSURE, new Source.Typed(100_000, 100)),
            small.ranges(),
            small.upkeep());
    return Acquisition.of(
        bench,
        bench.ranges().get(0),
        SmallBench.ELEMENT,
        Direction.SUCTION,
        List.of(CHANNELS),
        JudgeSettings.usual(),
        new ReferenceState(AirState.DRY_20C, SmallBench.TEST_PRESSURE));
  }
}
