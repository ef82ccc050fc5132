package meniscus.core.calibrate;

import java.time.Instant;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import java.util.stream.Collectors;
import meniscus.core.bench.Bench;
import meniscus.core.bench.Calibration;
import meniscus.core.bench.CoefficientError;
import meniscus.core.bench.Evidence;
import meniscus.core.bench.FittedElement;
import meniscus.core.bench.Leakage;
import meniscus.core.bench.Range;
import meniscus.core.flow.Direction;
import meniscus.core.refusal.Refusal;
import meniscus.core.uncertainty.Contribution;
import meniscus.core.uncertainty.CorrelatedInputs;

/**
 * Calibrates a flow element through orifice plates: the ratio of the flow that must have passed the
 * element to the flow it tells, fitted over the logarithm of its drop by generalised least squares.
 * Plates, gauges and air that several readings share do not average out.
 */
public final class CalibrationFit {

  /** Below this chance the points do not go with the curve, and the result is widened. */
  private static final double LACK_OF_FIT = 0.05;

  private final Range range;
  private final List<CorrectionRatio> ratios;
  private final double referenceDropPa;

  /** What one standard uncertainty of each shared error does to every ratio, by id. */
  private final Map<String, double[]> shared = new LinkedHashMap<>();

  /** Source words of each shared error. */
  private final Map<String, String> words = new LinkedHashMap<>();

  private final double[] own;

  private CalibrationFit(Range range, List<CorrectionRatio> ratios) {
    this.range = range;
    this.ratios = ratios;
    this.referenceDropPa =
        Math.exp(
            ratios.stream()
                .mapToDouble(ratio -> Math.log(ratio.means().dropPa()))
                .average()
                .orElseThrow());
    this.own = new double[ratios.size()];
    for (int i = 0; i < own.length; i++) {
      for (Contribution c : ratios.get(i).budget().contributions()) {
        if (c.sharedId().isEmpty()) {
          own[i] = Math.hypot(own[i], c.effect());
        } else {
          shared.computeIfAbsent(c.sharedId(), id -> new double[own.length])[i] += c.effect();
          words.putIfAbsent(c.sharedId(), c.source());
        }
      }
    }
  }

  /**
   * Fits one direction of one range.
   *
   * @param leakage of this direction with the plates mounted, when it was measured
   * @param readings of the plates in this direction; plates that were not read are of no effect
   * @throws Refusal when a reading names an unknown plate, or there is none
   */
  public static Calibration fit(
      Bench bench,
      Range range,
      Direction direction,
      Optional<Leakage> leakage,
      List<Plate> plates,
      List<PlateReading> readings,
      Instant at) {
    if (readings.isEmpty()) {
      throw new Refusal("no plate was read: a calibration needs one or more");
    }
    List<CorrectionRatio> ratios = new ArrayList<>();
    for (PlateReading reading : readings) {
      ratios.add(
          CorrectionRatio.of(
              bench, range, direction, leakage, named(plates, reading.plate()), reading.means()));
    }
    return new CalibrationFit(range, ratios)
        .calibration(direction, at, bench.upkeep().epoch().number(), leakage.isPresent());
  }

  /**
   * What one reading says of the element, before anything is fitted: a point of the correction as
   * it grows.
   *
   * @param leakage as for {@link #fit}
   * @return its residual 0: there is no curve yet
   */
  public static Evidence.Point point(
      Bench bench,
      Range range,
      Direction direction,
      Optional<Leakage> leakage,
      Plate plate,
      PlateReading reading) {
    CorrectionRatio ratio =
        CorrectionRatio.of(bench, range, direction, leakage, plate, reading.means());
    return new Evidence.Point(
        plate.name(),
        reading.means().testPressurePa(),
        reading.means().dropPa(),
        ratio.value(),
        ratio.budget().standardUncertainty(),
        0);
  }

  private static Plate named(List<Plate> plates, String name) {
    return plates.stream()
        .filter(plate -> plate.name().equals(name))
        .findFirst()
        .orElseThrow(
            () ->
                new Refusal(
                    "no plate is called \""
                        + name
                        + "\"; known: "
                        + plates.stream().map(Plate::name).collect(Collectors.joining(", "))));
  }

