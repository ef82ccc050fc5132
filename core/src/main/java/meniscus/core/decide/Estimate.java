package meniscus.core.decide;

import java.util.List;
import meniscus.core.uncertainty.Coverage;
import org.hipparchus.distribution.continuous.NormalDistribution;
import org.hipparchus.distribution.continuous.TDistribution;

/**
 * An estimated quantity whose error follows Student's t.
 *
 * @param value in any unit
 * @param standardUncertainty in the same unit, 0 or more
 * @param degreesOfFreedom behind the standard uncertainty; may be infinite and need not be whole
 */
public record Estimate(double value, double standardUncertainty, double degreesOfFreedom) {

  // T and normal quantiles agree to some 1e-6 there.
  private static final double PRACTICALLY_INFINITE = 1e6;
  private static final NormalDistribution NORMAL = new NormalDistribution(0, 1);

  /** A variance, and the degrees of freedom it is known with. */
  public record Part(double variance, double degreesOfFreedom) {}

  public Estimate {
    if (!Double.isFinite(value) || !(standardUncertainty >= 0) || !(degreesOfFreedom > 0)) {
      throw new IllegalArgumentException(
          "an estimate needs a finite value, an uncertainty of 0 or more and positive degrees of"
              + " freedom");
    }
  }

  /**
   * With the variances of independent errors added, degrees of freedom after Welch (1938) and
   * Satterthwaite (1946): ν = (Σv)² / Σ(v²/ν).
   */
  public static Estimate of(double value, List<Part> parts) {
    double variance = parts.stream().mapToDouble(Part::variance).sum();
    double fourth =
        parts.stream()
            .mapToDouble(part -> part.variance * part.variance / part.degreesOfFreedom)
            .sum();
    return new Estimate(
        value,
        Math.sqrt(variance),
        fourth > 0 ? variance * variance / fourth : Double.POSITIVE_INFINITY);
  }

  /** Chance of an estimate at least this far from zero, either side, when the truth is zero. */
  public double pOfZero() {
    return Math.min(1, 2 * tail(Math.abs(value)));
  }

  /** Chance of an estimate at least this high when the truth is zero or below. */
  public double pOfZeroOrBelow() {
    return tail(value);
  }

  /**
   * Two one-sided tests (Schuirmann 1987): chance of an estimate this near zero when the truth lies
   * at the margin or beyond it.
   *
   * @param margin positive, in the unit of the value
   */
  public double pOfMarginOrMore(double margin) {
    return Math.max(tail(margin - value), tail(margin + value));
  }

  /** Half-width of the 95 % interval. */
  public double u95() {
    return standardUncertainty * Coverage.factor95(degreesOfFreedom);
  }

  /**
   * Half-width of the interval that misses the truth with a given chance.
   *
   * @param chance both sides together, 0.05 for a 95 % interval
   */
  public double halfWidth(double chance) {
    return standardUncertainty * Coverage.factor(1 - chance, degreesOfFreedom);
  }

  /** Chance that the error alone is above a distance, in the unit of the value. */
  private double tail(double distance) {
    if (standardUncertainty == 0) {
      return distance > 0 ? 0 : 1;
    }
    double t = distance / standardUncertainty;
    return degreesOfFreedom > PRACTICALLY_INFINITE
        ? NORMAL.cumulativeProbability(-t)
        : new TDistribution(degreesOfFreedom).cumulativeProbability(-t);
  }
}
