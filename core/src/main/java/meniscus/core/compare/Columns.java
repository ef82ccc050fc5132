package meniscus.core.compare;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Optional;
import java.util.OptionalInt;
import meniscus.core.compare.Decided.Withheld;
import meniscus.core.decide.Estimate;
import meniscus.core.decide.Estimate.Part;
import meniscus.core.decide.Holm;
import meniscus.core.uncertainty.Budget;
import meniscus.core.uncertainty.Contribution;
import meniscus.core.uncertainty.Contribution.Kind;
import meniscus.core.uncertainty.Coverage;

/**
 * The differences of two sides, column by column, and what is said of each.
 *
 * <p>Gains and losses: two-sided t tests under Holm over all lifts and the mean, so that one false
 * gain or loss or more comes with a chance of 5 %. No real change: two one-sided tests against the
 * margin, under Holm as well. Where both hold, a margin that was asked for decides: a change too
 * small to matter is no real change.
 */
record Columns(List<Run> before, List<Run> after, Optional<Scatter> scatter, Question question) {

  /** Re-fixing scatter taken for counting repeats where none is known (a guess, no source). */
  static final double GUESSED_SCATTER = 0.005;

  private static final int MOST_REPEATS = 500; // more than anybody takes: "no number would do"

  /** Every column, the mean last. */
  List<Difference> decided(boolean mayBeCompared) {
    int size = before.get(0).columns();
    double[] left = Deviations.mean(before);
    double[] right = Deviations.mean(after);
    List<Estimate> estimates = new ArrayList<>();
    double[] decidable = new double[size];
    double[] margins = new double[size];
    double[] change = new double[size];
    double[] equal = new double[size];
    for (int c = 0; c < size; c++) {
      Estimate estimate = Estimate.of(right[c] - left[c], parts(c, 0));
      estimates.add(estimate);
      decidable[c] = decidable(estimate);
      margins[c] =
          question.margin().isPresent()
              ? question.margin().getAsDouble() * left[c]
              : Math.min(decidable[c], Question.MOST_RESOLUTIONS * question.resolution() * left[c]);
      change[c] = estimate.pOfZero();
      equal[c] = estimate.pOfMarginOrMore(margins[c]);
    }
    double[] changeLevel = Holm.levels(change, question.falseClaim());
    double[] equalLevel = Holm.levels(equal, question.falseClaim());
    Withheld withheld =
        !mayBeCompared
            ? Withheld.SET_UPS_DIFFER
            : scatter.isEmpty() ? Withheld.SCATTER_UNKNOWN : Withheld.NO;
    List<Difference> decided = new ArrayList<>();
    for (int c = 0; c < size; c++) {
      Estimate estimate = estimates.get(c);
      boolean changed = change[c] <= changeLevel[c];
      boolean same = equal[c] <= equalLevel[c];
      Outcome outcome =
          withheld == Withheld.NO
              ? outcome(changed, same, estimate.value())
              : Outcome.CANNOT_TELL_YET;
      decided.add(
          new Difference(
              left[c],
              right[c],
              estimate,
              scatter.isPresent(),
              decidable[c],
              margins[c],
              new Decided(
                  outcome,
                  // Two one-sided tests at a level are the interval of twice that level.
                  estimate.halfWidth(
                      outcome == Outcome.NO_REAL_CHANGE ? 2 * equalLevel[c] : changeLevel[c]),
                  withheld,
                  outcome == Outcome.CANNOT_TELL_YET
                      ? repeatsNeeded(c, left[c])
                      : OptionalInt.of(0))));
    }
    return decided;
  }

  private Outcome outcome(boolean changed, boolean same, double difference) {
    if (same && (question.margin().isPresent() || !changed)) {
      return Outcome.NO_REAL_CHANGE;
    }
    if (!changed) {
      return Outcome.CANNOT_TELL_YET;
    }
    return difference > 0 ? Outcome.GAIN : Outcome.LOSS;
  }

  /**
   * The smallest difference that can be decided both ways at the first step of Holm: found with a
   * power of 80 % when it is there, and ruled out with a power of 80 % when there is none.
   */
  private double decidable(Estimate e) {
    double share = question.falseClaim() / before.get(0).columns();
    double found =
        quantile(1 - share / 2, e.degreesOfFreedom())
            + quantile(Question.POWER, e.degreesOfFreedom());
    double ruledOut =
        quantile(1 - share, e.degreesOfFreedom())
            + quantile(0.5 + Question.POWER / 2, e.degreesOfFreedom());
    return Math.max(found, ruledOut) * e.standardUncertainty();
  }

  private static double quantile(double level, double degreesOfFreedom) {
    return Coverage.factor(2 * level - 1, degreesOfFreedom);
  }

  /** Further runs of each side until the asked resolution would be found with a power of 80 %. */
  private OptionalInt repeatsNeeded(int column, double flowBefore) {
    double resolution = question.margin().orElse(question.resolution()) * flowBefore;
    if (!resolves(column, MOST_REPEATS, resolution)) {
      return OptionalInt.empty();
    }
    int short_ = 0;
    int enough = MOST_REPEATS;
    while (enough - short_ > 1) {
      int middle = (enough + short_) / 2;
      if (resolves(column, middle, resolution)) {
        enough = middle;
      } else {
        short_ = middle;
      }
    }
    return OptionalInt.of(enough);
  }

  private boolean resolves(int column, int furtherRuns, double resolution) {
    Estimate estimate = Estimate.of(0, parts(column, furtherRuns));
    double share = question.falseClaim() / before.get(0).columns();
    double factor =
        quantile(1 - share / 2, estimate.degreesOfFreedom())
            + quantile(Question.POWER, estimate.degreesOfFreedom());
    return factor * estimate.standardUncertainty() <= resolution;
  }

  /** Variances of a column's difference, as it is or with further runs of each side. */
  private List<Part> parts(int column, int furtherRuns) {
    List<Part> parts = new ArrayList<>();
    boolean guess = scatter.isEmpty() && furtherRuns > 0;
    Budget shared =
        difference(
            column,
            scatter.isPresent() || guess ? List.of(Kind.SYSTEMATIC) : List.of(Kind.values()));
    parts.add(
        new Part(
            shared.standardUncertainty() * shared.standardUncertainty(),
            shared.effectiveDegreesOfFreedom()));
    int runsBefore = before.size() + furtherRuns;
    int runsAfter = after.size() + furtherRuns;
    if (scatter.isPresent()) {
      parts.addAll(scatter.get().ofDifference(column, runsBefore, runsAfter, furtherRuns));
    } else if (guess) {
      double guessed = GUESSED_SCATTER * before.get(0).values()[column];
      parts.add(
          new Part(
              guessed * guessed * (1.0 / runsBefore + 1.0 / runsAfter),
              runsBefore + runsAfter - 2.0));
    }
    return parts;
  }

  /** Errors of the given kinds in after less before, shared ones cancelling as far as they do. */
  private Budget difference(int column, List<Kind> kinds) {
    List<Contribution> all = new ArrayList<>();
    for (List<Run> side : Arrays.asList(before, after)) {
      double weight = (side == after ? 1.0 : -1.0) / side.size();
      for (Run run : side) {
        all.addAll(
            run.budgets()
                .get(column)
                .only(c -> kinds.contains(c.kind()))
                .times(weight)
                .contributions());
      }
    }
    return new Budget(all);
  }
}
