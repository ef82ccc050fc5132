package meniscus.core.calibrate;

import java.time.Instant;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.TreeSet;
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
import org.hipparchus.distribution.continuous.ChiSquaredDistribution;
import org.hipparchus.linear.MatrixUtils;
import org.hipparchus.linear.RealMatrix;
import org.hipparchus.linear.RealVector;

/**
 * Calibrates a flow element through orifice plates: the ratio of the flow that must have passed the
 * element to the flow it tells, fitted over the logarithm of its drop by generalised least squares,
 * once for each explanation of the readings, and averaged over them. Plates, gauges and air that
 * several readings share do not average out.
 *
 * <p>The error of a drop moves the curve by its slope alone, some thousandths of it, and is left
 * out.
 */
public final class CalibrationFit {

  /** Below this chance the points do not go with the curve, and the result is widened. */
  private static final double LACK_OF_FIT = 0.05;

  /** With fewer there is nothing to judge a fit by. */
  private static final double LEAST_DEGREES = 0.1;

  /** Variance that counts as nothing: 10⁻⁹ of the flow. */
  private static final double ROUNDING = 1e-18;

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
   * What stands around the readings.
   *
   * @param bevelled plates that can stand the wrong way round
   * @param smallest drop that is used
   * @param refused readings that are not used for that
   */
  private record Context(
      Set<String> bevelled, SmallestDrop smallest, List<CorrectionRatio> refused) {}

  /**
   * Fits one direction of one range.
   *
   * @param leakage of this direction with the plates mounted, when it was measured
   * @param readings of the plates in this direction, in the order taken; plates that were not read
   *     are of no effect
   * @throws Refusal when a reading names an unknown plate, or none can be used
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
    List<CorrectionRatio> used = new ArrayList<>();
    List<CorrectionRatio> refused = new ArrayList<>();
    Set<String> bevelled = new TreeSet<>();
    SmallestDrop least = new SmallestDrop(0);
    for (PlateReading reading : readings) {
      CorrectionRatio ratio =
          CorrectionRatio.of(
              bench, range, direction, leakage, named(plates, reading.plate()), reading.means());
      SmallestDrop smallest = SmallestDrop.of(bench, range, reading.means());
      least = smallest.pascal() > least.pascal() ? smallest : least;
      if (smallest.allows(reading.means().dropPa())) {
        used.add(ratio);
        if (reading.bevel() != PlateReading.Bevel.NONE) {
          bevelled.add(reading.plate());
        }
      } else {
        refused.add(ratio);
      }
    }
    if (used.isEmpty()) {
      throw new Refusal(CalibrationWords.refused(refused.get(0), least));
    }
    return new CalibrationFit(range, used)
        .calibration(
            direction,
            at,
            bench.upkeep().epoch().number(),
            leakage,
            new Context(bevelled, least, refused));
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

  private Calibration calibration(
      Direction direction, Instant at, int epoch, Optional<Leakage> leakage, Context context) {
    ReadingsModel model = model();
    Weighing weighing = new Weighing(model, Rivals.of(ratios, context.bevelled(), leakage));
    RivalFit best = weighing.best();
    List<Evidence.PlateResult> results = new PlateConsistency(model, best).results();
    Evidence.GoodnessOfFit fit = goodness(best.quality());
    List<CoefficientError> errors = errors(weighing, fit);
    Evidence evidence =
        new Evidence(
            points(weighing.coefficients()),
            results,
            fit,
            weighing.explanations(),
            new BlindSpots(model, context.bevelled(), leakage, context.smallest().pascal()).found(),
            List.of());
    return new Calibration(
        "",
        direction,
        range.name(),
        at,
        epoch,
        element(weighing.coefficients(), errors),
        errors,
        evidence.with(
            CalibrationWords.of(
                evidence, ratios, context.refused(), context.smallest(), leakage.isPresent())));
  }

  private static Evidence.GoodnessOfFit goodness(RivalFit.Quality quality) {
    double degrees = quality.degreesOfFreedom();
    double chance =
        degrees > LEAST_DEGREES
            ? 1 - new ChiSquaredDistribution(degrees).cumulativeProbability(quality.chiSquare())
            : 1;
    double scale = Math.sqrt(quality.chiSquare() / Math.max(degrees, LEAST_DEGREES));
    return new Evidence.GoodnessOfFit(
        quality.chiSquare(),
        (int) Math.round(degrees),
        chance,
        chance < LACK_OF_FIT ? Math.max(1, scale) : 1);
  }

  private ReadingsModel model() {
    int n = ratios.size();
    double[] x = new double[n];
    RealMatrix covariance = MatrixUtils.createRealMatrix(n, n);
    for (int i = 0; i < n; i++) {
      CorrectionRatio ratio = ratios.get(i);
      x[i] = Math.log(ratio.means().dropPa() / referenceDropPa);
      if (!Double.isFinite(own[i]) || !(own[i] > 0)) {
        throw new Refusal(
            "plate "
                + ratio.plate().name()
                + ": the reading is too short to know how well it repeats; read it again, longer");
      }
      covariance.setEntry(i, i, own[i] * own[i]);
    }
    for (double[] effects : shared.values()) {
      RealVector effect = MatrixUtils.createRealVector(effects);
      covariance = covariance.add(effect.outerProduct(effect));
    }
    return new ReadingsModel(ratios, x, covariance, range.element());
  }

  /**
   * Shared errors carried through the fit, what is left as independent errors, and the doubt which
   * explanation holds and how the curve bends between the plates.
   */
  private List<CoefficientError> errors(Weighing weighing, Evidence.GoodnessOfFit fit) {
    RealMatrix gains = weighing.gains();
    double widened = fit.widened();
    List<CoefficientError> errors = new ArrayList<>();
    RealMatrix doubt = weighing.covariance();
    for (Map.Entry<String, double[]> each : shared.entrySet()) {
      boolean inside = each.getKey().startsWith(CorrectionRatio.OWN);
      RealVector effect = gains.operate(MatrixUtils.createRealVector(each.getValue()));
      doubt = doubt.subtract(effect.outerProduct(effect));
      errors.add(
          new CoefficientError(
              words.get(each.getKey()),
              inside ? "" : each.getKey(),
              list(effect.mapMultiply(inside ? widened : 1)),
              Double.POSITIVE_INFINITY));
    }
    double[] variances = new double[own.length];
    for (int i = 0; i < own.length; i++) {
      variances[i] = own[i] * own[i];
    }
    RealMatrix scatter =
        gains.multiply(MatrixUtils.createRealDiagonalMatrix(variances)).multiplyTransposed(gains);
    double degrees = widened > 1 ? Math.max(1, fit.degreesOfFreedom()) : Double.POSITIVE_INFINITY;
    errors.addAll(axes("scatter of the plates' readings", scatter, widened, degrees));
    errors.addAll(
        axes(
            "what the plates leave open",
            doubt.subtract(scatter),
            widened,
            Double.POSITIVE_INFINITY));
    return errors;
  }

