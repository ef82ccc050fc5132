package meniscus.core.finding;

import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.stream.Stream;
import meniscus.core.decide.Estimate;
import meniscus.core.decide.Holm;
import meniscus.core.lift.LiftPoint;
import meniscus.core.lift.TestCurve;
import meniscus.core.uncertainty.Budget;

/**
 * Flow that falls with more lift by more than its uncertainty.
 *
 * <p>Every pair of lifts is asked whether the higher one flows less (one-sided t test, errors that
 * both share cancelling), under Holm over all pairs, so that a curve that never falls is said to
 * fall with a chance of 1 % at most. Pairs that rise by more than six standard uncertainties are
 * not counted: they could only be rejected by an error that does not happen.
 *
 * @param peakLiftM lift of the highest flow [m]
 * @param fallLiftsM lifts that flow less than a lower lift, rising [m]
 * @param drop of the flow at the deepest of these below the lift that showed it best [m³/s]
 * @param dropFromM flow that the drop is from [m³/s]
 * @param deepestLiftM lift of the deepest fall [m]
 */
public record Turnover(
    double peakLiftM,
    List<Double> fallLiftsM,
    Estimate drop,
    double dropFromM,
    double deepestLiftM) {

  /** Chance of a false turnover in a test. */
  public static final double FALSE_ALARM = 0.01;

  private static final double SURELY_RISING = 6; // p of 1 − 1e-9

  public Turnover {
    fallLiftsM = List.copyOf(fallLiftsM);
  }

  private record Pair(LiftPoint lower, LiftPoint higher, Estimate drop) {}

  public static Optional<Turnover> in(TestCurve test) {
    return in(test, FALSE_ALARM);
  }

  /**
   * @param chance of a false turnover
   */
  public static Optional<Turnover> in(TestCurve test, double chance) {
    List<LiftPoint> curve = test.curve().stream().filter(TestCurve::trusted).toList();
    List<Pair> pairs = new ArrayList<>();
    for (int high = 1; high < curve.size(); high++) {
      for (int low = 0; low < high; low++) {
        Estimate drop = drop(curve.get(low), curve.get(high));
        if (drop.value() > -SURELY_RISING * drop.standardUncertainty()) {
          pairs.add(new Pair(curve.get(low), curve.get(high), drop));
        }
      }
    }
    double[] p = pairs.stream().mapToDouble(pair -> pair.drop.pOfZeroOrBelow()).toArray();
    boolean[] falls = Holm.rejected(p, chance);
    List<Pair> found = new ArrayList<>();
    for (int i = 0; i < falls.length; i++) {
      if (falls[i]) {
        found.add(pairs.get(i));
      }
    }
    return found.isEmpty() ? Optional.empty() : Optional.of(from(curve, found));
  }

  private static Turnover from(List<LiftPoint> curve, List<Pair> found) {
    Pair deepest = found.get(0);
    for (Pair pair : found) {
      if (pair.drop.value() > deepest.drop.value()) {
        deepest = pair;
      }
    }
    LiftPoint peak = curve.get(0);
    for (LiftPoint point : curve) {
      if (point.flowM3PerS() > peak.flowM3PerS()) {
        peak = point;
      }
    }
    return new Turnover(
        peak.liftM(),
        found.stream().map(pair -> pair.higher.liftM()).distinct().sorted().toList(),
        deepest.drop,
        deepest.lower.flowM3PerS(),
        deepest.higher.liftM());
  }

  /** Lower lift's flow less the higher one's. */
  static Estimate drop(LiftPoint lower, LiftPoint higher) {
    Budget budget =
        new Budget(
            Stream.concat(
                    TestCurve.budget(lower).contributions().stream(),
                    TestCurve.budget(higher).times(-1).contributions().stream())
                .toList());
    return new Estimate(
        lower.flowM3PerS() - higher.flowM3PerS(),
        budget.standardUncertainty(),
        budget.effectiveDegreesOfFreedom());
  }

  /** In words. */
  public Finding finding(TestCurve test) {
    InUnits in = new InUnits(test.plan().units());
    return new Finding(
        Finding.Kind.TURNOVER,
        "In \""
            + test.name()
            + "\" the flow turns over: with more lift it falls, by "
            + in.flowNumber(drop.value(), drop.u95())
            + " ± "
            + in.flow(drop.u95(), drop.u95())
            + " at "
            + in.lift(deepestLiftM)
            + ".",
        List.of(
            "highest flow at " + in.lift(peakLiftM),
            "less flow than at a lower lift: " + in.lifts(fallLiftsM),
            "a drop of " + InUnits.percent(drop.value() / dropFromM)),
        "Take the lifts around "
            + in.lift(peakLiftM)
            + " again, opening and closing; then step the test pressure at "
            + in.lift(deepestLiftM)
            + " to see whether the fall goes away at a lower one.",
        fallLiftsM);
  }
}
