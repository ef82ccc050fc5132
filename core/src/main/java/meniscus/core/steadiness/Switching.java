package meniscus.core.steadiness;

/**
 * Two levels that a reading jumps between.
 *
 * @param low lower level, in the unit of the readings
 * @param high upper level
 * @param shareHigh share of time at the upper level, 0…1
 * @param dwellLowSeconds typical stay at the lower level [s]
 * @param dwellHighSeconds typical stay at the upper level [s]
 * @param jumps jumps seen
 */
public record Switching(
    double low,
    double high,
    double shareHigh,
    double dwellLowSeconds,
    double dwellHighSeconds,
    int jumps) {}
