package meniscus.core.compare;

import java.util.ArrayList;
import java.util.List;
import java.util.TreeSet;
import java.util.stream.Collectors;
import meniscus.core.bench.Repeatability;
import org.hipparchus.distribution.continuous.ChiSquaredDistribution;
import org.hipparchus.distribution.continuous.TDistribution;

/**
 * A bench's repeatability from all the repeats that it ever took, leaning on what benches usually
 * give.
 *
 * <p>Six fittings know a standard deviation badly: to about half and twice. The variances of all
 * series are pooled, weighted by their degrees of freedom, and drawn towards {@link #USUAL} as if
 * that came from {@link #USUAL_DEGREES} more degrees of freedom: the posterior of a variance under
 * a scaled inverse chi-squared prior (moderated variances, from memory: Smyth, Stat. Appl. Genet.
 * Mol. Biol. 3 (2004) 3). That keeps false claims at their rate only while the bench is one of
 * those; so a bench that shows more scatter than is usual is believed by itself. Tried on benches
 * of 0.15 to 1.4 %: see docs/figures.md.
 */
public final class RepeatabilityOverBenches {

  /**
   * Relative standard deviation between fittings of a usual bench (our own choice: benches that
   * were looked at gave 0.2 to 0.7 %).
   */
  public static final double USUAL = 0.003;

  /** How much that is worth (our own choice: little, less than five fittings). */
  public static final double USUAL_DEGREES = 4;

  /** Error rate of a claim at one lift. */
  private static final double ERROR_RATE = 0.05;

  private RepeatabilityOverBenches() {}

  /**
   * Series together.
   *
   * @param series one or more
   */
  public static Repeatability of(List<Repeatability.Series> series) {
    double degrees = series.stream().mapToDouble(Repeatability.Series::degreesOfFreedom).sum();
    double correlation =
        series.stream().mapToDouble(each -> each.degreesOfFreedom() * each.correlation()).sum()
            / degrees;
    TreeSet<Double> lifts =
        series.stream()
            .flatMap(each -> each.nodes().stream())
            .map(Repeatability.Node::liftM)
            .collect(Collectors.toCollection(TreeSet::new));
    List<Double> variances = new ArrayList<>();
    for (double lift : lifts) {
      double sum = 0;
      for (Repeatability.Series each : series) {
        double sd = Repeatability.relativeStandardDeviation(each.nodes(), lift);
        sum += each.degreesOfFreedom() * sd * sd;
      }
      variances.add(sum / degrees);
    }
    double mean = variances.stream().mapToDouble(v -> v).average().orElseThrow();
    boolean usual = mean <= USUAL * USUAL;
    double known = usual ? degrees + USUAL_DEGREES : degrees;
    List<Repeatability.Node> nodes = new ArrayList<>();
    int i = 0;
    for (double lift : lifts) {
      double own = variances.get(i++);
      double variance = usual ? (USUAL_DEGREES * USUAL * USUAL + degrees * own) / known : own;
      nodes.add(new Repeatability.Node(lift, Math.sqrt(variance)));
    }
    return new Repeatability(nodes, correlation, known, series);
  }

  /**
   * A 95 % interval of a standard deviation, as factors on it.
   *
   * @return lower and upper factor
   */
  public static double[] knownWithin(double degreesOfFreedom) {
    ChiSquaredDistribution chiSquared = new ChiSquaredDistribution(degreesOfFreedom);
    return new double[] {
      Math.sqrt(degreesOfFreedom / chiSquared.inverseCumulativeProbability(0.975)),
      Math.sqrt(degreesOfFreedom / chiSquared.inverseCumulativeProbability(0.025))
    };
  }

  /**
   * The smallest change of flow at a single lift that one run a side then tells from chance, by the
   * scatter between fittings alone, when the largest of all lifts is looked for (Holm, 5 %).
   *
   * @param standardDeviation of one fitting, relative [1]
   * @param lifts that are compared
   */
  public static double smallestChange(
      double standardDeviation, double degreesOfFreedom, int lifts) {
    return Math.sqrt(2)
        * standardDeviation
        * new TDistribution(degreesOfFreedom)
            .inverseCumulativeProbability(1 - ERROR_RATE / 2 / lifts);
  }
}
