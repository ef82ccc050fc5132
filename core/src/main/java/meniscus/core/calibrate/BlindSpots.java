package meniscus.core.calibrate;

import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.Set;
import java.util.TreeMap;
import meniscus.core.bench.BlindSpot;
import meniscus.core.bench.Explanation.Kind;
import meniscus.core.bench.Leakage;
import org.hipparchus.linear.CholeskyDecomposition;
import org.hipparchus.linear.MatrixUtils;
import org.hipparchus.linear.RealMatrix;
import org.hipparchus.linear.RealVector;

/**
 * Which faults these plates and test pressures would not tell, and the plate that would. Worked out
 * before any ratio is looked at: the expected logarithm of the odds between the fault and its
 * rivals if a fault of a stated size were there. A zero of the test pressure and a common error of
 * all plates are never told and not listed.
 */
record BlindSpots(
    ReadingsModel model, Set<String> bevelled, Optional<Leakage> leakage, double leastDropPa) {
  /** 20 to 1, as for a runner-up that is near. */
  private static final double TOLD = Math.log(20);

  // Cubic feet a minute, by definition.
  private static final double CFM = 0.3048 * 0.3048 * 0.3048 / 60;

  /** Sizes that a calibration should tell: our own choice, about what spoils a result. */
  private static final Map<Kind, Double> SIZES =
      Map.of(Kind.LEAK, CFM, Kind.DROP_ZERO, 8.0, Kind.PLATE, 0.02, Kind.DRIFT, 0.01);

  // Plates that a shop may have or turn, every 4 mm: our own choice.
  private static final double SMALLEST_BORE_M = 0.012;
  private static final double LARGEST_BORE_M = 0.060;
  private static final double BORE_STEP_M = 0.004;

  /** Standard uncertainty of one more reading: an ordinary certificate and its repeat. */
  private static final double ONE_MORE = 0.003;

  /** One a kind at most, in the order of kinds. */
  List<BlindSpot> found() {
    Map<Kind, Confused> now = confused(model);
    List<BlindSpot> spots = new ArrayList<>();
    boolean moreWouldHelp =
        now.entrySet().stream()
            .anyMatch(each -> each.getKey() != Kind.DRIFT && each.getValue().odds < TOLD);
    Map<Double, Map<Kind, Confused>> more = moreWouldHelp ? withOneMore() : Map.of();
    now.forEach(
        (kind, rival) -> {
          if (rival.odds < TOLD) {
            OptionalDouble bore = kind == Kind.DRIFT ? OptionalDouble.empty() : remedy(kind, more);
            spots.add(new BlindSpot(kind, SIZES.get(kind), rival.takenFor, bore));
          }
        });
    if (!now.containsKey(Kind.DRIFT) && distinctPlates() > 1) {
      spots.add(
          new BlindSpot(Kind.DRIFT, SIZES.get(Kind.DRIFT), Kind.NOTHING, OptionalDouble.empty()));
    }
    return spots;
  }

  private long distinctPlates() {
    return model.ratios().stream().map(ratio -> ratio.plate().name()).distinct().count();
  }

  /**
   * @param takenFor the rival that is hardest to tell from the fault
   * @param odds expected logarithm of the odds against it
   */
  private record Confused(Kind takenFor, double odds) {}

  /** The worst case of each kind. */
  private Map<Kind, Confused> confused(ReadingsModel of) {
    List<Linear> rivals =
        Rivals.of(of.ratios(), bevelled, leakage).stream()
            .filter(rival -> rival.kind() != Kind.SEVERAL)
            .map(rival -> new Linear(of, rival))
            .toList();
    Map<Kind, Confused> worst = new TreeMap<>();
    for (Linear truth : rivals) {
      Double size = SIZES.get(truth.rival.kind());
      if (size != null) {
        RealVector pattern = truth.rival.faults().get(0).effectOf(size);
        for (Linear other : rivals) {
          if (other.rival.kind() != truth.rival.kind()) {
            double odds = truth.logDensity(pattern) - other.logDensity(pattern);
            worst.merge(
                truth.rival.kind(),
                new Confused(other.rival.kind(), odds),
                (a, b) -> a.odds <= b.odds ? a : b);
          }
        }
      }
    }
    return worst;
  }

  /** What each further plate would leave confused, by its bore. */
  private Map<Double, Map<Kind, Confused>> withOneMore() {
    Map<Double, Map<Kind, Confused>> tried = new TreeMap<>();
    for (double bore = SMALLEST_BORE_M; bore <= LARGEST_BORE_M; bore += BORE_STEP_M) {
      double boreM = bore;
      with(boreM).ifPresent(more -> tried.put(boreM, confused(more)));
    }
    return tried;
  }

  /** The bore whose readings, at the same test pressures, tell the fault best, if they do. */
  private static OptionalDouble remedy(Kind kind, Map<Double, Map<Kind, Confused>> tried) {
    return tried.entrySet().stream()
        .max(Comparator.comparingDouble(each -> each.getValue().get(kind).odds))
        .filter(best -> best.getValue().get(kind).odds >= TOLD)
        .map(best -> OptionalDouble.of(best.getKey()))
        .orElse(OptionalDouble.empty());
  }

  /** The model with one more plate; empty when its drops would be too small. */
  private Optional<ReadingsModel> with(double boreM) {
    List<CorrectionRatio> all = new ArrayList<>(model.ratios());
    CorrectionRatio first = all.get(0);
    List<CorrectionRatio> like =
        all.stream().filter(ratio -> ratio.plate().name().equals(first.plate().name())).toList();
    int known = all.size();
    double[] x = new double[known + like.size()];
    double[] own = new double[x.length];
    for (int i = 0; i < known; i++) {
      x[i] = model.x(i);
    }
    for (int i = 0; i < like.size(); i++) {
      CorrectionRatio from = like.get(i);
      double area = Math.pow(boreM / from.plate().orifice().boreM(), 2);
      double times = Math.pow(area, -1 / from.slopes().perLnDrop());
      if (from.means().dropPa() * times < leastDropPa) {
        return Optional.empty();
      }
      x[known + i] = model.x(model.ratios().indexOf(from)) + Math.log(times);
      own[known + i] = ONE_MORE * ONE_MORE / 2;
      all.add(from.like("one more", area, times));
    }
    RealMatrix covariance = MatrixUtils.createRealMatrix(x.length, x.length);
    covariance.setSubMatrix(model.covariance().getData(), 0, 0);
    for (int i = model.size(); i < x.length; i++) {
      for (int j = model.size(); j < x.length; j++) {
        // Half of it is the plate's own and the same at every pressure.
        covariance.setEntry(i, j, i == j ? 2 * own[i] : own[i]);
      }
    }
    return Optional.of(model.like(all, x, covariance));
  }

  /** An explanation, linear at the size it is held to have beforehand. */
  private static final class Linear {
    private final Rival rival;
    private final RealMatrix inverse;
    private final RealVector offset;
    private final double constant;

    Linear(ReadingsModel model, Rival rival) {
      this.rival = rival;
      RealMatrix slopes = rival.slopesAt(rival.before(), model.size());
      this.offset = rival.effectOf(rival.before(), model.size());
      RealMatrix all =
          model.covariance().add(model.ofCurve()).add(slopes.multiplyTransposed(slopes));
      CholeskyDecomposition cholesky = new CholeskyDecomposition(all, 1e-9, 0);
      double sum = Math.log(rival.odds());
      for (int i = 0; i < model.size(); i++) {
        sum -= Math.log(cholesky.getL().getEntry(i, i));
      }
      this.constant = sum;
      this.inverse = cholesky.getSolver().getInverse();
    }

    /** Of readings that show this pattern and nothing else. */
    double logDensity(RealVector pattern) {
      RealVector left = pattern.subtract(offset);
      return constant - 0.5 * left.dotProduct(inverse.operate(left));
    }
  }
}
