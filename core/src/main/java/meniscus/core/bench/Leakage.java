package meniscus.core.bench;

import java.time.Instant;
import java.util.Objects;
import meniscus.core.flow.Direction;

/**
 * Air that does not pass the port: q = coefficient × (Δp / 1 Pa)^exponent.
 *
 * @param direction leaks differ with direction
 * @param setUp what was mounted: "bench blanked" or the head and adapter
 * @param coefficient volume flow at 1 Pa of plenum air [m³/s]; 0 when too small to see
 * @param exponent from 0.5 (sharp hole) to 1 (porous gasket)
 * @param standardUncertainty of the leak, relative to the leak when it was seen [1]
 * @param limitM3PerS smallest leak at test pressure that could have been seen [m³/s]; with a
 *     coefficient of 0 the leak lies between 0 and this
 * @param at when it was taken
 */
public record Leakage(
    Direction direction,
    String setUp,
    double coefficient,
    double exponent,
    double standardUncertainty,
    double limitM3PerS,
    Instant at) {
  public Leakage {
    Objects.requireNonNull(direction);
    Objects.requireNonNull(setUp);
    if (!(coefficient >= 0) || !(exponent >= 0.5 && exponent <= 1)) {
      throw new IllegalArgumentException(
          "leakage needs a coefficient of 0 or more and an exponent from 0.5 to 1");
    }
  }

  /** Leak at a test pressure [m³/s]. */
  public double flowM3PerS(double testPressurePa) {
    return coefficient * Math.pow(Math.abs(testPressurePa), exponent);
  }
}
