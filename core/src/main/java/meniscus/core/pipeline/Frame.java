package meniscus.core.pipeline;

import meniscus.core.time.Moment;

/**
 * What one frame of one instrument said: a row of the recorded samples.
 *
 * <p>The values are as the instrument gave them, in SI, before zero and calibration: {@code NaN}
 * for a channel that the frame does not hold, positive infinity where the instrument said
 * "overload".
 *
 * @param instrument index in the bench
 * @param moment arrival of its last byte
 * @param valuesSi one a channel of the instrument; not to be changed
 */
public record Frame(int instrument, Moment moment, double[] valuesSi) {

  /** What stands in a frame where the instrument said "no value" or "overload". */
  public static final double OVERLOAD = Double.POSITIVE_INFINITY;
}
