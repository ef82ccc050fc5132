package meniscus.core.flow;

import meniscus.core.quantity.Text;
import meniscus.core.refusal.Refusal;

/**
 * What the test pressure does to a valve: Δp on the whole head, an upper bound that is nearly true
 * at low lift. The bench is at the chamber side of the head, so suction pulls any valve open and
 * blowing pushes it shut, intake or exhaust alike.
 *
 * @param openingN force on the valve, positive where it opens it, N
 */
public record ValveForce(double openingN) {

  /** The force on a head at a test pressure, which is positive whatever the direction. */
  public static ValveForce of(double headM, double testPressurePa, Direction direction) {
    double size = size(headM, testPressurePa);
    return new ValveForce(direction == Direction.SUCTION ? size : -size);
  }

  /**
   * Force left that holds the valve to its seat or opener, N; below zero the valve moves by itself
   * and the lift is not what was set.
   *
   * @param seatLoadN the checking spring's force with the valve on its seat
   * @param rateNPerM the spring's rate
   * @param liftM lift of the valve
   * @param otherOpeningN what else pushes it open: its weight in a head lying chamber down, the
   *     indicator's plunger
   */
  public double marginN(double seatLoadN, double rateNPerM, double liftM, double otherOpeningN) {
    if (!(seatLoadN >= 0 && rateNPerM >= 0 && liftM >= 0)) {
      throw new Refusal(
          Text.of(
              "a spring's seat load (%s N), rate (%s N/m) and the lift (%s m) must not be negative",
              seatLoadN, rateNPerM, liftM));
    }
    return seatLoadN + rateNPerM * liftM - openingN - otherOpeningN;
  }

  private static double size(double headM, double testPressurePa) {
    if (!(headM > 0) || !(testPressurePa >= 0)) {
      throw new Refusal(
          Text.of(
              "head diameter must be above zero and test pressure not negative, not %s m and %s Pa",
              headM, testPressurePa));
    }
    return testPressurePa * Math.PI / 4 * headM * headM;
  }
}
