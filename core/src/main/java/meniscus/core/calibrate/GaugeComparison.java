package meniscus.core.calibrate;

import java.util.List;
import meniscus.core.bench.Source;
import meniscus.core.quantity.Text;
import meniscus.core.refusal.Refusal;

/**
 * Two gauges teed on one pressure: do they show the same? A wrong gain of either cannot be seen
 * from plates at all, for it makes all of them wrong alike; here it is seen at once. Which of the
 * two is wrong a third gauge or a water column tells.
 *
 * @param first gauge, y of the line
 * @param second gauge, x of the line
 * @param gain by how much the first shows more than the second, relative [1]
 * @param standardUncertainty of that, from scatter, steps and zeros alone [1]
 * @param limit what the accuracies of both allow, 99 % [1]
 * @param bend largest distance of a pair from the line, in units of what the accuracies of both
 *     allow there at 99 %
 */
public record GaugeComparison(
    Source.Measured first,
    Source.Measured second,
    double gain,
    double standardUncertainty,
    double limit,
    double bend) {

  /**
   * Both gauges' mean readings while the pressure stood still, zero subtracted.
   *
   * @param firstSi of the first [SI]
   * @param firstU standard uncertainty of that mean, scatter and smallest step, above 0 [SI]
   * @param secondSi of the second [SI]
   * @param secondU standard uncertainty of that mean, likewise [SI]
   */
  public record Pair(double firstSi, double firstU, double secondSi, double secondU) {}

  /** Three pressures are the fewest that show a bend. */
  public static final int FEWEST = 3;

  /** The highest pressure is to be this many times the lowest, or a gain passes for a zero. */
  private static final double REACH = 3;

  /** Two-sided 99 % of a normal distribution: one sound pair of gauges in 100 is questioned. */
  private static final double K99 = 2.575829;

  /**
   * Compares two gauges.
   *
   * @throws Refusal when the pressures are too few or too near each other
   */
  public static GaugeComparison of(
      Source.Measured first, Source.Measured second, List<Pair> pairs) {
    if (pairs.size() < FEWEST) {
      throw new Refusal(
          "two gauges are compared at " + FEWEST + " pressures or more, not at " + pairs.size());
    }
    double lowest =
        pairs.stream().mapToDouble(pair -> Math.abs(pair.secondSi())).min().orElseThrow();
    double highest =
        pairs.stream().mapToDouble(pair -> Math.abs(pair.secondSi())).max().orElseThrow();
    if (!(highest >= REACH * lowest)) {
      throw new Refusal(
          Text.of(
              "the pressures lie too near each other (%.0f to %.0f Pa): the highest has to be %.0f"
                  + " times the lowest or more",
              lowest, highest, REACH));
    }
    int n = pairs.size();
    double[] x = new double[n];
    double[] ux = new double[n];
    double[] y = new double[n];
    double[] uy = new double[n];
    for (int i = 0; i < n; i++) {
      Pair pair = pairs.get(i);
      y[i] = pair.firstSi();
      uy[i] = pair.firstU();
      x[i] = pair.secondSi();
      ux[i] = pair.secondU();
    }
    // A line, not a ratio: what is left of the zeros is in its offset.
    StraightLine line = StraightLine.of(x, ux, y, uy);
    double u = line.slopeU();
    double allowed = Math.hypot(relative(first, highest), relative(second, highest));
    double bend = 0;
    for (int i = 0; i < n; i++) {
      double there =
          Math.hypot(
              Math.hypot(standard(first, y[i]), standard(second, x[i])), Math.hypot(uy[i], ux[i]));
      bend = Math.max(bend, Math.abs(line.residuals()[i]) / (K99 * there));
    }
    return new GaugeComparison(
        first, second, line.slope() - 1, u, K99 * Math.hypot(allowed, u), bend);
  }

  /** Standard uncertainty of a gauge within its accuracy [SI]. */
  private static double standard(Source.Measured gauge, double reading) {
    return gauge.accuracy().halfWidthSi(reading) / Math.sqrt(3);
  }

  private static double relative(Source.Measured gauge, double reading) {
    return standard(gauge, reading) / Math.abs(reading);
  }

  /** False when one of the two is worse than its accuracy says. */
  public boolean agree() {
    return Math.abs(gain) <= limit && bend <= 1;
  }

  /** For the operator. */
  public String words() {
    String found =
        Text.of(
            "%s shows %+.2f ± %.2f %% against %s on one pressure; their accuracies allow ± %.2f %%",
            first.channel(), 100 * gain, 200 * standardUncertainty, second.channel(), 100 * limit);
    if (Math.abs(gain) > limit) {
      return found
          + ": one of them is wrong by more than it says. A third gauge or a water column tells"
          + " which; plates cannot";
    }
    return bend > 1
        ? found
            + "; but not all pressures lie on one line: one of them bends by more than its accuracy"
            + " allows. Look for trapped water and kinked hoses, then at the gauges"
        : found + ": they agree";
  }
}
