package meniscus.core.compare;

import java.util.ArrayList;
import java.util.List;

/**
 * Neighbouring compared lifts of which the same is said.
 *
 * @param outcome of each
 * @param liftsM rising [m]
 */
public record Stretch(Outcome outcome, List<Double> liftsM) {

  public Stretch {
    liftsM = List.copyOf(liftsM);
  }

  /** All of a comparison, from the lowest lift to the highest. */
  public static List<Stretch> of(Comparison comparison) {
    List<Stretch> stretches = new ArrayList<>();
    for (LiftDifference lift : comparison.lifts()) {
      int last = stretches.size() - 1;
      List<Double> lifts = new ArrayList<>();
      if (last >= 0 && stretches.get(last).outcome == lift.outcome()) {
        lifts.addAll(stretches.remove(last).liftsM);
      }
      lifts.add(lift.liftM());
      stretches.add(new Stretch(lift.outcome(), lifts));
    }
    return stretches;
  }
}