  private static List<CoefficientError> axes(
      String source, RealMatrix covariance, double widened, double degrees) {
    int p = covariance.getRowDimension();
    // Rounding may leave a variance of nothing below nothing.
    RealMatrix floor = MatrixUtils.createRealIdentityMatrix(p).scalarMultiply(ROUNDING);
    CorrelatedInputs axes = new CorrelatedInputs(covariance.add(floor).getData(), degrees);
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
    return effects.stream().map(each -> new CoefficientError(source, "", each, degrees)).toList();
  }

  private FittedElement element(RealVector coefficients, List<CoefficientError> errors) {
    int p = coefficients.getDimension();
    RealMatrix covariance = MatrixUtils.createRealMatrix(p, p);
    for (CoefficientError error : errors) {
      RealVector effect =
          MatrixUtils.createRealVector(
              error.effects().stream().mapToDouble(Double::doubleValue).toArray());
      covariance = covariance.add(effect.outerProduct(effect));
    }
    List<List<Double>> rows = new ArrayList<>();
    for (int k = 0; k < p; k++) {
      rows.add(list(covariance.getRowVector(k)));
    }
    double lowest =
        ratios.stream().mapToDouble(ratio -> ratio.means().dropPa()).min().orElseThrow();
    double highest =
        ratios.stream().mapToDouble(ratio -> ratio.means().dropPa()).max().orElseThrow();
    return new FittedElement(
        range.element(), list(coefficients), rows, referenceDropPa, lowest, highest);
  }

  private List<Evidence.Point> points(RealVector coefficients) {
    List<Evidence.Point> points = new ArrayList<>();
    for (CorrectionRatio ratio : ratios) {
      double x = Math.log(ratio.means().dropPa() / referenceDropPa);
      double curve = 0;
      for (int k = coefficients.getDimension() - 1; k >= 0; k--) {
        curve = curve * x + coefficients.getEntry(k);
      }
      points.add(
          new Evidence.Point(
              ratio.plate().name(),
              ratio.means().testPressurePa(),
              ratio.means().dropPa(),
              ratio.value(),
              ratio.budget().standardUncertainty(),
              ratio.value() - curve));
    }
    return points;
  }

  private static List<Double> list(RealVector vector) {
    return Arrays.stream(vector.toArray()).boxed().toList();
  }
}
