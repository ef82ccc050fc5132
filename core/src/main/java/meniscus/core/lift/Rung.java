package meniscus.core.lift;

import java.util.Objects;
import java.util.OptionalDouble;
import meniscus.core.refusal.Refusal;

/**
 * One step of the ladder.
 *
 * @param number 1 for the first
 * @param liftM valve lift as asked [m]
 * @param sweep side from which it is approached
 * @param testPressurePa its own test pressure [Pa], when the rung is part of a pressure sweep
 * @param returnRung true for the lift that is taken again at the end, to see drift
 * @param confirm true when it was added while the test ran, to settle a suspicion
 */
public record Rung(
    int number,
    double liftM,
    Sweep sweep,
    OptionalDouble testPressurePa,
    boolean returnRung,
    boolean confirm) {

  /** A rung of the plan. */
  public Rung(
      int number, double liftM, Sweep sweep, OptionalDouble testPressurePa, boolean returnRung) {
    this(number, liftM, sweep, testPressurePa, returnRung, false);
  }

  public Rung {
    Objects.requireNonNull(sweep);
    Objects.requireNonNull(testPressurePa);
    if (!(liftM >= 0 && liftM < 0.1)) {
      throw new Refusal(
          "lift "
              + number
              + " of the plan: a valve lift lies between 0 and 100 mm, was "
              + liftM * 1e3
              + " mm");
    }
  }
}