  private Calibration calibration(Direction direction, Instant at, int epoch, boolean leakKnown) {
    Observations pairs = observations();
    PlateConsistency jury =
        new PlateConsistency(ratios.stream().map(ratio -> ratio.plate().name()).toList(), pairs);
    Fit fit = LeastSquares.fit(pairs, PolynomialBasis.polynomial(jury.degree()));
    List<Evidence.PlateResult> results = jury.results();
    Optional<Evidence.PlateResult> odd = jury.disagreeing(results);
    double widened = fit.chanceOfWorse() < LACK_OF_FIT ? Math.max(1, fit.residualScale()) : 1;
    List<CoefficientError> errors = errors(fit, widened);
    Evidence evidence =
        new Evidence(
            points(fit),
            results,
            fit.chiSquare(),
            fit.degreesOfFreedom(),
            fit.chanceOfWorse(),
            widened,
            Math.sqrt(results.stream().mapToDouble(r -> r.error() * r.error()).average().orElse(0)),
            results.size() > 2 ? odd.map(Evidence.PlateResult::plate) : Optional.empty(),
            remarks(fit, results, odd, widened, leakKnown));
    return new Calibration(
        "", direction, range.name(), at, epoch, element(fit, errors), errors, evidence);
  }

  private Observations observations() {
    int n = ratios.size();
    double[] x = new double[n];
    double[] ux = new double[n];
    double[] y = new double[n];
    for (int i = 0; i < n; i++) {
      CorrectionRatio ratio = ratios.get(i);
      x[i] = Math.log(ratio.means().dropPa() / referenceDropPa);
      // Flow goes with the root of the drop.
      ux[i] = 2 * Math.abs(ratio.means().flowStandardError() / ratio.means().flowM3PerS());
      y[i] = ratio.value();
      if (!Double.isFinite(own[i]) || !(own[i] > 0)) {
        throw new Refusal(
            "plate "
                + ratio.plate().name()
                + ": the reading is too short to know how well it repeats; read it again, longer");
      }
    }
    Observations pairs = Observations.of(x, ux, y, own);
    for (double[] effects : shared.values()) {
      pairs = pairs.withShared(effects);
    }
    return pairs;
  }

  /** Shared errors carried through the fit, and what is left as independent errors. */
  private List<CoefficientError> errors(Fit fit, double widened) {
    int p = fit.basis().size();
    List<CoefficientError> errors = new ArrayList<>();
    shared.forEach(
        (id, effects) -> {
          boolean inside = id.startsWith(CorrectionRatio.OWN);
          double factor = inside ? widened : 1;
          List<Double> onCoefficients = new ArrayList<>();
          for (int k = 0; k < p; k++) {
            onCoefficients.add(factor * dot(fit.gains()[k], effects));
          }
          errors.add(
              new CoefficientError(
                  words.get(id), inside ? "" : id, onCoefficients, Double.POSITIVE_INFINITY));
        });
    double[][] covariance = new double[p][p];
    for (int k = 0; k < p; k++) {
      for (int l = 0; l < p; l++) {
        for (int i = 0; i < own.length; i++) {
          covariance[k][l] += fit.gains()[k][i] * fit.gains()[l][i] * own[i] * own[i];
        }
      }
    }
    errors.addAll(scatter(covariance, widened, fit.degreesOfFreedom()));
    return errors;
  }

