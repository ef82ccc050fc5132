package meniscus.core.bench;

import java.time.Instant;
import java.util.Objects;
import java.util.Optional;
import java.util.OptionalDouble;
import meniscus.core.flow.Direction;
import meniscus.core.quantity.Coded;

/**
 * One line of the bench's health log: something of the bench was checked.
 *
 * @param at when
 * @param epoch the bench's epoch at that time
 * @param kind what was checked
 * @param subject of the check: a channel, a set-up, a plate
 * @param direction where it matters
 * @param range name of the range, where it matters
 * @param value what was found, in the unit of {@link Kind}
 * @param expected what it should have been
 * @param standardUncertainty of value − expected, 0 when not known
 * @param limit largest accepted distance from the expected value, when there is one
 * @param remark of the operator; may be empty
 */
public record HealthEntry(
    Instant at,
    int epoch,
    Kind kind,
    String subject,
    Optional<Direction> direction,
    Optional<String> range,
    double value,
    double expected,
    double standardUncertainty,
    OptionalDouble limit,
    String remark) {

  /** What can be checked, with the unit of its value. */
  public enum Kind implements Coded {
    /** The bench stands level, 1 or 0. */
    LEVEL,
    /** Offset of a gauge [SI unit of its channel]. */
    ZERO,
    /** Leak at the test pressure [m³/s]. */
    LEAKAGE,
    /** Flow through a plate over the flow it should pass [1]. */
    PLATE_CHECK,
    /** A calm record was taken: its relative fluctuation [1]. */
    CALM_RECORD,
    /** What one gauge shows over what another shows on the same pressure [1]. */
    GAUGES;
  }

  public HealthEntry {
    Objects.requireNonNull(at);
    Objects.requireNonNull(kind);
    Objects.requireNonNull(subject);
    Objects.requireNonNull(direction);
    Objects.requireNonNull(range);
    Objects.requireNonNull(limit);
    Objects.requireNonNull(remark);
    if (!Double.isFinite(value) || !Double.isFinite(expected) || !(standardUncertainty >= 0)) {
      throw new IllegalArgumentException("a health entry needs finite numbers");
    }
  }

  /** False when a limit is set and passed. */
  public boolean withinLimit() {
    return limit.isEmpty() || Math.abs(value - expected) <= limit.getAsDouble();
  }
}
