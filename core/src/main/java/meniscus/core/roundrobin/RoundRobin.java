package meniscus.core.roundrobin;

import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import java.util.Optional;
import java.util.stream.IntStream;
import meniscus.core.decide.Estimate;
import meniscus.core.refusal.Refusal;
import org.hipparchus.linear.MatrixUtils;
import org.hipparchus.linear.RealMatrix;
import org.hipparchus.linear.RealVector;

/**
 * What several benches say of one thing.
 *
 * <p>Each bench's value, and a steady change of the thing itself, come from generalised least
 * squares (Aitken 1936, from memory) over all readings, with the covariances that the readings'
 * shared errors give. The change is that between the pilot's first and last reading, the pilot
 * being the bench that read first; it is fitted always when the pilot read again after another
 * bench, and never tested before: an interval that depends on a test does not hold.
 *
 * <p>The reference value is the mean by generalised least squares of the benches that agree, to
 * whose covariance the variance τ² between benches is added that is left after DerSimonian and
 * Laird, Controlled Clinical Trials 7 (1986) 177: τ² = (Q − (m − 1)) / tr P with P = C⁻¹ −
 * C⁻¹11ᵀC⁻¹ / (1ᵀC⁻¹1), which is theirs where the benches are independent. A bench stands out when
 * the others agree without it and all together do not ({@link Majority}).
 *
 * <p>A bench's difference is that from the reference value of these very benches, with the interval
 * that the benches' own statements give it: τ² does not widen it, for that would hide the bench
 * that is wrong behind its own error.
 *
 * @param reference what the benches say together, as an estimate of the truth
 * @param left what no bench accounts for
 * @param drift change of the thing from the pilot's first to its last reading; empty when the pilot
 *     did not read again
 * @param benches in the order of their first reading
 */
