package meniscus.core.finding;

import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.stream.Stream;
import meniscus.core.decide.Estimate;
import meniscus.core.decide.Holm;
import meniscus.core.lift.LiftPoint;
import meniscus.core.lift.Lifts;
import meniscus.core.lift.Sweep;
import meniscus.core.lift.TestCurve;
import meniscus.core.uncertainty.Budget;
import meniscus.core.uncertainty.Contribution;
import meniscus.core.uncertainty.Coverage;
import org.hipparchus.distribution.continuous.FDistribution;
import org.hipparchus.linear.Array2DRowRealMatrix;
import org.hipparchus.linear.ArrayRealVector;
import org.hipparchus.linear.LUDecomposition;
import org.hipparchus.linear.RealMatrix;
import org.hipparchus.linear.RealVector;

/**
 * Opening against closing sweep of one test, lift by lift.
 *
 * <p>Two questions share a chance of 1 % of a false answer: do the sweeps differ anywhere (one test
 * over all lifts, d'V⁻¹d against F), and at which lifts (t tests under Holm). The lift that was
 * read counts, not the lift asked: flows are moved by the local slope, and the uncertainty of the
 * lift (backlash) enters as one error common to all lifts of the test.
 *
 * @param liftsM compared [m]
 * @param closingLessOpening flow closing less flow opening [m³/s]
 * @param differing lifts at which the sweeps differ [m]; may be empty when they only differ as a
 *     whole
 * @param sumOfDifferences over all lifts [m³/s]: below zero when the closing sweep flows less
 */