  private static List<CoefficientError> scatter(
      double[][] covariance, double widened, int degreesOfFreedom) {
    int p = covariance.length;
    double degrees =
        widened > 1 && degreesOfFreedom > 0 ? degreesOfFreedom : Double.POSITIVE_INFINITY;
    CorrelatedInputs axes = new CorrelatedInputs(covariance, degrees);
    List<List<Double>> effects = new ArrayList<>();
    for (int axis = 0; axis < p; axis++) {
      effects.add(new ArrayList<>());
    }
    for (int k = 0; k < p; k++) {
      double[] unit = new double[p];
      unit[k] = widened;
      List<Contribution> onOne = axes.contributions("", Contribution.Kind.SYSTEMATIC, unit, "axis");
      for (int axis = 0; axis < p; axis++) {
        effects.get(axis).add(onOne.get(axis).effect());
      }
    }
    return effects.stream()
        .map(each -> new CoefficientError("scatter of the plates' readings", "", each, degrees))
        .toList();
  }

  private FittedElement element(Fit fit, List<CoefficientError> errors) {
    int p = fit.basis().size();
    double[][] covariance = new double[p][p];
    for (CoefficientError error : errors) {
      for (int k = 0; k < p; k++) {
        for (int l = 0; l < p; l++) {
          covariance[k][l] += error.effects().get(k) * error.effects().get(l);
        }
      }
    }
    List<Double> coefficients = new ArrayList<>();
    List<List<Double>> rows = new ArrayList<>();
    for (int k = 0; k < p; k++) {
      coefficients.add(fit.coefficients()[k]);
      List<Double> row = new ArrayList<>();
      for (int l = 0; l < p; l++) {
        row.add(covariance[k][l]);
      }
      rows.add(row);
    }
    return new FittedElement(
        range.element(),
        coefficients,
        rows,
        referenceDropPa,
        referenceDropPa * Math.exp(fit.lowestX()),
        referenceDropPa * Math.exp(fit.highestX()));
  }

  private List<Evidence.Point> points(Fit fit) {
    List<Evidence.Point> points = new ArrayList<>();
    for (int i = 0; i < ratios.size(); i++) {
      CorrectionRatio ratio = ratios.get(i);
      points.add(
          new Evidence.Point(
              ratio.plate().name(),
              ratio.means().testPressurePa(),
              ratio.means().dropPa(),
              ratio.value(),
              ratio.budget().standardUncertainty(),
              fit.residuals()[i]));
    }
    return points;
  }

  private List<String> remarks(
      Fit fit,
      List<Evidence.PlateResult> results,
      Optional<Evidence.PlateResult> odd,
      double widened,
      boolean leakKnown) {
    List<String> remarks = new ArrayList<>();
    if (results.isEmpty()) {
      remarks.add("one plate alone: nothing checks it; read two or more plates");
    }
    odd.ifPresent(plate -> remarks.add(oddWords(plate, results.size())));
    if (widened > 1 && odd.isEmpty()) {
      remarks.add(
          String.format(
              Locale.ROOT,
              "the points scatter %.1f times as much as their uncertainties allow, and no one plate"
                  + " is to blame: look at leaks, hoses and the bevel side; the result was widened",
              fit.residualScale()));
    }
    for (Evidence.PlateResult plate : results) {
      long pressures =
          ratios.stream().filter(ratio -> ratio.plate().name().equals(plate.plate())).count();
      if (pressures < 2) {
        remarks.add(
            "plate "
                + plate.plate()
                + " was read at one test pressure only: two or more tell a leak from a wrong"
                + " plate");
      }
    }
    if (!leakKnown) {
      remarks.add(
          "leaks were never measured in this direction: up to 1 cfm is reckoned with; run leakage"
              + " with the bench blanked");
    }
    return remarks;
  }

  private static String oddWords(Evidence.PlateResult plate, int plates) {
    String size =
        String.format(
            Locale.ROOT,
            "%+.2f %% (standard uncertainty %.2f %%)",
            100 * plate.error(),
            100 * plate.standardUncertainty());
    return plates == 2
        ? "the two plates disagree by " + size + ": one of them is wrong, a third would tell which"
        : "plate "
            + plate.plate()
            + " disagrees with the others by "
            + size
            + ": check its edge, its bevel side, its seal and its certificate, or leave it out";
  }

  private static double dot(double[] a, double[] b) {
    double sum = 0;
    for (int i = 0; i < a.length; i++) {
      sum += a[i] * b[i];
    }
    return sum;
  }
}
