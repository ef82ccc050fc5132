package meniscus.drivers.simulated;

import java.util.ArrayDeque;
import java.util.Queue;
import java.util.SplittableRandom;
import meniscus.core.lift.Sweep;
import meniscus.core.time.Moment;

/**
 * A person at the simulated bench: does one thing after another, each after a moment of thought,
 * sets a lift by looking at the dial, and goes back to come again from the right side when it was
 * turned too far. The same requests with the same seed give the same hands.
 *
 * <p>Not thread-safe.
 */
public final class SimulatedOperator {

  /** How often the person looks up. */
  private static final long LOOK_NANOS = 50_000_000;

  private static final double QUICKEST_S = 0.4;
  private static final double SLOWEST_S = 0.9;

  /** A dial that shows this much or less off is right [m]. */
  private static final double GOOD_ENOUGH_M = 0.008e-3;

  /** How far off the first turn ends [m], one standard deviation; each later one a quarter. */
  private static final double FIRST_TURN_M = 0.015e-3;

  private static final double TURNED_TOO_FAR_M = 0.06e-3;
  private static final double HOW_OFTEN_TOO_FAR = 0.15;

  /** How far back to come again from the right side [m]. */
  private static final double STEP_BACK_M = 0.3e-3;

  /** A dial is watched this long before it is believed [s]. */
  private static final double WATCHED_S = 0.3;

  private static final int PATIENCE = 10;

  /** Something to do. */
  private interface Task {
    /** Does the next bit; true when nothing is left. */
    boolean done();
  }

  private final SimulatedBench bench;
  private final SplittableRandom random;
  private final Queue<Task> tasks = new ArrayDeque<>();
  private long nextLookNanos;
  private long busyUntilNanos;

  public SimulatedOperator(SimulatedBench bench, long seed) {
    this.bench = bench;
    random = new SplittableRandom(seed);
    nextLookNanos = bench.now().nanos();
  }

  /** Bring the valve to a lift on the dial, coming from the sweep's side. */
  public void goToLift(double liftM, Sweep sweep) {
    ask(liftM == 0 ? once(() -> bench.setLift(0)) : new SetLift(liftM, sweep));
  }

  public void blower(boolean on) {
    ask(once(() -> bench.blower(on)));
  }

  /** Hold this test pressure [Pa]. */
  public void aimPressure(double pascals) {
    ask(once(() -> bench.aimPressure(pascals)));
  }

  /** Change the hoses, where a sweep wants them changed; with the blower off. */
  public void sendAir(Sweep sweep) {
    ask(once(() -> bench.sendAir(sweep.plansWay())));
  }

  /** Shut or open the valve between plenum and blower. */
  public void valve(boolean shut) {
    ask(once(() -> bench.isolated(shut)));
  }

  /** Take off what is on the bench and mount something else. */
  public void mount(Mounted what) {
    ask(once(() -> bench.mount(what)));
  }

  /** Whether all that was asked for is done. */
  public boolean idle() {
    return tasks.isEmpty() && bench.now().nanos() >= busyUntilNanos;
  }

  /** Lets bench and person go on to a moment. */
  public void advanceTo(Moment moment) {
    while (nextLookNanos <= moment.nanos()) {
      bench.advanceTo(new Moment(nextLookNanos));
      if (nextLookNanos >= busyUntilNanos && !tasks.isEmpty() && tasks.peek().done()) {
        tasks.remove();
        think();
      }
      nextLookNanos += LOOK_NANOS;
    }
    bench.advanceTo(moment);
  }

  private void ask(Task task) {
    if (tasks.isEmpty()) {
      think();
    }
    tasks.add(task);
  }

  private void think() {
    waitFor(QUICKEST_S + (SLOWEST_S - QUICKEST_S) * random.nextDouble());
  }

  private void waitFor(double seconds) {
    busyUntilNanos = bench.now().nanos() + Math.round(seconds * 1e9);
  }

  private static Task once(Runnable action) {
    return () -> {
      action.run();
      return true;
    };
  }

  /** Turn, look, correct. */
  private final class SetLift implements Task {
    private final double liftM;
    private final Sweep sweep;
    private int turns;
    private boolean watched;

    SetLift(double liftM, Sweep sweep) {
      this.liftM = liftM;
      this.sweep = sweep;
    }

    @Override
    public boolean done() {
      if (!bench.openerRests()) {
        watched = false;
        return false;
      }
      if (!watched) {
        watched = true;
        waitFor(WATCHED_S);
        return false;
      }
      double missingM = liftM - bench.dialM();
      if (turns > 0 && (Math.abs(missingM) <= GOOD_ENOUGH_M || turns >= PATIENCE)) {
        return true;
      }
      double forward = sweep == Sweep.CLOSING ? -1 : 1;
      boolean tooFar = turns > 0 && forward * missingM < 0;
      bench.turnOpenerBy(tooFar ? missingM - forward * STEP_BACK_M : missingM + slip(forward));
      turns++;
      watched = false;
      return false;
    }

    private double slip(double forward) {
      if (turns > 0) {
        return FIRST_TURN_M / 4 * random.nextGaussian();
      }
      double tooFar = random.nextDouble() < HOW_OFTEN_TOO_FAR ? TURNED_TOO_FAR_M : 0;
      return forward * (tooFar + FIRST_TURN_M * (random.nextGaussian() - 1));
    }
  }
}
