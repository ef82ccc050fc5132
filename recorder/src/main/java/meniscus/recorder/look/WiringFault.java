package meniscus.recorder.look;

import java.util.Optional;
import meniscus.core.quantity.Text;
import meniscus.core.quantity.Unit;

/**
 * What is wrong with a gauge's wiring, hose or unit, told by how it answers to something known.
 *
 * @param kind of fault
 * @param text what it is and what to do
 */
public record WiringFault(Kind kind, String text) {

  /** What can be wrong. */
  public enum Kind {
    NOTHING_MOVES,
    SWAPPED,
    INVERTED,
    REFERENCE,
    UNIT,
    SCALE
  }

  /** A mouth makes a thousand pascals and more; less than this is a draught [Pa]. */
  static final double MOVED_PA = 200;

  /** Of the gauge that should move, when another moves instead. */
  private static final double SHARE = 0.25;

  /** A dial, a feeler gauge and a water column are right within this. */
  private static final double WITHIN = 0.03;

  /** A transducer on 5 V beside a converter whose reference is 3.3 V, and the other way round. */
  private static final double REFERENCES = 5 / 3.3;

  /**
   * Somebody sucks at one gauge's hose.
   *
   * @param what is sucked at
   * @param movedPa by how much that gauge moved [Pa], with the bench file's sign
   * @param other the other gauge
   * @param otherMovedPa by how much that moved [Pa]
   */
  static Optional<WiringFault> ofSuction(
      String what, double movedPa, String other, double otherMovedPa) {
    boolean otherMoves = Math.abs(otherMovedPa) > MOVED_PA;
    if (otherMoves && Math.abs(movedPa) < SHARE * Math.abs(otherMovedPa)) {
      return Optional.of(
          new WiringFault(
              Kind.SWAPPED,
              "you sucked at "
                  + what
                  + ", but "
                  + other
                  + " moved: their hoses, or their channels, are swapped"));
    }
    if (Math.abs(movedPa) <= MOVED_PA) {
      return Optional.of(
          new WiringFault(
              Kind.NOTHING_MOVES,
              what + " does not move: is the hose on, is it open, is it the right gauge?"));
    }
    return movedPa > 0
        ? Optional.empty()
        : Optional.of(
            new WiringFault(
                Kind.INVERTED,
                what
                    + " falls where it must rise: put the hose on the other nipple, or change"
                    + " \"inverted\" in the bench file"));
  }

  /**
   * A gauge beside something known.
   *
   * @param readSi what it showed, less what it showed before
   * @param trueSi what it should have shown
   * @param unit that the sheet gives it
   */
  static Optional<WiringFault> ofKnown(String what, double readSi, double trueSi, Unit unit) {
    double ratio = readSi / trueSi;
    if (near(ratio, 1)) {
      return Optional.empty();
    }
    if (near(ratio, -1)) {
      return Optional.of(
          new WiringFault(
              Kind.INVERTED, what + " has the other sign: change \"inverted\" in the bench file"));
    }
    if (near(ratio, REFERENCES) || near(ratio, 1 / REFERENCES)) {
      boolean high = ratio > 1;
      return Optional.of(
          new WiringFault(
              Kind.REFERENCE,
              what
                  + (high ? " shows 1.52 times too much" : " shows 0.66 of what it should")
                  + ": sensor and converter hang on different supplies, 5 V and 3.3 V"));
    }
    for (Unit sent : Unit.of(unit.dimension())) {
      // It sends numbers in one unit, and the sheet takes them for another.
      if (sent.offset() == 0 && near(ratio, unit.factor() / sent.factor())) {
        return Optional.of(
            new WiringFault(
                Kind.UNIT,
                what
                    + " seems to send "
                    + sent.symbol()
                    + ", but its sheet says "
                    + unit.symbol()
                    + ": put that right in the sheet"));
      }
    }
    return Optional.of(
        new WiringFault(
            Kind.SCALE,
            Text.of("%s shows %.3g of what it should: look at its scale", what, ratio)));
  }

  private static boolean near(double ratio, double wanted) {
    return Math.abs(ratio / wanted - 1) < WITHIN;
  }
}
