package meniscus.core.compare;

import java.util.Objects;
import java.util.OptionalInt;

/**
 * What is said of a difference, and what it was said by.
 *
 * @param outcome in a word
 * @param half half-width of the interval that decided [m³/s]: wider than one lift's own 95 %
 *     interval, for all lifts and the average are asked at once. A gain or loss leaves zero out of
 *     it; where it cannot be told yet zero is in it, unless it was {@code withheld}
 * @param withheld why a difference is not called, whatever its interval says
 * @param repeatsNeeded further runs of each side until the asked resolution is decided with a power
 *     of 80 %; 0 when decided, empty when no number of repeats would do
 */
public record Decided(Outcome outcome, double half, Withheld withheld, OptionalInt repeatsNeeded) {

  /** Why a difference is not called. */
  public enum Withheld {
    /** It was decided by its interval. */
    NO,
    /** Nobody knows how much putting the head back moves the flow on this bench. */
    SCATTER_UNKNOWN,
    /** The set-ups differ, and nobody has said why they may be compared. */
    SET_UPS_DIFFER,
    /** A dial whose zero had moved would explain it. */
    LIFT_ZERO_MAY_HAVE_MOVED,
    /** Some air that passes beside the port, more or less than before, would explain it. */
    LEAK_MAY_HAVE_CHANGED,
    /** A point of it was set aside, or the valve may have moved while it was taken. */
    POINT_IN_DOUBT
  }

  public Decided {
    Objects.requireNonNull(outcome);
    Objects.requireNonNull(withheld);
    Objects.requireNonNull(repeatsNeeded);
    if (withheld != Withheld.NO && outcome != Outcome.CANNOT_TELL_YET) {
      throw new IllegalArgumentException("what is withheld cannot be told yet");
    }
  }

  /** The same, not called. */
  Decided withheld(Withheld why) {
    return new Decided(Outcome.CANNOT_TELL_YET, half, why, OptionalInt.empty());
  }
}
