package meniscus.core.uncertainty;

import org.hipparchus.distribution.continuous.NormalDistribution;
import org.hipparchus.distribution.continuous.TDistribution;

/** Coverage factors: how many standard uncertainties make a two-sided interval. */
public final class Coverage {

  /** Above this many degrees of freedom Student's t and the normal differ by less than 1e-5. */
  private static final double PRACTICALLY_INFINITE = 1e6;

  /** Two-sided 95 % of the normal distribution, as every record so far was reckoned with. */
  public static final double NORMAL_95 = 1.959964;

  private static final NormalDistribution NORMAL = new NormalDistribution(0, 1);

  private Coverage() {}

  /**
   * Two-sided factor of Student's t (JCGM 100:2008 table G.2), for degrees of freedom that need not
   * be whole: interpolated, not truncated (JCGM 100:2008 G.4.1 allows both).
   *
   * @param level share covered, 0.95 for 95 %
   * @param degreesOfFreedom positive, may be infinite
   */
  public static double factor(double level, double degreesOfFreedom) {
    if (!(level > 0 && level < 1) || !(degreesOfFreedom > 0)) {
      throw new IllegalArgumentException(
          "a coverage factor needs a level between 0 and 1 and positive degrees of freedom");
    }
    double upper = 0.5 + level / 2;
    return degreesOfFreedom > PRACTICALLY_INFINITE
        ? NORMAL.inverseCumulativeProbability(upper)
        : new TDistribution(degreesOfFreedom).inverseCumulativeProbability(upper);
  }

  /** {@link #factor} at 95 %. */
  public static double factor95(double degreesOfFreedom) {
    return factor(0.95, degreesOfFreedom);
  }
}
