package meniscus.recorder.report;

import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import java.util.function.ToDoubleFunction;
import java.util.stream.DoubleStream;
import meniscus.core.compare.Comparison;
import meniscus.core.compare.Difference;
import meniscus.core.compare.GainTurnsToLoss;
import meniscus.core.compare.LiftDifference;
import meniscus.core.compare.Outcome;
import meniscus.core.compare.Stretch;
import meniscus.core.finding.InUnits;

/** The same words for terminal, JSON and paper. */
final class Sentences {

  /** More runs than this nobody takes of one head. Our own choice. */
  private static final int MOST_REPEATS = 5;

  private Sentences() {}

  /** What changed, and where: {@code Gains 2.00–4.00 mm, loses from 11.00 mm up.} */
  static String whatChanged(Comparison comparison) {
    InUnits in = new InUnits(comparison.units());
    List<Stretch> stretches = Stretch.of(comparison);
    if (stretches.size() == 1) {
      Stretch all = stretches.get(0);
      String lifts = in.spans(List.of(all.liftsM()));
      return switch (all.outcome()) {
        case GAIN -> "Gains at every lift, " + lifts + ".";
        case LOSS -> "Loses at every lift, " + lifts + ".";
        case NO_REAL_CHANGE -> "No real change at any lift, " + lifts + ".";
        case CANNOT_TELL_YET -> "Cannot tell yet at any lift, " + lifts + ".";
      };
    }
    List<String> claims = claims(stretches, in);
    List<String> rest = new ArrayList<>();
    for (Outcome outcome : List.of(Outcome.NO_REAL_CHANGE, Outcome.CANNOT_TELL_YET)) {
      List<List<Double>> where =
          stretches.stream().filter(s -> s.outcome() == outcome).map(Stretch::liftsM).toList();
      if (!where.isEmpty()) {
        rest.add(outcome.word() + " at " + in.spans(where));
      }
    }
    String said = claims.isEmpty() ? "No gain and no loss can be told" : String.join(", ", claims);
    String text = said + (rest.isEmpty() ? "" : "; " + String.join("; ", rest)) + ".";
    return Report.capital(text);
  }

  /** The same as the end of a sentence that goes on: {@code gains at 2.00–4.00 mm}. */
  static String clause(Comparison comparison) {
    String sentence = whatChanged(comparison);
    return sentence.substring(0, 1).toLowerCase(Locale.ROOT)
        + sentence.substring(1, sentence.length() - 1);
  }

  /** Gains and losses alone: {@code gains at 2.00–4.00 mm, loses from 11.00 mm up}. */
  static String claimed(Comparison comparison) {
    List<String> claims = claims(Stretch.of(comparison), new InUnits(comparison.units()));
    return switch (comparison.mean().outcome()) {
      case GAIN -> claims.isEmpty() ? "gains on the average of the lifts" : said(claims);
      case LOSS -> claims.isEmpty() ? "loses on the average of the lifts" : said(claims);
      case NO_REAL_CHANGE, CANNOT_TELL_YET -> said(claims);
    };
  }

  private static String said(List<String> claims) {
    return claims.isEmpty() ? "neither gains nor loses" : String.join(", ", claims);
  }

  /** Gains and losses in the order of lift; neighbours of one kind in one phrase. */
  private static List<String> claims(List<Stretch> stretches, InUnits in) {
    List<Stretch> told =
        stretches.stream()
            .filter(s -> s.outcome() == Outcome.GAIN || s.outcome() == Outcome.LOSS)
            .toList();
    List<String> claims = new ArrayList<>();
    for (int from = 0; from < told.size(); ) {
      Outcome outcome = told.get(from).outcome();
      List<List<Double>> where = new ArrayList<>();
      int to = from;
      while (to < told.size() && told.get(to).outcome() == outcome) {
        where.add(told.get(to++).liftsM());
      }
      String verb = outcome == Outcome.GAIN ? "gains" : "loses";
      Stretch last = told.get(to - 1);
      boolean upToTheTop =
          where.size() == 1
              && last.liftsM().size() > 1
              && last.equals(stretches.get(stretches.size() - 1));
      claims.add(
          upToTheTop
              ? verb + " from " + in.lift(last.liftsM().get(0)) + " up"
              : verb + " at " + in.spans(where));
      from = to;
    }
    return claims;
  }

  /** Where a gain turns to a loss; empty when none does. */
  static Optional<String> turn(Comparison comparison) {
    InUnits in = new InUnits(comparison.units());
    return GainTurnsToLoss.in(comparison)
        .map(
            turn ->
                "The gain turns to a loss near "
                    + in.lift(turn.liftM())
                    + " (between "
                    + in.lift(turn.lowM())
                    + " and "
                    + in.lift(turn.highM())
                    + ").");
  }

  /** The average of the lifts, called that: with other lifts it would be another number. */
  static String average(Comparison comparison) {
    Difference mean = comparison.mean();
    return "Average of these "
        + comparison.lifts().size()
        + " lifts (others would give another average): "
        + switch (mean.outcome()) {
          case GAIN, LOSS, CANNOT_TELL_YET -> mean.outcome().word() + ", " + detail(mean);
          case NO_REAL_CHANGE ->
              "no real change; it moved by less than "
                  + InUnits.percent(mean.margin() / mean.before());
        }
        + ".";
  }

  /** {@code between -0.8 % and +1.9 %}: the interval that decided. */
  static String interval(Difference d) {
    double half = d.relativeHalf();
    return "between "
        + InUnits.signedPercent(d.relative() - half, half)
        + " and "
        + InUnits.signedPercent(d.relative() + half, half);
  }

  /** {@code +6.4 % ± 1.2 %}: a difference with the interval that decided. */
  static String withHalf(Difference d) {
    return InUnits.signedPercent(d.relative(), d.relativeHalf())
        + " ± "
        + InUnits.half(d.relativeHalf());
  }

  /** What is said of one difference, without its outcome; no bare percentage inside the band. */
  static String detail(Difference d) {
    return switch (d.outcome()) {
      case GAIN, LOSS -> withHalf(d);
      case NO_REAL_CHANGE -> "less than " + InUnits.percent(d.margin() / d.before());
      case CANNOT_TELL_YET -> interval(d) + "; " + open(d);
    };
  }

  /** Why it cannot be told yet, or what would settle it. */
  private static String open(Difference d) {
    return switch (d.decided().withheld()) {
      case NO -> repeats(d);
      case SCATTER_UNKNOWN ->
          "not called, for how well a head can be put back on this bench is not known; "
              + repeats(d);
      case SET_UPS_DIFFER -> "not called, for the set-ups differ";
      case LIFT_ZERO_MAY_HAVE_MOVED -> "not called, for a moved dial zero would explain it";
      case LEAK_MAY_HAVE_CHANGED -> "not called, for a leak that changed would explain it";
      case POINT_IN_DOUBT -> "not called, for the valve may have moved";
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
