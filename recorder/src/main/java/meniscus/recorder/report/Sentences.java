package meniscus.recorder.report;

import java.util.ArrayList;
import java.util.List;
import java.util.function.ToDoubleFunction;
import java.util.stream.DoubleStream;
import meniscus.core.compare.Comparison;
import meniscus.core.compare.Difference;
import meniscus.core.compare.GainTurnsToLoss;
import meniscus.core.compare.LiftDifference;
import meniscus.core.compare.Outcome;
import meniscus.core.finding.InUnits;

/** The same words for terminal, JSON and paper. */
final class Sentences {

  /** More runs than this nobody takes of one head. Our own choice. */
  private static final int MOST_REPEATS = 5;

  private Sentences() {}

  /** The answer for the whole curve. */
  static String wholeCurve(Comparison comparison) {
    Difference mean = comparison.mean();
    String half = InUnits.percent(mean.estimate().u95() / mean.before());
    String what = "Mean flow over " + comparison.lifts().size() + " lifts: ";
    return switch (mean.outcome()) {
      case GAIN, LOSS ->
          what
              + mean.outcome().word()
              + ", "
              + InUnits.signedPercent(mean.relative())
              + " ± "
              + half
              + ".";
      case NO_REAL_CHANGE ->
          what
              + "no real change; it moved by less than "
              + InUnits.percent(mean.margin() / mean.before())
              + ".";
      case CANNOT_TELL_YET ->
          what
              + "cannot tell yet; the difference lies "
              + interval(mean)
              + "; "
              + repeats(mean)
              + ".";
    };
  }

  /** {@code between -0.8 % and +1.9 %}. */
  static String interval(Difference d) {
    double half = d.estimate().u95();
    return "between "
        + InUnits.signedPercent((d.estimate().value() - half) / d.before())
        + " and "
        + InUnits.signedPercent((d.estimate().value() + half) / d.before());
  }

  /** What is said of one difference, without its outcome; no bare percentage inside the band. */
  static String detail(Difference d) {
    String half = InUnits.percent(d.estimate().u95() / d.before());
    return switch (d.outcome()) {
      case GAIN, LOSS -> InUnits.signedPercent(d.relative()) + " ± " + half;
      case NO_REAL_CHANGE -> "less than " + InUnits.percent(d.margin() / d.before());
      case CANNOT_TELL_YET -> interval(d) + "; " + repeats(d);
    };
  }

  static String repeats(Difference d) {
    if (d.repeatsNeeded().isEmpty()) {
      return "repeats alone would not settle it";
    }
    int more = d.repeatsNeeded().getAsInt();
    if (more > MOST_REPEATS) {
      return "repeats will not settle it on this bench: a wider margin, a longer average or a finer"
          + " lift gauge might";
    }
    return more + (more == 1 ? " more run" : " more runs") + " of each side to settle it";
  }

  /** One line an outcome: {@code gain at 2.00, 3.00 and 4.00 mm}. */
  static List<String> byOutcome(Comparison comparison) {
    InUnits in = new InUnits(comparison.units());
    List<String> lines = new ArrayList<>();
    for (Outcome outcome : Outcome.values()) {
      List<Double> lifts = comparison.lifts(outcome);
      if (!lifts.isEmpty()) {
        lines.add(outcome.word() + " at " + in.lifts(lifts));
      }
    }
    GainTurnsToLoss.in(comparison)
        .ifPresent(
            turn ->
                lines.add(
                    "the gain turns to a loss near "
                        + in.lift(turn.liftM())
                        + " (between "
                        + in.lift(turn.lowM())
                        + " and "
                        + in.lift(turn.highM())
                        + ")"));
    return lines;
  }

  /** The smallest change that this comparison can decide, and the margin. */
  static String decidable(Comparison comparison) {
    String margin =
        comparison.question().margin().isPresent()
            ? InUnits.percent(comparison.question().margin().getAsDouble()) + ", as was asked"
            : range(comparison, Difference::margin);
    return "The smallest change that these tests can decide is "
        + range(comparison, Difference::decidable)
        + "; \"no real change\" means a change of less than "
        + margin
        + ".";
  }

  /** {@code 1.6 % to 2.0 % (lift by lift)}. */
  private static String range(Comparison comparison, ToDoubleFunction<Difference> width) {
    double[] shares =
        comparison.lifts().stream()
            .map(LiftDifference::difference)
            .mapToDouble(d -> width.applyAsDouble(d) / d.before())
            .toArray();
    String low = InUnits.percent(DoubleStream.of(shares).min().orElse(0));
    String high = InUnits.percent(DoubleStream.of(shares).max().orElse(0));
    return low.equals(high) ? low : low + " to " + high + " (lift by lift)";
  }
}
