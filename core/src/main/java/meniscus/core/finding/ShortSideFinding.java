package meniscus.core.finding;

import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.TreeSet;
import meniscus.core.finding.Cause.Answer;
import meniscus.core.finding.Cause.Trait;
import meniscus.core.lift.Plan;

/**
 * Weighs what speaks for air letting go of the short side.
 *
 * <p>"Likely" takes flow lost at high lift and one sign of another kind at those lifts or just
 * below them, each held to its own false-alarm rate where it is found. Lost flow alone is named as
 * what it is, with its rival causes and what the data say against each. A pressure sweep there that
 * does not fall, or the same loss with the air going the other way, overrules all other signs.
 * Which signs count is common practice of the trade, no source.
 *
 * @param plan of the test they were found in
 * @param signs what was found
 * @param seen what was looked for, and whether it was there
 */
public record ShortSideFinding(Plan plan, List<Sign> signs, Map<Trait, Answer> seen) {

  /**
   * From this lift over head diameter on, the port rather than seat and curtain rules the flow: the
   * curtain area equals the head's at 0.25 (geometry), the throat is smaller than the head, and a
   * loss begins below where it is largest. Our own choice.
   */
  static final double HIGH_LIFT_RATIO = 0.2;

  /** A sign this share below the lowest lost lift is still "there": about one step of a ladder. */
  private static final double JUST_BELOW = 0.15;

  public ShortSideFinding {
    signs = List.copyOf(signs);
    seen = Map.copyOf(seen);
  }

  /** Whether a lift is so high that the port, not the seat, rules the flow. */
  public static boolean high(Plan plan, double liftM) {
    double head =
        plan.setUp().valveHeadsM().stream().mapToDouble(Double::doubleValue).min().orElseThrow();
    return liftM >= HIGH_LIFT_RATIO * head - 1e-9;
  }

  /** The finding, when flow is lost at high lift. */
  public Optional<Finding> finding() {
    List<Double> lost = lost(signs);
    if (lost.isEmpty()) {
      return Optional.empty();
    }
    double from = lost.get(0) * (1 - JUST_BELOW);
    List<Sign> there =
        signs.stream()
            .filter(sign -> sign.liftsM().stream().anyMatch(lift -> lift >= from))
            .toList();
    boolean another = there.stream().anyMatch(sign -> sign.kind() != Sign.Kind.LOSES);
    List<Trait> against = Cause.SHORT_SIDE.spokenAgainstBy(seen);
    InUnits in = new InUnits(plan.units());
    return Optional.of(
        another && against.isEmpty() ? likely(there, lost, in) : loses(there, lost, against, in));
  }

  private Finding likely(List<Sign> there, List<Double> lost, InUnits in) {
    boolean confirmed = seen.get(Trait.FALLS_WITH_PRESSURE) == Answer.YES;
    TreeSet<Double> lifts = new TreeSet<>();
    there.forEach(sign -> lifts.addAll(sign.liftsM()));
    return new Finding(
        Finding.Kind.LIKELY_SHORT_SIDE,
        "The short side is likely to let go of the air at high lift ("
            + in.lifts(lost)
            + ")"
            + (confirmed ? "; the pressure sweep there bears it out" : "")
            + (seen.get(Trait.BLOWING_TOO) == Answer.NO
                ? "; with the air going the other way it does not show."
                : "."),
        evidence(there),
        confirmed
            ? "Lay a smooth clay fillet over the short side and measure again; if the loss goes, it"
                + " was the short side. Take no more metal off it before that."
            : nextStep(lost, in)
                + " A smooth clay fillet over the short side that takes the loss away settles it"
                + " too. Take no more metal off the short side before that.",
        new ArrayList<>(lifts));
  }

  /**
   * @param against what speaks against a short side
   */
  private Finding loses(List<Sign> there, List<Double> lost, List<Trait> against, InUnits in) {
    boolean bothWays = against.contains(Trait.BLOWING_TOO);
    return new Finding(
        Finding.Kind.LOSES_AT_HIGH_LIFT,
        "Flow is lost at high lift ("
            + in.lifts(lost)
            + "). "
            + (bothWays
                ? "It shows with the air going the other way too, where the air turns elsewhere, so"
                    + " the short side is not likely."
                : !against.isEmpty()
                    ? "The pressure sweep shows no limit of air speed, so a short side that lets go at a"
                        + " speed is not likely; an edge that the air has left at every speed looks the"
                        + " same."
                    : "It could be the short side, a choke further on, shrouding, the adapter's edge"
                        + " or a valve that is not rigid: the flow alone cannot tell."),
        evidence(there),
        !against.isEmpty()
            ? "Look at what stays the same "
                + (bothWays ? "both ways" : "at every test pressure")
                + ": a section that became smaller,"
                + " the chamber wall beside the valve, the adapter's edge, a sharp edge in the turn"
                + " (a smooth clay fillet over it tells)."
            : nextStep(lost, in),
        lost);
  }

  private List<String> evidence(List<Sign> there) {
    List<String> evidence = new ArrayList<>(there.stream().map(Sign::told).toList());
    evidence.addAll(Cause.table(seen));
    return evidence;
  }

  /** The experiment that tells the causes apart, while the head is still on the bench. */
  private String nextStep(List<Double> lost, InUnits in) {
    Confirmation experiment = Confirmation.of(plan, lost.get(lost.size() - 1), lost);
    String where = in.lift(experiment.liftM());
    return "While the head is on the bench, take the test pressure up and down at "
        + where
        + (experiment.controlM().isPresent()
            ? ", and at " + in.lift(experiment.controlM().getAsDouble()) + " to compare"
            : "")
        + " (while recording: confirm "
        + where
        + ").";
  }

  static List<Double> lost(List<Sign> signs) {
    return signs.stream()
        .filter(sign -> sign.kind() == Sign.Kind.LOSES)
        .flatMap(sign -> sign.liftsM().stream())
        .distinct()
        .sorted()
        .toList();
  }
}
