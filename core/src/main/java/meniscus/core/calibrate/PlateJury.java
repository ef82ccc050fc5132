package meniscus.core.calibrate;

import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.stream.IntStream;
import meniscus.core.bench.Evidence.PlateResult;
import org.hipparchus.distribution.continuous.NormalDistribution;

/**
 * Each plate judged by the others: the curve is fitted without it, and its own ratios are held
 * against that curve. The error's uncertainty takes into account what plate and curve have in
 * common.
 */
final class PlateJury {

  /** Chance of accusing any plate when all are right. */
  private static final double FALSE_ALARM = 0.05;

  private final List<String> plateOf;
  private final Observations pairs;
  private final int degree;

  /**
   * @param plateOf name of the plate of each pair
   * @param degree of the curve fitted through all
   */
  PlateJury(List<String> plateOf, Observations pairs, int degree) {
    this.plateOf = plateOf;
    this.pairs = pairs;
    this.degree = degree;
  }

  /** One result a plate, in order of appearance; none when there is only one plate. */
  List<PlateResult> results() {
    List<String> plates = plateOf.stream().distinct().toList();
    if (plates.size() < 2) {
      return List.of();
    }
    List<PlateResult> results = new ArrayList<>();
    for (String plate : plates) {
      results.add(judged(plate, Math.min(degree, plates.size() - 2)));
    }
    return results;
  }

  private PlateResult judged(String plate, int others) {
    int[] of = indices(plate, true);
    int[] rest = indices(plate, false);
    Fit fit = LeastSquares.fit(pairs.only(rest), Basis.polynomial(others));
    double[] weights = new double[pairs.size()];
    double error = 0;
    double predicted = 0;
    for (int i : of) {
      double share = 1.0 / of.length;
      double curve = fit.value(pairs.x(i));
      weights[i] += share;
      error += share * (pairs.y(i) - curve);
      predicted += share * curve;
      double[] powers = fit.basis().values(pairs.x(i));
      for (int j = 0; j < rest.length; j++) {
        for (int k = 0; k < powers.length; k++) {
          weights[rest[j]] -= share * powers[k] * fit.gains()[k][j];
        }
      }
    }
    double variance = 0;
    for (int i = 0; i < weights.length; i++) {
      for (int j = 0; j < weights.length; j++) {
        variance += weights[i] * weights[j] * pairs.covarianceY(i, j);
      }
    }
    return new PlateResult(plate, error / predicted, Math.sqrt(variance) / predicted);
  }

  private int[] indices(String plate, boolean own) {
    return IntStream.range(0, plateOf.size())
        .filter(i -> plateOf.get(i).equals(plate) == own)
        .toArray();
  }

  /**
   * The plate that stands out most, if any stands out more than chance allows. Two plates can
   * disagree, but not tell which of them is wrong.
   */
  static Optional<PlateResult> disagreeing(List<PlateResult> results) {
    if (results.size() < 2) {
      return Optional.empty();
    }
    double limit =
        new NormalDistribution()
            .inverseCumulativeProbability(1 - FALSE_ALARM / (2 * results.size()));
    return results.stream()
        .filter(result -> Math.abs(result.score()) > limit)
        .max((a, b) -> Double.compare(Math.abs(a.score()), Math.abs(b.score())));
  }
}
