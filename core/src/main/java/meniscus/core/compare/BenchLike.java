package meniscus.core.compare;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Optional;
import java.util.stream.IntStream;
import meniscus.core.compare.Decided.Withheld;
import meniscus.core.finding.Finding;
import meniscus.core.finding.Finding.Kind;
import meniscus.core.finding.InUnits;
import meniscus.core.lift.TestCurve;
import meniscus.core.lift.TestSetUp;
import meniscus.core.uncertainty.Contribution;

/**
 * Says when the differences look like one error of the bench. A claim that a shifted lift zero or a
 * leak would explain is withheld; nothing is ever claimed of the dial.
 */
record BenchLike(Pattern pattern, CommonLifts common) {

  /** A zero further off than this many standard uncertainties is no longer a shifted zero. */
  private static final double BELIEVABLE = 4;

  private static final double EXPLAINED = 2; // what is left is within its 95 % interval

  /**
   * A zero known as well as this withholds nothing: read on the seat before and after, with up to
   * 0.03 mm between the two. Our own choice.
   */
  private static final double KNOWN_WELL_M = 1.35 * TestSetUp.LIFT_ZERO_READ_TWICE_M;

  static Optional<BenchLike> in(CommonLifts common) {
    return Pattern.in(common)
        .map(pattern -> new BenchLike(pattern, common))
        .filter(BenchLike::believable);
  }

  private boolean believable() {
    return pattern.shape() != Pattern.Shape.LIFT_ZERO
        || Math.abs(pattern.size()) <= BELIEVABLE * Math.sqrt(2) * zeroUncertaintyM();
  }

  /** The less certain zero of all tests [m]. */
  private double zeroUncertaintyM() {
    List<Run> all = new ArrayList<>(common.before());
    all.addAll(common.after());
    return all.stream().map(Run::test).mapToDouble(BenchLike::zeroUncertaintyM).max().orElseThrow();
  }

  /** As each point has it, which knows of a dial read on the seat; else as the plan says [m]. */
  private static double zeroUncertaintyM(TestCurve test) {
    return test.points().stream()
        .flatMap(point -> point.budget().stream())
        .filter(c -> c.source().equals(Pattern.LIFT_ZERO_SOURCE))
        .mapToDouble(Contribution::standardUncertainty)
        .max()
        .orElseGet(() -> test.plan().setUp().liftZeroM().orElse(TestSetUp.USUAL_LIFT_ZERO_M));
  }

  /** Why claims that the pattern explains are not made; {@code NO} when they are. */
  private Withheld why() {
    return switch (pattern.shape()) {
      case LIFT_ZERO ->
          zeroUncertaintyM() > KNOWN_WELL_M ? Withheld.LIFT_ZERO_MAY_HAVE_MOVED : Withheld.NO;
      case LEAK -> Withheld.LEAK_MAY_HAVE_CHANGED;
      default -> Withheld.NO;
    };
  }

  /** The differences, with what a shifted zero or a leak explains withheld. */
  List<LiftDifference> withheld(List<LiftDifference> lifts) {
    double[] explained = explained(lifts);
    List<LiftDifference> withheld = new ArrayList<>();
    for (int i = 0; i < lifts.size(); i++) {
      LiftDifference lift = lifts.get(i);
      withheld.add(
          new LiftDifference(
              lift.liftM(), lift.interpolated(), withheld(lift.difference(), explained[i])));
    }
    return withheld;
  }

  /** The same for the average of these lifts. */
  Difference withheld(Difference mean, List<LiftDifference> lifts) {
    return withheld(mean, Arrays.stream(explained(lifts)).average().orElse(0));
  }

  /**
   * @param explained by the pattern, of the difference [m³/s]
   */
  private Difference withheld(Difference d, double explained) {
    boolean claimed = d.outcome() == Outcome.GAIN || d.outcome() == Outcome.LOSS;
    double left = Math.abs(d.estimate().value() - explained);
    boolean patternWouldDo = left < EXPLAINED * d.estimate().standardUncertainty();
    return claimed && patternWouldDo && why() != Withheld.NO ? d.withheld(why()) : d;
  }

  /** What the pattern makes of the flow at each lift [m³/s]. */
  private double[] explained(List<LiftDifference> lifts) {
    double[] flows = lifts.stream().mapToDouble(lift -> lift.difference().before()).toArray();
    double[] relative = pattern.relative(common.lifts(), flows);
    return IntStream.range(0, flows.length).mapToDouble(i -> relative[i] * flows[i]).toArray();
  }

  Finding finding(InUnits in) {
    return switch (pattern.shape()) {
      case LIFT_ZERO ->
          new Finding(
              Kind.LIKE_A_SHIFTED_LIFT_ZERO,
              "The differences run as if the dial's zero had moved by "
                  + in.smallLift(Math.abs(pattern.size()))
                  + " ± "
                  + in.smallLift(2 * pattern.standardUncertainty())
                  + "; a change of the seat can look the same.",
              List.of("they follow the slope of the curve over all lifts"),
              "Read the dial on the seat, set it right, and take the low lifts again; nothing is"
                  + " claimed there before that.",
              List.of());
      case LEAK ->
          new Finding(
              Kind.LIKE_A_LEAK,
              "The differences run as if "
                  + in.flow(Math.abs(pattern.size()), pattern.standardUncertainty())
                  + (pattern.size() > 0 ? " more" : " less")
                  + " passed beside the port at every lift; nothing that this explains is"
                  + " claimed.",
              List.of("they are one and the same flow over all lifts"),
              "Shut the valve and measure the leak again, with this head on the bench; look at the"
                  + " plugged holes and the joint.",
              List.of());
      default ->
          new Finding(
              Kind.LIKE_ANOTHER_TEST_PRESSURE,
              "All lifts differ by one share, "
                  + InUnits.signedPercent(pattern.size())
                  + ". A test pressure read "
                  + InUnits.percent(Math.abs(2 * pattern.size()))
                  + " wrong would do that, and so would an adapter that sits otherwise or a change"
                  + " that acts at all lifts alike.",
              List.of("no lift stands out from the rest"),
              "Check a plate and put the head on again before this is taken for the port's.",
              List.of());
    };
  }
}