public record RoundRobin(
    Estimate reference, Left left, Optional<Estimate> drift, List<Equivalence> benches) {

  /**
   * What is left between the benches.
   *
   * @param standardDeviation τ among the benches that agree, in the unit of the values; 0 when the
   *     statements explain all
   * @param q Cochran's Q of all benches, generalised
   * @param chance of a Q at least as large where every statement is true
   */
  public record Left(double standardDeviation, double q, double chance) {}

  /**
   * One bench.
   *
   * @param bench its name
   * @param value found, without the thing's own change
   * @param difference from the reference value
   * @param standsOut true when it is not part of the reference value
   */
  public record Equivalence(String bench, double value, Estimate difference, boolean standsOut) {}

  public RoundRobin {
    benches = List.copyOf(benches);
  }

  /** One of the benches by its name. */
  public Equivalence bench(String name) {
    return benches.stream().filter(one -> one.bench().equals(name)).findFirst().orElseThrow();
  }

  /**
   * @param falseClaim chance that any bench stands out where all statements are true, 0.05 for 5 %
   * @throws Refusal with fewer than two benches
   */
  public static RoundRobin of(List<Reading> unsorted, double falseClaim) {
    List<Reading> readings =
        unsorted.stream().sorted(Comparator.comparingDouble(Reading::atS)).toList();
    List<String> names = readings.stream().map(Reading::bench).distinct().toList();
    int m = names.size();
    if (m < 2) {
      throw new Refusal("a round robin needs readings of one thing on two benches or more");
    }
    RealMatrix covariance = covariance(readings);
    boolean pilotAgain = pilotAgain(readings);
    RealMatrix solved = solved(design(readings, names, pilotAgain), covariance);
    RealVector values =
        MatrixUtils.createRealVector(readings.stream().mapToDouble(Reading::value).toArray());
    RealMatrix ofBenches = solved.getSubMatrix(0, m - 1, 0, readings.size() - 1);
    RealVector x = ofBenches.operate(values);
    RealMatrix c = symmetric(ofBenches.multiply(covariance).multiplyTransposed(ofBenches));
    boolean[] out = Majority.outside(x, c, falseClaim);
    int[] inside = IntStream.range(0, m).filter(b -> !out[b]).toArray();
    Agreement all = Agreement.of(x, c, IntStream.range(0, m).toArray());
    Agreement agreed = Agreement.of(x, c, inside);
    double spread = Math.max(0, (agreed.q() - (inside.length - 1)) / agreed.trace());
    RealVector weights = agreed.wider(spread);
    Linear linear = new Linear(readings, covariance);
    Estimate.Part rest = // known as well as so many benches tell it
        new Estimate.Part(spread * weights.dotProduct(weights), inside.length - 1);
    Estimate reference =
        linear.estimate(weights.dotProduct(x), ofBenches.preMultiply(weights), List.of(rest));
    List<Estimate> differences = new ArrayList<>();
    for (int b = 0; b < m; b++) {
      RealVector row = weights.mapMultiply(-1);
      row.addToEntry(b, 1);
      differences.add(linear.estimate(row.dotProduct(x), ofBenches.preMultiply(row), List.of()));
    }
    Optional<Estimate> drift =
        pilotAgain
            ? Optional.of(
                linear.estimate(
                    solved.getRowVector(m).dotProduct(values), solved.getRowVector(m), List.of()))
            : Optional.empty();
    return new RoundRobin(
        reference,
        new Left(Math.sqrt(spread), all.q(), all.chance()),
        drift,
        IntStream.range(0, m)
            .mapToObj(j -> new Equivalence(names.get(j), x.getEntry(j), differences.get(j), out[j]))
            .toList());
  }

  /** Estimates that are sums of the readings, each with a weight. */
  private record Linear(List<Reading> readings, RealMatrix covariance) {
    Estimate estimate(double value, RealVector weights, List<Estimate.Part> more) {
      List<Estimate.Part> parts = new ArrayList<>(more);
      double own = 0;
      for (int i = 0; i < readings.size(); i++) {
        Estimate.Part part = readings.get(i).own();
        double variance = weights.getEntry(i) * weights.getEntry(i) * part.variance();
        parts.add(new Estimate.Part(variance, part.degreesOfFreedom()));
        own += variance;
      }
      double all = weights.dotProduct(covariance.operate(weights));
      parts.add(new Estimate.Part(Math.max(0, all - own), Double.POSITIVE_INFINITY));
      return Estimate.of(value, parts);
    }
  }

  private static RealMatrix covariance(List<Reading> readings) {
    int n = readings.size();
    RealMatrix all = MatrixUtils.createRealMatrix(n, n);
    for (int i = 0; i < n; i++) {
      Reading one = readings.get(i);
      double u = one.shared().standardUncertainty();
      all.setEntry(i, i, u * u + one.own().variance());
      for (int j = 0; j < i; j++) {
        double shared = one.shared().covariance(readings.get(j).shared());
        all.setEntry(i, j, shared);
        all.setEntry(j, i, shared);
      }
    }
    return all;
  }

  private static boolean pilotAgain(List<Reading> readings) {
    String pilot = readings.get(0).bench();
    int last = readings.size() - 1;
    while (!readings.get(last).bench().equals(pilot)) {
      last--;
    }
    return readings.get(last).atS() > readings.get(0).atS()
        && readings.subList(0, last).stream().anyMatch(one -> !one.bench().equals(pilot));
  }

  /**
   * A column a bench, and one for the change of the thing, 0 at the pilot's first, 1 at its last.
   */
  private static RealMatrix design(List<Reading> readings, List<String> names, boolean drift) {
    int m = names.size();
    RealMatrix design = MatrixUtils.createRealMatrix(readings.size(), drift ? m + 1 : m);
    double first = readings.get(0).atS();
    double last =
        readings.stream()
            .filter(one -> one.bench().equals(names.get(0)))
            .mapToDouble(Reading::atS)
            .max()
            .orElseThrow();
    for (int i = 0; i < readings.size(); i++) {
      Reading one = readings.get(i);
      design.setEntry(i, names.indexOf(one.bench()), 1);
      if (drift) {
        design.setEntry(i, m, (one.atS() - first) / (last - first));
      }
    }
    return design;
  }

  /** (XᵀV⁻¹X)⁻¹XᵀV⁻¹. */
  private static RealMatrix solved(RealMatrix design, RealMatrix covariance) {
    RealMatrix weighted = design.transposeMultiply(Agreement.inverse(covariance));
    return Agreement.inverse(symmetric(weighted.multiply(design))).multiply(weighted);
  }

  private static RealMatrix symmetric(RealMatrix nearly) {
    return nearly.add(nearly.transpose()).scalarMultiply(0.5);
  }
}
