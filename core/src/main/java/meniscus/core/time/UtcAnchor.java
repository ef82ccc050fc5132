package meniscus.core.time;

import java.time.Instant;

/**
 * Ties a segment's moments to the calendar: read once when the segment starts, never moved, so that
 * a wall clock that jumps during a test changes nothing.
 *
 * @param at wall-clock instant of {@code moment}
 * @param moment the moment that was read with it
 */
public record UtcAnchor(Instant at, Moment moment) {

  /** The calendar time of a moment of the same segment. */
  public Instant instantOf(Moment other) {
    return at.plusNanos(other.nanos() - moment.nanos());
  }
}
