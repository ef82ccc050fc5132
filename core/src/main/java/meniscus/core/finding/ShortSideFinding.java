package meniscus.core.finding;

import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.TreeSet;

/**
 * Weighs what speaks for air letting go of the short side.
 *
 * <p>No one sign is proof. Each sign is held to its own false-alarm rate where it is found; here it
 * takes two of different kinds, one of them in the flow itself, before the words "likely short
 * side" are used. Which signs count is common practice of the trade, no source; unsteadiness and
 * two levels at the same lifts are what separated flow does.
 *
 * @param signs what was found
 */
public record ShortSideFinding(List<Sign> signs) {

  /** A kind of sign. */
  public enum Kind {
    /** Flow gained at low lift and lost at high lift. */
    GAINED_BELOW_LOST_ABOVE(true),
    /** The flow turns over where the earlier run still rose. */
    TURNED_OVER(true),
    /** The coefficient falls beyond a test pressure. */
    PRESSURE_BREAKPOINT(true),
    /** The air is rougher than it was, or than at neighbouring lifts. */
    UNSTEADY(false),
    /** The flow jumps between two levels. */
    TWO_LEVELS(false),
    /** The closing sweep flows less than the opening one. */
    LATE_RECOVERY(false);

    private final boolean inTheFlow;

    Kind(boolean inTheFlow) {
      this.inTheFlow = inTheFlow;
    }
  }

  /**
   * @param kind of sign
   * @param told with its numbers
   * @param liftsM where [m]
   */
  public record Sign(Kind kind, String told, List<Double> liftsM) {
    public Sign {
      liftsM = List.copyOf(liftsM);
    }
  }

  public ShortSideFinding {
    signs = List.copyOf(signs);
  }

  /** The finding, when there is enough for one. */
  public Optional<Finding> finding(InUnits in) {
    long kinds = signs.stream().map(Sign::kind).distinct().count();
    boolean inTheFlow = signs.stream().anyMatch(sign -> sign.kind.inTheFlow);
    if (kinds < 2 || !inTheFlow) {
      return Optional.empty();
    }
    TreeSet<Double> lifts = new TreeSet<>();
    signs.forEach(sign -> lifts.addAll(sign.liftsM));
    List<Double> sorted = new ArrayList<>(lifts);
    return Optional.of(
        new Finding(
            Finding.Kind.LIKELY_SHORT_SIDE,
            "The short side is likely to let go of the air at high lift"
                + (sorted.isEmpty() ? "." : " (" + in.lifts(sorted) + ")."),
            signs.stream().map(Sign::told).toList(),
            "To confirm or refute it: step the test pressure at the highest of these lifts; lay a"
                + " smooth clay fillet over the short side and measure again; if the loss goes, it"
                + " was the short side. Take no more metal off the short side before that.",
            sorted));
  }
}