public record SweepDifference(
    List<Double> liftsM,
    List<Estimate> closingLessOpening,
    List<Double> differing,
    double sumOfDifferences) {

  /** Chance of a false difference in a test. */
  public static final double FALSE_ALARM = 0.01;

  public SweepDifference {
    liftsM = List.copyOf(liftsM);
    closingLessOpening = List.copyOf(closingLessOpening);
    differing = List.copyOf(differing);
  }

  /** Empty when the test has not both sweeps, or they do not differ. */
  public static Optional<SweepDifference> in(TestCurve test) {
    List<LiftPoint> opening = trusted(test, Sweep.OPENING);
    List<LiftPoint> closing = trusted(test, Sweep.CLOSING);
    List<Double> lifts = new ArrayList<>();
    List<Estimate> differences = new ArrayList<>();
    List<Budget> own = new ArrayList<>();
    for (LiftPoint down : closing) {
      for (LiftPoint up : opening) {
        if (Lifts.same(up.liftM(), down.liftM())) {
          double slope = slope(opening, up.liftM());
          double moved =
              slope
                  * (down.setting().liftReadM().orElse(down.liftM())
                      - up.setting().liftReadM().orElse(up.liftM()));
          Budget budget = budget(up, down, slope);
          lifts.add(up.liftM());
          own.add(budget);
          differences.add(
              new Estimate(
                  down.flowM3PerS() - up.flowM3PerS() - moved,
                  budget.standardUncertainty(),
                  budget.effectiveDegreesOfFreedom()));
        }
      }
    }
    return lifts.isEmpty() ? Optional.empty() : judged(lifts, differences, own);
  }

  private static Optional<SweepDifference> judged(
      List<Double> lifts, List<Estimate> differences, List<Budget> budgets) {
    double[] p = differences.stream().mapToDouble(Estimate::pOfZero).toArray();
    boolean[] rejected = Holm.rejected(p, FALSE_ALARM / 2);
    List<Double> differing = new ArrayList<>();
    for (int i = 0; i < p.length; i++) {
      if (rejected[i]) {
        differing.add(lifts.get(i));
      }
    }
    if (differing.isEmpty() && pOfNoneAnywhere(differences, budgets) > FALSE_ALARM / 2) {
      return Optional.empty();
    }
    return Optional.of(
        new SweepDifference(
            lifts,
            differences,
            differing,
            differences.stream().mapToDouble(Estimate::value).sum()));
  }

  /** d'V⁻¹d over the number of lifts, against F with the fewest degrees of freedom of all lifts. */
  private static double pOfNoneAnywhere(List<Estimate> differences, List<Budget> budgets) {
    int size = differences.size();
    RealMatrix covariance = new Array2DRowRealMatrix(size, size);
    RealVector d = new ArrayRealVector(size);
    double degrees = 1e5;
    for (int i = 0; i < size; i++) {
      d.setEntry(i, differences.get(i).value());
      degrees = Math.min(degrees, differences.get(i).degreesOfFreedom());
      for (int j = 0; j < size; j++) {
        double u = differences.get(i).standardUncertainty();
        covariance.setEntry(i, j, i == j ? u * u : budgets.get(i).covariance(budgets.get(j)));
      }
    }
    LUDecomposition solved = new LUDecomposition(covariance);
    if (!solved.getSolver().isNonSingular()) {
      return 1;
    }
    double statistic = d.dotProduct(solved.getSolver().solve(d)) / size;
    return 1 - new FDistribution(size, degrees).cumulativeProbability(statistic);
  }

  private static Budget budget(LiftPoint up, LiftPoint down, double slope) {
    double lift =
        Math.hypot(up.setting().liftU95().orElse(0), down.setting().liftU95().orElse(0))
            / Coverage.NORMAL_95;
    return new Budget(
        Stream.of(
                TestCurve.budget(up).times(-1).contributions(),
                TestCurve.budget(down).contributions(),
                List.of(
                    new Contribution(
                        "lift and its backlash",
                        Contribution.Kind.SET_UP,
                        lift,
                        Double.POSITIVE_INFINITY,
                        slope,
                        "lift between the sweeps")))
            .flatMap(List::stream)
            .toList());
  }

  private static List<LiftPoint> trusted(TestCurve test, Sweep sweep) {
    return test.curve(sweep).stream().filter(TestCurve::trusted).toList();
  }

  /** Slope of the opening curve at a lift of it [m²/s]. */
  private static double slope(List<LiftPoint> curve, double liftM) {
    int at = 0;
    while (!Lifts.same(curve.get(at).liftM(), liftM)) {
      at++;
    }
    LiftPoint below = curve.get(Math.max(0, at - 1));
    LiftPoint above = curve.get(Math.min(curve.size() - 1, at + 1));
    double span = above.liftM() - below.liftM();
    return span > 0 ? (above.flowM3PerS() - below.flowM3PerS()) / span : 0;
  }

  /** True when the closing sweep flows less: the air that let go comes back later. */
  public boolean closingFlowsLess() {
    return sumOfDifferences < 0;
  }

  /** In words. */
  public Finding finding(TestCurve test) {
    InUnits in = new InUnits(test.plan().units());
    List<String> evidence = new ArrayList<>();
    for (int i = 0; i < liftsM.size(); i++) {
      if (differing.contains(liftsM.get(i))) {
        Estimate e = closingLessOpening.get(i);
        evidence.add(
            "at "
                + in.lift(liftsM.get(i))
                + ": closing less opening "
                + in.flowNumber(e.value(), e.u95())
                + " ± "
                + in.flow(e.u95(), e.u95()));
      }
    }
    if (evidence.isEmpty()) {
      evidence.add("no single lift stands out; all lifts taken together do");
    }
    return new Finding(
        Finding.Kind.SWEEP_DIFFERENCE,
        "In \""
            + test.name()
            + "\" the closing sweep flows "
            + (closingFlowsLess() ? "less" : "more")
            + " than the opening sweep"
            + (differing.isEmpty() ? "." : " at " + in.lifts(differing) + "."),
        evidence,
        closingFlowsLess()
            ? "Take both sweeps again. If the difference stays, the air that has let go comes back"
                + " at a lower lift than it left; if it goes, look for drift or backlash."
            : "Check the lift gauge for backlash and the bench for drift, then take both sweeps"
                + " again.",
        differing);
  }
}
