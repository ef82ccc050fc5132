package meniscus.core.compare;

import java.util.ArrayList;
import java.util.List;
import meniscus.core.finding.Finding;
import meniscus.core.finding.Finding.Kind;
import meniscus.core.finding.InUnits;
import meniscus.core.finding.UnsteadyLifts;
import meniscus.core.finding.UnsteadyLifts.Rougher;
import meniscus.core.lift.TestCurve;

/**
 * What became of a suspicion after the next change, held against the port as it was before the
 * change that brought it.
 *
 * @param suspicion that was found
 * @param broughtBy name of the state that showed it
 * @param now name of the state looked at
 * @param since comparison of the port before that change with the port now
 * @param first test of the port before that change
 * @param last test of the port now
 */
record FollowUp(
    Finding suspicion,
    String broughtBy,
    String now,
    Comparison since,
    TestCurve first,
    TestCurve last) {

  /** How a suspicion stands. */
  enum Stands {
    GONE,
    STILL_THERE,
    CANNOT_TELL
  }

  Stands stands() {
    List<LiftDifference> there =
        since.lifts().stream().filter(lift -> suspicion.liftsM().contains(lift.liftM())).toList();
    boolean lost = there.stream().anyMatch(lift -> lift.outcome() == Outcome.LOSS);
    boolean open = there.stream().anyMatch(lift -> lift.outcome() == Outcome.CANNOT_TELL_YET);
    boolean jumps =
        UnsteadyLifts.switching(last).stream()
            .anyMatch(
                lift ->
                    suspicion.liftsM().contains(lift)
                        && !UnsteadyLifts.switching(first).contains(lift));
    Rougher rougher = UnsteadyLifts.together(first, last, suspicion.liftsM());
    if (lost || jumps || rougher == Rougher.YES) {
      return Stands.STILL_THERE;
    }
    boolean airOpen =
        suspicion.kind() == Kind.LIKELY_SHORT_SIDE
            && rougher == Rougher.CANNOT_TELL
            && airWasMeasured();
    return open || airOpen || there.isEmpty() ? Stands.CANNOT_TELL : Stands.GONE;
  }

  /** Whether how rough the air is was measured at the suspected lifts at all. */
  private boolean airWasMeasured() {
    return last.curve().stream()
        .anyMatch(
            point ->
                suspicion.liftsM().contains(point.liftM()) && point.unsteadiness().isPresent());
  }

  Finding finding() {
    InUnits in = new InUnits(since.units());
    String sign =
        suspicion.kind() == Kind.LIKELY_SHORT_SIDE
            ? "The sign of a short side found at "
            : "The loss at high lift found at ";
    String where = in.lifts(suspicion.liftsM()) + " after " + broughtBy;
    String so =
        switch (stands()) {
          case GONE -> " is gone after " + now + ".";
          case STILL_THERE -> " is still there after " + now + ".";
          case CANNOT_TELL -> ": whether it is gone after " + now + " cannot be told yet.";
        };
    List<String> evidence = new ArrayList<>();
    for (Outcome outcome : Outcome.values()) {
      List<Double> at = since.lifts(outcome).stream().filter(suspicion.liftsM()::contains).toList();
      if (!at.isEmpty()) {
        evidence.add(
            "against the port before " + broughtBy + ": " + outcome.word() + " at " + since.at(at));
      }
    }
    return new Finding(
        Kind.SIGN_FOLLOWED_UP,
        sign + where + so,
        evidence,
        stands() == Stands.CANNOT_TELL
            ? "Repeat the test, or take these lifts again with longer averages."
            : "Keep the change note.",
        suspicion.liftsM());
  }
}
