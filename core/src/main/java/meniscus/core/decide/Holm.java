package meniscus.core.decide;

import java.util.Comparator;
import java.util.stream.IntStream;

/**
 * Many questions at once with one chance of a false claim (Holm 1979, "A simple sequentially
 * rejective multiple test procedure", Scand. J. Statist. 6, 65-70). Holds whatever the correlation
 * of the questions, so an uncertain correlation cannot spoil it.
 */
public final class Holm {

  private Holm() {}

  /**
   * Which null hypotheses are rejected.
   *
   * @param p value of each question
   * @param chance of one false rejection or more, 0.05 for 5 %
   */
  public static boolean[] rejected(double[] p, double chance) {
    int[] rising =
        IntStream.range(0, p.length)
            .boxed()
            .sorted(Comparator.comparingDouble(i -> p[i]))
            .mapToInt(Integer::intValue)
            .toArray();
    boolean[] rejected = new boolean[p.length];
    for (int step = 0; step < p.length; step++) {
      if (!(p[rising[step]] <= chance / (p.length - step))) {
        break;
      }
      rejected[rising[step]] = true;
    }
    return rejected;
  }
}
