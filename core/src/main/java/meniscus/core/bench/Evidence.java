package meniscus.core.bench;

import java.util.Comparator;
import java.util.List;
import java.util.Objects;
import java.util.Optional;
import meniscus.core.bench.Explanation.Kind;

/**
 * What stands behind a calibration.
 *
 * @param points in the order taken
 * @param plates each with its leave-one-out error
 * @param fit how well the likeliest explanation goes with the readings
 * @param explanations likeliest first; empty in calibrations of versions that asked for none
 * @param blindSpots what these plates and pressures would not tell
 * @param remarks in words
 */
public record Evidence(
    List<Point> points,
    List<PlateResult> plates,
    GoodnessOfFit fit,
    List<Explanation> explanations,
    List<BlindSpot> blindSpots,
    List<String> remarks) {

  /**
   * Nothing is accused while it is likelier than this that nothing is wrong. Chosen by a trial (300
   * benches a kind, seeds from 500001): with 0.05 a leak of 1 cfm goes unsaid on a tenth of the
   * benches, with 0.2 on a thirtieth, and one sound bench in 150 is accused either way.
   */
  private static final double NOTHING_WRONG = 0.2;

  /**
   * Several faults at once are held against the best single one as soon as that is not so many
   * times as likely. Our own choice by the same trial: it costs a third of a per cent of single
   * faults.
   */
  private static final double BEYOND_SEVERAL = 2;

  /**
   * Odds below which the runner-up is near: 20 to 1 is where evidence begins to be strong (Kass and
   * Raftery, Journal of the American Statistical Association 90 (1995) 773, section 3.2).
   */
  private static final double NEAR = 20;

  /**
   * A worse χ² than this by chance alone, and no explanation is believed. Our own choice: 1 sound
   * calibration in 1000 is refused.
   */
  private static final double INCONSISTENT = 0.001;

  /**
   * @param plate its name
   * @param testPressurePa across the plate [Pa]
   * @param dropPa over the flow element [Pa]
   * @param ratio flow that must have passed the element over what the uncorrected element says [1]
   * @param standardUncertainty of the ratio, all sources [1]
   * @param residual ratio − fitted curve [1]
   */
  public record Point(
      String plate,
      double testPressurePa,
      double dropPa,
      double ratio,
      double standardUncertainty,
      double residual) {}

  /**
   * @param plate its name
   * @param error mean ratio of this plate − what the other plates predict, relative [1]; a plate
   *     that passes more than its certificate says has a ratio that is too small
   * @param standardUncertainty of that error [1]
   */
  public record PlateResult(String plate, double error, double standardUncertainty) {

    /** Error in units of its standard uncertainty. */
    public double score() {
      return error / standardUncertainty;
    }

    /** By how much the plate passes more than its certificate says, by the others [1]. */
    public double passesMore() {
      return -error / (1 + error);
    }
  }

  /**
   * @param chiSquare of the likeliest explanation
   * @param degreesOfFreedom of it, what priors tell counted in part and rounded
   * @param chanceOfWorse probability of a χ² this large if all stated uncertainties are right
   * @param widened factor by which the coefficients' uncertainty was widened for lack of fit; 1
   *     when it fits
   */
  public record GoodnessOfFit(
      double chiSquare, int degreesOfFreedom, double chanceOfWorse, double widened) {}

  public Evidence {
    points = List.copyOf(points);
    plates = List.copyOf(plates);
    Objects.requireNonNull(fit);
    explanations = List.copyOf(explanations);
    blindSpots = List.copyOf(blindSpots);
    remarks = List.copyOf(remarks);
  }

  /** The same with other remarks. */
  public Evidence with(List<String> said) {
    return new Evidence(points, plates, fit, explanations, blindSpots, said);
  }

  /**
   * What the readings say. A calibration of a version that asked for no explanations counts as
   * sound.
   */
  public Diagnosis diagnosis() {
    List<Explanation> likeliest =
        explanations.stream()
            .sorted(Comparator.comparingDouble(Explanation::probability).reversed())
            .toList();
    if (likeliest.isEmpty()) {
      return new Diagnosis.Sound();
    }
    List<Explanation> faults =
        likeliest.stream()
            .filter(each -> each.kind() != Kind.NOTHING && each.kind() != Kind.SEVERAL)
            .toList();
    boolean scatters = fit.chanceOfWorse() < INCONSISTENT;
    if (faults.isEmpty()) {
      return scatters ? new Diagnosis.Unexplained(likeliest.get(0)) : new Diagnosis.Sound();
    }
    Explanation best = faults.get(0);
    if (scatters || likeliest.get(0).kind() == Kind.SEVERAL) {
      return new Diagnosis.Unexplained(best);
    }
    if (probability(Kind.NOTHING) >= NOTHING_WRONG) {
      return new Diagnosis.Sound();
    }
    if (probability(Kind.SEVERAL) * BEYOND_SEVERAL > best.probability()) {
      return new Diagnosis.Unexplained(best);
    }
    return new Diagnosis.Fault(
        best,
        likeliest.stream()
            .filter(next -> next != best && next.kind() != Kind.SEVERAL)
            .limit(1)
            .filter(next -> next.probability() * NEAR > best.probability())
            .findFirst());
  }

  private double probability(Kind kind) {
    return explanations.stream()
        .filter(each -> each.kind() == kind)
        .mapToDouble(Explanation::probability)
        .sum();
  }

  /** The plate that is named as wrong or turned round, when one is. */
  public Optional<String> disagreeing() {
    return diagnosis().named().filter(Explanation::isOfPlate).map(Explanation::plate);
  }

  /** Root mean square of the plates' errors when each is predicted by the others [1]. */
  public double leaveOneOutError() {
    return Math.sqrt(
        plates.stream().mapToDouble(plate -> plate.error() * plate.error()).average().orElse(0));
  }

  public double chiSquare() {
    return fit.chiSquare();
  }

  public int degreesOfFreedom() {
    return fit.degreesOfFreedom();
  }

  public double chanceOfWorse() {
    return fit.chanceOfWorse();
  }

  public double widened() {
    return fit.widened();
  }
}
