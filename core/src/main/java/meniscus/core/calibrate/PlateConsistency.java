package meniscus.core.calibrate;

import java.util.ArrayList;
import java.util.List;
import java.util.stream.IntStream;
import meniscus.core.bench.Evidence.PlateResult;
import org.hipparchus.linear.CholeskyDecomposition;
import org.hipparchus.linear.MatrixUtils;
import org.hipparchus.linear.RealMatrix;
import org.hipparchus.linear.RealVector;

/**
 * Holds each plate against the others: what they predict of its ratios, the fault that was found
 * taken out.
 */
final class PlateConsistency {

  /** Relative error that a plate which is known to be wrong may have: any. */
  private static final double ANY_ERROR = 1;

  private final ReadingsModel model;
  private final List<String> plateOf;
  private final RealVector corrected;
  private final RealMatrix known;

  /**
   * @param named the explanation that the readings are corrected by; of a plate: that plate
   *     predicts nothing
   */
  PlateConsistency(ReadingsModel model, RivalFit named) {
    this.model = model;
    this.plateOf = model.ratios().stream().map(ratio -> ratio.plate().name()).toList();
    RealMatrix all = model.covariance().add(model.ofCurve());
    Rival rival = named.rival();
    if (rival.plate().isEmpty()) {
      RealVector effect = rival.effectOf(named.sizes(), model.size());
      this.corrected = model.y().ebeMultiply(effect.map(f -> Math.exp(-f)));
      RealMatrix doubt = all;
      for (int k = 0; k < rival.faults().size(); k++) {
        RealVector one =
            rival
                .faults()
                .get(k)
                .slopeAt(named.sizes().getEntry(k))
                .mapMultiply(named.sizeUncertainties().getEntry(k));
        doubt = doubt.add(one.outerProduct(one));
      }
      this.known = doubt;
    } else {
      this.corrected = model.y();
      RealVector free =
          MatrixUtils.createRealVector(
              plateOf.stream()
                  .mapToDouble(plate -> plate.equals(rival.plate()) ? ANY_ERROR : 0)
                  .toArray());
      this.known = all.add(free.outerProduct(free));
    }
  }

  /** One result a plate, in order of appearance; none when there is only one plate. */
  List<PlateResult> results() {
    List<PlateResult> results = new ArrayList<>();
    List<String> plates = plateOf.stream().distinct().toList();
    if (plates.size() > 1) {
      plates.forEach(plate -> results.add(judged(plate)));
    }
    return results;
  }

  /** Conditioning of a normal distribution: the plate's ratios, given all others. */
  private PlateResult judged(String plate) {
    int[] of = indices(plate, true);
    int[] rest = indices(plate, false);
    RealMatrix cross = known.getSubMatrix(of, rest);
    RealMatrix inverse =
        new CholeskyDecomposition(known.getSubMatrix(rest, rest), 1e-9, 0).getSolver().getInverse();
    RealMatrix weights = cross.multiply(inverse);
    RealVector expected = model.expected();
    RealVector predicted =
        pick(expected, of).add(weights.operate(pick(corrected.subtract(expected), rest)));
    // The plate's own ratios carry its own error whether it is known to be wrong or not.
    RealMatrix left = known.getSubMatrix(of, of).subtract(weights.multiplyTransposed(cross));
    RealMatrix own = model.covariance().add(model.ofCurve()).getSubMatrix(of, of);
    RealMatrix spread = plateFree(of) ? left.subtract(known.getSubMatrix(of, of)).add(own) : left;
    RealVector even = MatrixUtils.createRealVector(new double[of.length]).mapAdd(1.0 / of.length);
    double error = even.dotProduct(pick(corrected, of).subtract(predicted));
    double level = even.dotProduct(predicted);
    double variance = even.dotProduct(spread.operate(even));
    return new PlateResult(plate, error / level, Math.sqrt(Math.max(0, variance)) / level);
  }

  private boolean plateFree(int[] of) {
    return known.getEntry(of[0], of[0]) > ANY_ERROR;
  }

  private int[] indices(String plate, boolean own) {
    return IntStream.range(0, plateOf.size())
        .filter(i -> plateOf.get(i).equals(plate) == own)
        .toArray();
  }

  private static RealVector pick(RealVector from, int[] kept) {
    return MatrixUtils.createRealVector(IntStream.of(kept).mapToDouble(from::getEntry).toArray());
  }
}
