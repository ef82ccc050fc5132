package meniscus.core.compare;

import java.util.OptionalInt;
import meniscus.core.decide.Estimate;

/**
 * After minus before, of the flow at one lift or of the mean flow over the ladder [m³/s].
 *
 * @param before flow before
 * @param after flow after
 * @param estimate of the difference
 * @param scatterKnown false when nobody knows how much taking the head off and putting it back
 *     moves the flow on this bench: the interval then leaves that out
 * @param decidable smallest difference that can be decided, both that it is there and that it is
 *     not
 * @param margin differences smaller than this are no real change
 * @param decided what is said of it
 */
public record Difference(
    double before,
    double after,
    Estimate estimate,
    boolean scatterKnown,
    double decidable,
    double margin,
    Decided decided) {

  public Outcome outcome() {
    return decided.outcome();
  }

  /** As {@link Decided#repeatsNeeded}. */
  public OptionalInt repeatsNeeded() {
    return decided.repeatsNeeded();
  }

  /** Half-width of the interval that decided, as a share of the flow before [1]. */
  public double relativeHalf() {
    return decided.half() / before;
  }

  /** The same, not called. */
  Difference withheld(Decided.Withheld why) {
    return new Difference(
        before, after, estimate, scatterKnown, decidable, margin, decided.withheld(why));
  }

  /** Share of the flow before [1]. */
  public double relative() {
    return estimate.value() / before;
  }
}
