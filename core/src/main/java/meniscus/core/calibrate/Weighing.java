package meniscus.core.calibrate;

import java.util.ArrayList;
import java.util.Comparator;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.stream.IntStream;
import meniscus.core.bench.Explanation;
import org.hipparchus.linear.MatrixUtils;
import org.hipparchus.linear.RealMatrix;
import org.hipparchus.linear.RealVector;

/**
 * Explanations of the same readings, each with its probability: prior odds times the density of the
 * readings (Kass and Raftery, Journal of the American Statistical Association 90 (1995) 773), and
 * the curve averaged over them, so that the doubt which of them holds is part of its uncertainty
 * (Hoeting, Madigan, Raftery and Volinsky, Statistical Science 14 (1999) 382).
 */
final class Weighing {

  private final List<RivalFit> fits;
  private final double[] probability;

  Weighing(ReadingsModel model, List<Rival> rivals) {
    this.fits = rivals.stream().map(rival -> RivalFit.of(model, rival)).toList();
    this.probability = new double[fits.size()];
    double highest = Double.NEGATIVE_INFINITY;
    for (int i = 0; i < probability.length; i++) {
      RivalFit fit = fits.get(i);
      probability[i] = Math.log(fit.rival().odds()) + fit.quality().logEvidence();
      highest = Math.max(highest, probability[i]);
    }
    double sum = 0;
    for (int i = 0; i < probability.length; i++) {
      probability[i] = Math.exp(probability[i] - highest);
      sum += probability[i];
    }
    for (int i = 0; i < probability.length; i++) {
      probability[i] /= sum;
    }
  }

  /** Likeliest first; a leak of any exponent counts as one explanation. */
  List<Explanation> explanations() {
    Map<String, Explanation> merged = new LinkedHashMap<>();
    for (int i = 0; i < fits.size(); i++) {
      RivalFit fit = fits.get(i);
      Explanation next =
          new Explanation(
              fit.rival().kind(),
              fit.rival().plate(),
              fit.size(),
              fit.sizeUncertainty(),
              probability[i]);
      merged.merge(next.kind() + " " + next.plate(), next, Weighing::together);
    }
    List<Explanation> all = new ArrayList<>(merged.values());
    all.sort(Comparator.comparingDouble(Explanation::probability).reversed());
    return all;
  }

  private static Explanation together(Explanation a, Explanation b) {
    double sum = a.probability() + b.probability();
    if (sum == 0) {
      return a;
    }
    double wa = a.probability() / sum;
    double wb = b.probability() / sum;
    double size = wa * a.size() + wb * b.size();
    double variance =
        wa * (square(a.standardUncertainty()) + square(a.size() - size))
            + wb * (square(b.standardUncertainty()) + square(b.size() - size));
    return new Explanation(a.kind(), a.plate(), size, Math.sqrt(variance), sum);
  }

  /** The fit behind the likeliest explanation. */
  RivalFit best() {
    Explanation first = explanations().get(0);
    return IntStream.range(0, fits.size())
        .filter(
            i ->
                fits.get(i).rival().kind() == first.kind()
                    && fits.get(i).rival().plate().equals(first.plate()))
        .boxed()
        .max(Comparator.comparingDouble(i -> probability[i]))
        .map(fits::get)
        .orElseThrow();
  }

  RealVector coefficients() {
    RealVector mean = MatrixUtils.createRealVector(new double[ReadingsModel.COEFFICIENTS]);
    for (int i = 0; i < fits.size(); i++) {
      mean = mean.add(fits.get(i).coefficients().mapMultiply(probability[i]));
    }
    return mean;
  }

  /** Of the averaged curve: within each explanation, and between them. */
  RealMatrix covariance() {
    RealVector mean = coefficients();
    int size = ReadingsModel.COEFFICIENTS;
    RealMatrix sum = MatrixUtils.createRealMatrix(size, size);
    for (int i = 0; i < fits.size(); i++) {
      RealVector off = fits.get(i).coefficients().subtract(mean);
      sum =
          sum.add(
              fits.get(i).covariance().add(off.outerProduct(off)).scalarMultiply(probability[i]));
    }
    return sum;
  }

  /** Change of each averaged coefficient per change of each ratio, the weights held. */
  RealMatrix gains() {
    RealMatrix sum = fits.get(0).gains().scalarMultiply(probability[0]);
    for (int i = 1; i < fits.size(); i++) {
      sum = sum.add(fits.get(i).gains().scalarMultiply(probability[i]));
    }
    return sum;
  }

  private static double square(double value) {
    return value * value;
  }
}
