package meniscus.core.roundrobin;

import java.util.Comparator;
import java.util.stream.IntStream;
import org.hipparchus.linear.RealMatrix;
import org.hipparchus.linear.RealVector;

/**
 * Benches that do not agree with a majority that agrees: the largest consistent subset (Cox,
 * Metrologia 44 (2007) 187, from memory), found by leaving out, one by one, the bench without which
 * the rest agrees best. One bench that is wrong would otherwise draw the mean after it, and all the
 * others would seem to be off the other way.
 *
 * <p>Fewer than half may be left out. Where the rest still does not agree nobody is: then the
 * benches differ as a crowd, and none of them is to blame.
 */
final class Majority {

  private Majority() {}

  /**
   * @param x of the benches
   * @param covariance of them
   * @param falseClaim chance to leave out any where all statements are true
   */
  static boolean[] outside(RealVector x, RealMatrix covariance, double falseClaim) {
    int m = x.getDimension();
    boolean[] out = new boolean[m];
    Agreement agreed = Agreement.of(x, covariance, IntStream.range(0, m).toArray());
    for (int left = 0; agreed.chance() < falseClaim; left++) {
      if (2 * (left + 1) >= m) {
        return new boolean[m];
      }
      int[] of = agreed.of();
      agreed =
          IntStream.of(of)
              .mapToObj(
                  b -> Agreement.of(x, covariance, IntStream.of(of).filter(o -> o != b).toArray()))
              .min(Comparator.comparingDouble(Agreement::q))
              .orElseThrow();
      int[] rest = agreed.of();
      for (int b = 0; b < m; b++) {
        int bench = b;
        out[b] = IntStream.of(rest).noneMatch(o -> o == bench);
      }
    }
    return out;
  }
}
