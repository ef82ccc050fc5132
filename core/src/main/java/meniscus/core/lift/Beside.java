package meniscus.core.lift;

import java.util.Objects;
import java.util.OptionalDouble;
import meniscus.core.quantity.Unit;
import meniscus.core.uncertainty.Coverage;

/**
 * Something measured at a rung beside its flow, that the flow does not depend on: how loud a fast
 * channel is in a band, a velocity at a probe, the mean of a channel without a use.
 *
 * @param name of a {@link meniscus.core.steadiness.Band}, {@link #PROBE_VELOCITY}, or instrument
 *     and channel parted by a dot
 * @param unit SI
 * @param value mean over the rung
 * @param u95 half-width of its 95 % interval; empty when too little was read
 */
public record Beside(String name, Unit unit, double value, OptionalDouble u95) {

  /** Velocity of the air at a probe. */
  public static final String PROBE_VELOCITY = "probe_velocity";

  public Beside {
    Objects.requireNonNull(name);
    Objects.requireNonNull(unit);
    Objects.requireNonNull(u95);
  }

  /** Standard uncertainty; infinite when it is not known. */
  public double standardUncertainty() {
    return u95.isPresent() ? u95.getAsDouble() / Coverage.NORMAL_95 : Double.POSITIVE_INFINITY;
  }
}
