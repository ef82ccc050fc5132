package meniscus.core.compare;

import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import java.util.Optional;
import java.util.stream.Stream;
import meniscus.core.finding.Finding;
import meniscus.core.finding.Finding.Kind;
import meniscus.core.finding.InUnits;
import meniscus.core.finding.ShortSideFinding;
import meniscus.core.lift.Plan;

/**
 * Gains and losses as they follow each other up the lifts. Lifts without either stand between them
 * without a word.
 */
final class GainsAndLosses {

  /** Claims of one kind that follow each other, whatever undecided lifts lie between. */
  private record Claims(Outcome outcome, List<Double> liftsM) {}

  /**
   * Below this share of the lift from which the port rules, a loss is the seat's whatever is above
   * it: there the curtain is less than half of the valve's head. Our own choice.
   */
  private static final double CLEAR_OF_THE_SEAT = 0.6;

  private final Comparison comparison;
  private final Plan plan;
  private final InUnits in;

  GainsAndLosses(Comparison comparison, Plan plan) {
    this.comparison = comparison;
    this.plan = plan;
    this.in = new InUnits(comparison.units());
  }

  List<Finding> findings() {
    List<Finding> findings = new ArrayList<>();
    List<Claims> stretches = stretches();
    for (int i = 1; i < stretches.size(); i++) {
      findings.add(turn(stretches.get(i - 1), stretches.get(i)));
    }
    lostLow().ifPresent(findings::add);
    return findings;
  }

  /** Lost lifts at which the port, not the seat, rules the flow. */
  List<Double> lostHigh() {
    return comparison.lifts(Outcome.LOSS).stream()
        .filter(lift -> ShortSideFinding.high(plan, lift))
        .toList();
  }

  private List<Claims> stretches() {
    List<Claims> stretches = new ArrayList<>();
    for (LiftDifference lift : comparison.lifts()) {
      if (lift.outcome() == Outcome.GAIN || lift.outcome() == Outcome.LOSS) {
        int last = stretches.size() - 1;
        if (last < 0 || stretches.get(last).outcome != lift.outcome()) {
          stretches.add(new Claims(lift.outcome(), new ArrayList<>()));
        }
        stretches.get(stretches.size() - 1).liftsM.add(lift.liftM());
      }
    }
    return stretches;
  }

  private Finding turn(Claims below, Claims above) {
    boolean gained = below.outcome == Outcome.GAIN;
    return new Finding(
        gained ? Kind.GAINED_BELOW_LOST_ABOVE : Kind.LOST_BELOW_GAINED_ABOVE,
        gained
            ? "Flow gained below, lost above: gain at "
                + comparison.at(below.liftsM)
                + ", loss at "
                + comparison.at(above.liftsM)
                + "."
            : "Flow lost below, gained above: loss at "
                + comparison.at(below.liftsM)
                + ", gain at "
                + comparison.at(above.liftsM)
                + ".",
        Stream.of(below, above).map(this::largest).toList(),
        "See how long the valve spends at each lift before calling this a gain or a loss.",
        above.liftsM);
  }

  private Optional<Finding> lostLow() {
    double joins = lowestThatJoinsALossAbove();
    List<Double> low =
        comparison.lifts(Outcome.LOSS).stream()
            .filter(lift -> !ShortSideFinding.high(plan, lift) && lift < joins)
            .toList();
    return low.isEmpty()
        ? Optional.empty()
        : Optional.of(
            new Finding(
                Kind.LOST_AT_LOW_LIFT,
                "Flow is lost at low lift ("
                    + comparison.at(low)
                    + "): there seat and valve rule the flow, not the short side.",
                List.of(largest(new Claims(Outcome.LOSS, low))),
                "Read the dial on the seat; look at the seat (width, angles, burrs, cutting oil)"
                    + " and at how the valve sits in it; then take these lifts again.",
                low));
  }

  /**
   * From which lift on the loss goes on without a break into the one at high lift: it is that loss,
   * begun a step earlier, and no matter of the seat [m].
   */
  private double lowestThatJoinsALossAbove() {
    double joins = Double.POSITIVE_INFINITY;
    List<LiftDifference> lifts = comparison.lifts();
    for (int i = lifts.size() - 1; i >= 0; i--) {
      double lift = lifts.get(i).liftM();
      boolean lost = lifts.get(i).outcome() == Outcome.LOSS;
      boolean goesOn = i + 1 < lifts.size() && joins == lifts.get(i + 1).liftM();
      boolean clearOfTheSeat = ShortSideFinding.high(plan, lift / CLEAR_OF_THE_SEAT);
      if (lost && (ShortSideFinding.high(plan, lift) || goesOn && clearOfTheSeat)) {
        joins = lift;
      }
    }
    return joins;
  }

  /** The lift of a stretch with the largest difference. */
  private String largest(Claims stretch) {
    LiftDifference largest =
        comparison.lifts().stream()
            .filter(lift -> stretch.liftsM.contains(lift.liftM()))
            .max(Comparator.comparingDouble(lift -> Math.abs(lift.difference().relative())))
            .orElseThrow();
    Difference d = largest.difference();
    return "largest "
        + stretch.outcome.word()
        + ": "
        + InUnits.signedPercent(d.relative(), d.relativeHalf())
        + " ± "
        + InUnits.half(d.relativeHalf())
        + " at "
        + in.lift(largest.liftM());
  }
}
