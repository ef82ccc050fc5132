package meniscus.core.bench;

import java.util.Objects;
import java.util.OptionalDouble;

/**
 * A fault that the plates and test pressures at hand would not tell.
 *
 * @param kind of the fault
 * @param size at which it would not be told, in the unit of its kind
 * @param takenFor what it would pass for; {@link Explanation.Kind#NOTHING} when it would not be
 *     seen
 * @param boreM bore of a plate that would tell it, read as well [m]; empty when none would
 */
public record BlindSpot(
    Explanation.Kind kind, double size, Explanation.Kind takenFor, OptionalDouble boreM) {
  public BlindSpot {
    Objects.requireNonNull(kind);
    Objects.requireNonNull(takenFor);
    Objects.requireNonNull(boreM);
  }
}
