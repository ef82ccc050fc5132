package meniscus.core.steadiness;

import java.util.Arrays;

/**
 * The upper tail of some hundred draws: exponential above one of them.
 *
 * @param share of draws that lie below the point where it begins
 * @param base that point
 * @param scale mean excess above it
 */
record Tail(double share, double base, double scale) {

  static Tail of(double[] draws, double share) {
    double[] sorted = draws.clone();
    Arrays.sort(sorted);
    int from = (int) (share * sorted.length);
    double sum = 0;
    for (int i = from; i < sorted.length; i++) {
      sum += sorted[i] - sorted[from];
    }
    return new Tail(share, sorted[from], sum / (sorted.length - from));
  }

  /** What a draw exceeds with a chance. */
  double beyond(double chance) {
    return base + scale * Math.max(0, Math.log((1 - share) / chance));
  }
}
