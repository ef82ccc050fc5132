package meniscus.core.compare;

import java.util.ArrayList;
import java.util.List;
import meniscus.core.finding.Finding;
import meniscus.core.finding.Finding.Kind;
import meniscus.core.finding.InUnits;
import meniscus.core.lift.Plan;

/**
 * What a change was expected to do, written before the test, held against its result.
 *
 * @param comparison of the port before the change with the port after it
 */
public record Expected(Plan.ChangeNote change, Plan.Expectation expect, Comparison comparison) {

  /** How an expectation came out. */
  public enum Came {
    TRUE("as expected"),
    OTHERWISE("otherwise"),
    OPEN("cannot tell yet");

    private final String word;

    Came(String word) {
      this.word = word;
    }

    public String word() {
      return word;
    }
  }

  /** Of every change that says what is expected of it. */
  public static List<Expected> of(Comparison comparison, List<Plan.ChangeNote> changes) {
    return changes.stream()
        .flatMap(change -> change.expect().map(e -> new Expected(change, e, comparison)).stream())
        .toList();
  }

  static List<Finding> findings(Comparison comparison, Plan after) {
    InUnits in = new InUnits(comparison.units());
    return of(comparison, after.changes()).stream().map(expected -> expected.finding(in)).toList();
  }

  /** Otherwise when some lift says the opposite; true when one says it and none speaks against. */
  public Came came() {
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

  /** {@code a gain from 0.300 in up}. */
  public String wanted(InUnits in) {
    return wanted(expect, in);
  }

  /** The same before there is a result. */
  public static String wanted(Plan.Expectation expect, InUnits in) {
    return (expect.effect() == Plan.Expectation.Effect.NONE
            ? "no change"
            : "a " + expect.effect().word())
        + (expect.fromLiftM() > 0 ? " from " + in.lift(expect.fromLiftM()) + " up" : "");
  }

  private Finding finding(InUnits in) {
    String so =
        switch (came()) {
          case TRUE -> "it did.";
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
        evidence.add(outcome.word() + " at " + comparison.at(at));
      }
    }
    return new Finding(
        Kind.EXPECTED,
        "\"" + change.what() + "\" was expected to bring " + wanted(in) + ": " + so,
        evidence,
        switch (came()) {
          case TRUE -> "Keep the change note.";
          case OTHERWISE ->
              "Ask what else was changed, or what was believed of this port that is not true.";
          case OPEN -> "Repeat both sides, each with the head taken off and put back.";
        },
        concerned().stream().map(LiftDifference::liftM).toList());
  }
}
