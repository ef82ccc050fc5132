package meniscus.recorder.feed;

import java.nio.ByteBuffer;
import java.util.ArrayDeque;
import java.util.ArrayList;
import java.util.Deque;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.concurrent.locks.LockSupport;
import meniscus.core.bench.Bench;
import meniscus.core.instrument.Channel;
import meniscus.core.instrument.Next;
import meniscus.core.instrument.Request;
import meniscus.core.pipeline.FrameDecoder;
import meniscus.core.refusal.Refusal;
import meniscus.core.time.Moment;
import meniscus.drivers.simulated.SimulatedBench;
import meniscus.drivers.simulated.SimulatedOperator;

/**
 * The built-in simulated bench as a feed: its bytes go through the same drivers as real ones. Time
 * is simulated, as fast as it can be worked out, or held back to the clock on the wall.
 */
public final class SimulatedFeed implements Feed {

  /** The bench runs this far between two looks at its lines [ns]. */
  private static final long STEP_NANOS = 10_000_000;

  private final Bench bench;
  private final List<BoundInstrument> wired;
  private final SimulatedBench simulated;
  private final SimulatedOperator operator;
  private final boolean realTime;
  private final Map<String, Ear> ears = new HashMap<>();
  private final Deque<BenchEvent> happenings = new ArrayDeque<>();
  private final long realStart = System.nanoTime();
  private final long simulatedStart;
  private final long shiftNanos;

  /** One instrument's half of the path, with what it wants next. */
  private static final class Ear {
    final String name;
    final FrameDecoder tap;
    Optional<Moment> wakeAt = Optional.empty();

    Ear(String name, FrameDecoder tap) {
      this.name = name;
      this.tap = tap;
    }
  }

  /**
   * @param wired instruments whose line says {@code {"kind": "simulated", "instrument": …}}
   * @param simulated goes on from where it is
   * @param operator does what is asked at the bench
   * @param realTime hold simulated time back to the clock on the wall
   * @param first moment that this feed starts at
   * @throws Refusal when an instrument is not one of the simulated bench
   */
  public SimulatedFeed(
      Bench bench,
      List<BoundInstrument> wired,
      SimulatedBench simulated,
      SimulatedOperator operator,
      boolean realTime,
      Moment first) {
    this.bench = bench;
    this.wired = wired;
    this.simulated = simulated;
    this.operator = operator;
    this.realTime = realTime;
    this.simulatedStart = simulated.now().nanos();
    this.shiftNanos = first.nanos() - simulatedStart;
    drainUnheard();
    for (BoundInstrument each : wired) {
      String name = each.line().text("instrument", each.instrument().id());
      Ear ear = new Ear(name, tap(each));
      ears.put(name, ear);
      act(ear, ear.tap.opened(now()));
    }
  }

  private FrameDecoder tap(BoundInstrument each) {
    return new FrameDecoder(
        each.index(),
        each.channels(),
        each.newDecoder(),
        frame -> happenings.add(new BenchEvent.Arrived(frame)),
        rejected -> happenings.add(new BenchEvent.Unread(each.index(), rejected)));
  }

  /** What the instruments said before anyone listened. */
  private void drainUnheard() {
    simulated.drain((instrument, at, bytes) -> bytes.position(bytes.limit()));
  }

  @Override
  public Bench bench() {
    return bench;
  }

  @Override
  public List<List<Channel>> channels() {
    List<List<Channel>> channels = new ArrayList<>();
    wired.forEach(each -> channels.add(each.channels()));
    return channels;
  }

  @Override
  public Moment now() {
    return shifted(simulated.now());
  }

  @Override
  public void asks(Asked asked) {
    if (asked.testPressurePa() > 0) {
      operator.goToLift(asked.liftM(), asked.sweep());
      operator.aimPressure(asked.testPressurePa());
      operator.blower(true);
    } else {
      operator.blower(false);
      operator.sendAir(asked.sweep());
      operator.goToLift(asked.liftM(), asked.sweep());
    }
  }

  @Override
  public void valve(boolean shut) {
    operator.valve(shut);
  }

  @Override
  public Optional<BenchEvent> next(double waitSeconds) {
    if (happenings.isEmpty()) {
      long until = simulated.now().nanos() + Math.round(waitSeconds * 1e9);
      while (happenings.isEmpty() && simulated.now().nanos() < until) {
        step();
      }
    }
    return Optional.ofNullable(happenings.poll());
  }

  private void step() {
    Moment to = new Moment(simulated.now().nanos() + STEP_NANOS);
    if (realTime) {
      holdBack(to);
    }
    operator.advanceTo(to);
    simulated.drain(this::arrived);
    for (Ear ear : ears.values()) {
      if (ear.wakeAt.isPresent() && !ear.wakeAt.get().isAfter(now())) {
        act(ear, ear.tap.tick(now()));
      }
    }
  }

  private void arrived(String instrument, Moment at, ByteBuffer bytes) {
    Ear ear = ears.get(instrument);
    if (ear == null) {
      bytes.position(bytes.limit());
    } else {
      act(ear, ear.tap.bytes(shifted(at), bytes));
    }
  }

  private void act(Ear ear, Next next) {
    for (Request request : next.requests()) {
      simulated.received(ear.name, request.bytes());
    }
    ear.wakeAt = next.wakeAt();
  }

  private void holdBack(Moment to) {
    long ahead = to.nanos() - simulatedStart - (System.nanoTime() - realStart);
    if (ahead > 0) {
      LockSupport.parkNanos(ahead);
    }
  }

  private Moment shifted(Moment simulatedMoment) {
    return new Moment(simulatedMoment.nanos() + shiftNanos);
  }

  @Override
  public void close() {
    simulated.blower(false);
  }
}
