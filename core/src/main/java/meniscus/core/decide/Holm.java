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
    double[] levels = levels(p, chance);
    boolean[] rejected = new boolean[p.length];
    for (int i = 0; i < p.length; i++) {
      rejected[i] = p[i] <= levels[i];
    }
    return rejected;
  }

  /**
   * The level that each question was decided at: that of its own step, or that of the step at which
   * the procedure ended. A null hypothesis is rejected where its p value is no larger; so an
   * interval at this level leaves the null out exactly where it is rejected.
   *
   * @param p value of each question
   * @param chance of one false rejection or more, 0.05 for 5 %
   */
  public static double[] levels(double[] p, double chance) {
    int[] rising =
        IntStream.range(0, p.length)
            .boxed()
            .sorted(Comparator.comparingDouble(i -> p[i]))
            .mapToInt(Integer::intValue)
            .toArray();
    double[] levels = new double[p.length];
    boolean ended = false;
    double level = 0;
    for (int step = 0; step < p.length; step++) {
      level = ended ? level : chance / (p.length - step);
      ended |= !(p[rising[step]] <= level);
      levels[rising[step]] = level;
    }
    return levels;
  }
}
