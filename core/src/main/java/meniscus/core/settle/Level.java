package meniscus.core.settle;

/**
 * What is known of the settled level.
 *
 * @param mean expected level, in the unit of the readings
 * @param standardError standard deviation of what is known of it
 * @param degreesOfFreedom of the interval
 * @param halfWidth half of the 95 % interval
 * @param moving the part of the settling still to come, expected magnitude
 * @param movingChance chance that more than the asked half width is still to come
 * @param climb steady climb over all that was seen, where that is likelier than rest; else 0
 * @param settlingAtStart fitted settling at the first block used
 * @param settlingSeconds its fitted time [s]
 * @param blockDeviation standard deviation of one block mean
 * @param familiarChance chance that the noise is that of the calm record
 * @param best the likeliest noise shape
 */
public record Level(
    double mean,
    double standardError,
    double degreesOfFreedom,
    double halfWidth,
    double moving,
    double movingChance,
    double climb,
    double settlingAtStart,
    double settlingSeconds,
    double blockDeviation,
    double familiarChance,
    NoiseShape best) {}
