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
    int jumps) {

  /**
   * @param mean that the fitted levels are about
   * @param seconds time of one value
   */
  static Switching of(TwoLevels.Fit fit, double mean, double seconds) {
    double share = fit.shareHigh();
    int visits = fit.jumps() / 2 + 1;
    double total = fit.upper().length * seconds;
    return new Switching(
        mean + fit.low(),
        mean + fit.high(),
        share,
        total * (1 - share) / visits,
        total * share / visits,
        fit.jumps());
  }

  /** Standard error of the mean over a time, from the stays. */
  double meanError(double seconds) {
    double a = Math.max(dwellLowSeconds, 1e-3);
    double b = Math.max(dwellHighSeconds, 1e-3);
    double memory = a * b / (a + b);
    double share = Math.min(1, 2 * memory / seconds);
    return (high - low) * Math.sqrt(shareHigh * (1 - shareHigh) * share);
  }

  /** What the jumps add to the variance of the readings. */
  double variance() {
    return shareHigh * (1 - shareHigh) * (high - low) * (high - low);
  }
}
