package meniscus.core.bench;

import java.util.Objects;
import meniscus.core.quantity.Coded;
import meniscus.core.refusal.Refusal;

/**
 * One explanation of a calibration's readings, and how likely it is beside the others.
 *
 * @param kind what is wrong, if anything
 * @param plate its name where the fault is a plate's; empty otherwise
 * @param size of the fault: see {@link Kind}; 0 where it has none
 * @param standardUncertainty of the size, if this explanation holds
 * @param probability of this explanation, given the readings and the stated prior odds [1]
 */
public record Explanation(
    Kind kind, String plate, double size, double standardUncertainty, double probability) {

  /** Test pressure at which a leak's size is stated: 28 inH2O [Pa]. */
  public static final double LEAK_AT_PA = 28 * 249.08891;

  /** What can be wrong, with the unit of its size. */
  public enum Kind implements Coded {
    /** Nothing is wrong. */
    NOTHING,
    /** A plate passes this much more than its certificate says, relative [1]. */
    PLATE,
    /** A plate stands the wrong way round and passes this much more, relative [1]. */
    TURNED,
    /** Air leaks beside the plate, more than was measured, at {@link #LEAK_AT_PA} [m³/s]. */
    LEAK,
    /** The gauge of the drop shows this much with nothing to read [Pa]. */
    DROP_ZERO,
    /** The gauge of the test pressure shows this much with nothing to read [Pa]. */
    PRESSURE_ZERO,
    /** The correction moved by this much from the first plate to the last, relative [1]. */
    DRIFT,
    /** More than one of leak, zero of the drop and a plate at once; size 0. */
    SEVERAL;
  }

  public Explanation {
    Objects.requireNonNull(kind);
    Objects.requireNonNull(plate);
    if (!Double.isFinite(size) || !(standardUncertainty >= 0) || !(probability >= 0)) {
      throw new Refusal(
          "an explanation needs a finite size, an uncertainty and a probability of 0 or more");
    }
  }

  /** True when a plate is at fault, not the bench. */
  public boolean isOfPlate() {
    return kind == Kind.PLATE || kind == Kind.TURNED;
  }
}
