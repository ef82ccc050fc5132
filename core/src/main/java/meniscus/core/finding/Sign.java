package meniscus.core.finding;

import java.util.List;

/**
 * Something seen that a short side does when air lets go of it. One fact is one sign: what comes of
 * the same numbers has the same kind.
 *
 * @param kind of sign
 * @param told with its numbers
 * @param liftsM where [m]
 */
public record Sign(Kind kind, String told, List<Double> liftsM) {

  /** A kind of sign. */
  public enum Kind {
    /** The flow falls with more lift, or is less than before the change. */
    LOSES,
    /** The air there is rougher than at the port's other lifts or in its earlier run, or jumps. */
    ROUGHER,
    /** The flow coefficient falls beyond a test pressure at that lift. */
    FALLS_WITH_PRESSURE,
    /** The closing sweep flows less than the opening one. */
    CLOSING_DIFFERS,
    /** Blown through, the port shows no such loss at the same lift. */
    NOT_BLOWING
  }

  public Sign {
    liftsM = List.copyOf(liftsM);
  }
}
