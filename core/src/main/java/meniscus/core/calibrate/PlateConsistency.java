package meniscus.core.calibrate;

import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.stream.IntStream;
import meniscus.core.bench.Evidence.PlateResult;
import org.hipparchus.distribution.continuous.NormalDistribution;

/**
 * Finds how bent the curve through the plates is and whether one plate is wrong, and holds each
 * plate against the others.
 *
 * <p>Bend and wrong plate are weighed against each other: starting from a level, whatever lowers χ²
 * most is granted, one more power of ln drop or one plate with an error of its own, until nothing
 * more is worth it.
 */
final class PlateConsistency {

  /** Chance of accusing any plate when all are right. */
  private static final double FALSE_ALARM = 0.05;

  /** A further power must lower χ² by more than this (two sigma). */
  private static final double WORTH_A_POWER = 4;

  private static final int HIGHEST_DEGREE = 2;

  /** Relative error that a plate on trial may have: any. */
  private static final double ANY_ERROR = 1;

  private final List<String> plateOf;
  private final List<String> plates;
  private final Observations pairs;
  private final int degree;
  private final Optional<String> suspect;

  /**
   * @param plateOf name of the plate of each pair
   * @param pairs ln drop and ratio
   */
  PlateConsistency(List<String> plateOf, Observations pairs) {
    this.plateOf = plateOf;
    this.plates = plateOf.stream().distinct().toList();
    this.pairs = pairs;
    int powers = 0;
    Optional<String> accused = Optional.empty();
    double chiSquare = chiSquare(0, accused);
    while (true) {
      Optional<String> likeliest = accused.isEmpty() ? likeliest(powers) : accused;
      double ofPlate = accused.isEmpty() ? chiSquare(powers, likeliest) : chiSquare;
      double ofPower = mayBend(powers + 1) ? chiSquare(powers + 1, accused) : chiSquare;
      double plateGain = chiSquare - ofPlate - worthAPlate();
      double powerGain = chiSquare - ofPower - WORTH_A_POWER;
      if (Math.max(plateGain, powerGain) <= 0) {
        break;
      }
      if (plateGain > powerGain) {
        accused = likeliest;
        chiSquare = ofPlate;
      } else {
        powers++;
        chiSquare = ofPower;
      }
    }
    this.degree = powers;
    this.suspect = accused;
  }

  /** Degree of the curve through the plates. */
  int degree() {
    return degree;
  }

  /** One result a plate, in order of appearance; none when there is only one plate. */
  List<PlateResult> results() {
    List<PlateResult> results = new ArrayList<>();
    if (plates.size() > 1) {
      plates.forEach(plate -> results.add(judged(plate)));
    }
    return results;
  }

  /**
   * The plate that does not go with the others. Two plates can disagree, but not tell which of them
   * is wrong: then it is the first.
   */
  Optional<PlateResult> disagreeing(List<PlateResult> results) {
    if (results.size() == 2) {
      double score = results.get(0).score();
      return score * score > worthAPlate() ? Optional.of(results.get(0)) : Optional.empty();
    }
    return results.stream()
        .filter(result -> suspect.filter(result.plate()::equals).isPresent())
        .findFirst();
  }

  private boolean mayBend(int powers) {
    return powers <= HIGHEST_DEGREE && powers + 2 <= plates.size() && powers + 2 <= pairs.size();
  }

  /** Square of the score that only chance gives any one plate now and then. */
  private double worthAPlate() {
    double score =
        new NormalDistribution()
            .inverseCumulativeProbability(1 - FALSE_ALARM / (2 * plates.size()));
    return score * score;
  }

  private Optional<String> likeliest(int powers) {
    if (plates.size() < 3) {
      return Optional.empty();
    }
    return plates.stream()
        .min(
            (a, b) ->
                Double.compare(
                    chiSquare(powers, Optional.of(a)), chiSquare(powers, Optional.of(b))));
  }

  private double chiSquare(int powers, Optional<String> onTrial) {
    return LeastSquares.fit(with(onTrial), PolynomialBasis.polynomial(powers)).chiSquare();
  }

  /** The pairs, with one plate free to have any error. */
  private Observations with(Optional<String> onTrial) {
    if (onTrial.isEmpty()) {
      return pairs;
    }
    return pairs.withShared(
        plateOf.stream()
            .mapToDouble(plate -> plate.equals(onTrial.get()) ? ANY_ERROR : 0)
            .toArray());
  }

  /**
   * The curve is fitted without the plate, and its own ratios are held against that curve. The
   * error's uncertainty takes into account what plate and curve have in common.
   */
  private PlateResult judged(String plate) {
    Observations known = with(suspect.filter(other -> !other.equals(plate)));
    int[] of = indices(plate, true);
    int[] rest = indices(plate, false);
    Fit fit =
        LeastSquares.fit(
            known.only(rest),
            PolynomialBasis.polynomial(Math.min(degree, Math.max(0, plates.size() - 3))));
    double[] weights = new double[known.size()];
    double error = 0;
    double predicted = 0;
    for (int i : of) {
      double share = 1.0 / of.length;
      double curve = fit.value(known.x(i));
      weights[i] += share;
      error += share * (known.y(i) - curve);
      predicted += share * curve;
      double[] powers = fit.basis().values(known.x(i));
      for (int j = 0; j < rest.length; j++) {
        for (int k = 0; k < powers.length; k++) {
          weights[rest[j]] -= share * powers[k] * fit.gains()[k][j];
        }
      }
    }
    double variance = 0;
    for (int i = 0; i < weights.length; i++) {
      for (int j = 0; j < weights.length; j++) {
        variance += weights[i] * weights[j] * known.covarianceY(i, j);
      }
    }
    return new PlateResult(plate, error / predicted, Math.sqrt(variance) / predicted);
  }

  private int[] indices(String plate, boolean own) {
    return IntStream.range(0, plateOf.size())
        .filter(i -> plateOf.get(i).equals(plate) == own)
        .toArray();
  }
}
