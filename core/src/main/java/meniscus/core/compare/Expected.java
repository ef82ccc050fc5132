package meniscus.core.compare;

import java.util.ArrayList;
import java.util.List;
import meniscus.core.finding.Finding;
import meniscus.core.finding.Finding.Kind;
import meniscus.core.finding.InUnits;
import meniscus.core.lift.Plan;

/** What a change was expected to do, written before the test, held against its result. */
record Expected(Plan.ChangeNote change, Plan.Expectation expect, Comparison comparison) {

  /** How an expectation came out. */
  enum Came {
    TRUE,
    OTHERWISE,
    OPEN
  }

  static List<Finding> findings(Comparison comparison, Plan after) {
    InUnits in = new InUnits(comparison.units());
    return after.changes().stream()
        .flatMap(change -> change.expect().map(e -> new Expected(change, e, comparison)).stream())
        .map(expected -> expected.finding(in))
        .toList();
  }

  /** Otherwise when some lift says the opposite; true when one says it and none speaks against. */
  Came came() {
    Outcome wanted = wanted();
    boolean said = false;
    boolean open = false;
    for (LiftDifference lift : concerned()) {
      Outcome outcome = lift.outcome();
      boolean undecided = outcome == Outcome.CANNOT_TELL_YET;
      boolean against =
          wanted == Outcome.NO_REAL_CHANGE
              ? outcome == Outcome.GAIN || outcome == Outcome.LOSS
              : outcome == (wanted == Outcome.GAIN ? Outcome.LOSS : Outcome.GAIN);
      if (against) {
        return Came.OTHERWISE;
      }
      said |= outcome == wanted;
      open |= undecided;
    }
    if (wanted == Outcome.NO_REAL_CHANGE) {
      return open || !said ? Came.OPEN : Came.TRUE;
    }
    return said ? Came.TRUE : open ? Came.OPEN : Came.OTHERWISE;
  }

  private Outcome wanted() {
    return switch (expect.effect()) {
      case GAIN -> Outcome.GAIN;
      case LOSS -> Outcome.LOSS;
      case NONE -> Outcome.NO_REAL_CHANGE;
    };
  }

  private List<LiftDifference> concerned() {
    return comparison.lifts().stream()
        .filter(lift -> lift.liftM() >= expect.fromLiftM() - 1e-9)
        .toList();
  }

  private Finding finding(InUnits in) {
    String from = expect.fromLiftM() > 0 ? " from " + in.lift(expect.fromLiftM()) + " on" : "";
    String wanted =
        expect.effect() == Plan.Expectation.Effect.NONE
            ? "no change"
            : "a " + expect.effect().word();
    String so =
        switch (came()) {
          case TRUE -> "it came so.";
          case OTHERWISE -> "it came otherwise.";
          case OPEN -> "these tests cannot tell yet.";
        };
    List<String> evidence = new ArrayList<>();
    for (Outcome outcome : Outcome.values()) {
      List<Double> at =
          concerned().stream()
              .filter(lift -> lift.outcome() == outcome)
              .map(LiftDifference::liftM)
              .toList();
      if (!at.isEmpty()) {
        evidence.add(outcome.word() + " at " + in.lifts(at));
      }
    }
    return new Finding(
        Kind.EXPECTED,
        "Of \"" + change.what() + "\" " + wanted + " was expected" + from + ": " + so,
        evidence,
        came() == Came.OTHERWISE
            ? "Look for what else was changed, or for what was thought of the port that is not so."
            : "Keep the change note.",
        concerned().stream().map(LiftDifference::liftM).toList());
  }
}
