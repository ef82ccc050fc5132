package meniscus.recorder.feed;

import java.nio.ByteBuffer;
import java.util.HashMap;
import java.util.Map;
import java.util.concurrent.TimeUnit;
import meniscus.core.time.Moment;
import meniscus.drivers.line.Line;
import meniscus.drivers.line.LineOpener;
import meniscus.drivers.simulated.SimulatedBench;
import meniscus.drivers.simulated.SimulatedOperator;

/**
 * The simulated bench's instruments on lines of their own, at the pace of the wall clock, so that
 * real instruments and those of plugins can stand beside them.
 */
final class SimulatedLines {

  /** The bench goes on in steps no longer than this [ns]. */
  private static final long STEP_NANOS = 10_000_000;

  private final SimulatedBench bench;
  private final SimulatedOperator operator;
  private final Map<String, ByteBuffer> said = new HashMap<>();
  private final long startNanos = System.nanoTime();
  private final long startOfBench;

  SimulatedLines(SimulatedBench bench, SimulatedOperator operator) {
    this.bench = bench;
    this.operator = operator;
    this.startOfBench = bench.now().nanos();
  }

  /** How to open the line of one of its instruments. */
  LineOpener opener(String instrument) {
    return new LineOpener() {
      @Override
      public String name() {
        return "simulated " + instrument;
      }

      @Override
      public Line open() {
        return new Wire(instrument);
      }
    };
  }

  synchronized void asks(Feed.Asked asked) {
    boolean blows = asked.testPressurePa() > 0;
    if (!blows) {
      operator.blower(false);
      operator.sendAir(asked.sweep());
    }
    operator.goToLift(asked.liftM(), asked.sweep());
    if (blows) {
      operator.aimPressure(asked.testPressurePa());
      operator.blower(true);
    }
  }

  synchronized void valve(boolean shut) {
    operator.valve(shut);
  }

  private synchronized int take(String instrument, ByteBuffer into) {
    long to = startOfBench + System.nanoTime() - startNanos;
    while (bench.now().nanos() + STEP_NANOS <= to) {
      operator.advanceTo(new Moment(bench.now().nanos() + STEP_NANOS));
      bench.drain((name, at, bytes) -> keep(name, bytes));
    }
    ByteBuffer waiting = said.get(instrument);
    if (waiting == null) {
      return 0;
    }
    waiting.flip();
    int count = Math.min(waiting.remaining(), into.remaining());
    for (int i = 0; i < count; i++) {
      into.put(waiting.get());
    }
    waiting.compact();
    return count;
  }

  /** What nobody takes is forgotten, as on a wire. */
  private void keep(String instrument, ByteBuffer bytes) {
    ByteBuffer waiting = said.computeIfAbsent(instrument, name -> ByteBuffer.allocate(1 << 16));
    if (waiting.remaining() < bytes.remaining()) {
      waiting.clear();
    }
    waiting.put(bytes);
  }

  private synchronized void send(String instrument, ByteBuffer bytes) {
    bench.received(instrument, bytes);
  }

  private final class Wire implements Line {
    private final String instrument;

    Wire(String instrument) {
      this.instrument = instrument;
    }

    @Override
    public int read(ByteBuffer into, int waitMs) {
      long until = System.nanoTime() + TimeUnit.MILLISECONDS.toNanos(waitMs);
      int count = take(instrument, into);
      while (count == 0 && System.nanoTime() < until && !Thread.currentThread().isInterrupted()) {
        java.util.concurrent.locks.LockSupport.parkNanos(STEP_NANOS);
        count = take(instrument, into);
      }
      return count;
    }

    @Override
    public void write(ByteBuffer out) {
      send(instrument, out);
    }

    @Override
    public void close() {
      // The bench goes on.
    }
  }
}
