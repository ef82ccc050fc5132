package meniscus.core.compare;

import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.function.ToDoubleFunction;

/**
 * The lift at which a gain turns to a loss: where the difference, straight between lifts, crosses
 * zero on its way from the last gain to the first loss above it.
 *
 * @param liftM best [m]
 * @param lowM where the lower end of the 95 % interval first crosses zero [m]
 * @param highM where its upper end does so last [m]
 */
public record GainTurnsToLoss(double liftM, double lowM, double highM) {

  /** Empty when no gain has a loss above it. */
  public static Optional<GainTurnsToLoss> in(Comparison comparison) {
    List<LiftDifference> lifts = comparison.lifts();
    int gain = -1;
    int loss = -1;
    for (int i = 0; i < lifts.size() && loss < 0; i++) {
      if (lifts.get(i).outcome() == Outcome.GAIN) {
        gain = i;
      } else if (lifts.get(i).outcome() == Outcome.LOSS && gain >= 0) {
        loss = i;
      }
    }
    if (loss < 0) {
      return Optional.empty();
    }
    List<LiftDifference> between = lifts.subList(gain, loss + 1);
    List<Double> best = crossings(between, d -> d.estimate().value());
    List<Double> low = crossings(between, d -> d.estimate().value() - d.decided().half());
    List<Double> high = crossings(between, d -> d.estimate().value() + d.decided().half());
    return Optional.of(new GainTurnsToLoss(best.get(0), low.get(0), high.get(high.size() - 1)));
  }

  /** A gain lies wholly above zero and a loss wholly below: there is one crossing at least. */
  private static List<Double> crossings(
      List<LiftDifference> lifts, ToDoubleFunction<Difference> side) {
    List<Double> crossings = new ArrayList<>();
    for (int i = 1; i < lifts.size(); i++) {
      double below = side.applyAsDouble(lifts.get(i - 1).difference());
      double above = side.applyAsDouble(lifts.get(i).difference());
      if (below > 0 && above <= 0) {
        double share = below / (below - above);
        double from = lifts.get(i - 1).liftM();
        crossings.add(from + share * (lifts.get(i).liftM() - from));
      }
    }
    return crossings;
  }
}
