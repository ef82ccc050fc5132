package meniscus.recorder.report;

import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import java.util.Optional;
import meniscus.core.compare.Comparison;
import meniscus.core.compare.CurveSummary;
import meniscus.core.compare.Difference;
import meniscus.core.compare.LiftDifference;
import meniscus.core.compare.Outcome;
import meniscus.core.decide.Estimate;
import meniscus.core.finding.InUnits;
import meniscus.core.lift.Plan;

/**
 * The result in letters that are read from across a room, 16 by 9, for a screen or a film. Says no
 * more than the report does: each number with its interval.
 */
final class ResultCard {

  private static final int WIDE = 1920;
  private static final int TALL = 1080;
  private static final int LEFT = 110;
  private static final int GAP = 50;
  private static final int MOST_SIZE = 76;

  /** Mean width of a letter of DejaVu Sans, the widest usual font, of its size; measured. */
  private static final double PLAIN_EM = 0.58;

  private static final double BOLD_EM = 0.68;

  /** A number with what it is. */
  private record Big(String what, String number) {}

  private final Markup out = new Markup();

  private ResultCard() {}

  static String of(TestRead newest, Optional<Comparison> compared) {
    ResultCard card = new ResultCard();
    Plan plan = newest.curve().plan();
    InUnits in = new InUnits(plan.units());
    card.begin(Report.heading(plan.part(), false));
    String part = Report.heading(plan.part(), false);
    card.text(part, fitting(part, 56, WIDE - 2 * LEFT, PLAIN_EM), 130, "#4a4a4a", false);
    int y = 250;
    String said =
        compared.map(Sentences::whatChanged).orElseGet(() -> "Flow at " + pressure(plan, in));
    int size = headline(said);
    for (String line : wrapped(said, size)) {
      card.text(line, size, y, "#1a1a1a", true);
      y += 13 * size / 10;
    }
    int number = 1080 - 420;
    List<Big> bigs = compared.map(c -> changes(c, in)).orElseGet(() -> flows(newest, in));
    int wide = (WIDE - 2 * LEFT) / Math.max(1, bigs.size());
    int numberSize = MOST_SIZE;
    int whatSize = 40;
    for (Big big : bigs) {
      numberSize = Math.min(numberSize, fitting(big.number, MOST_SIZE, wide - GAP, BOLD_EM));
      whatSize = Math.min(whatSize, fitting(big.what, 40, wide - GAP, PLAIN_EM));
    }
    for (int i = 0; i < bigs.size(); i++) {
      card.at(bigs.get(i).number, LEFT + i * wide, numberSize, number, "#0072b2", true);
      card.at(bigs.get(i).what, LEFT + i * wide, whatSize, number + 64, "#4a4a4a", false);
    }
    card.text(
        Report.capital(plan.port().word())
            + " port at "
            + pressure(plan, in)
            + ", bench "
            + newest.bench().name()
            + ", "
            + newest.at().toString().substring(0, 10),
        36,
        TALL - 130,
        "#4a4a4a",
        false);
    card.text(
        compared.isPresent()
            ? "± decides: chance alone calls a gain or loss in at most 5 of 100 such comparisons"
            : "±: 95 % interval",
        36,
        TALL - 76,
        "#4a4a4a",
        false);
    return card.out.close().line().toString();
  }

  private static String pressure(Plan plan, InUnits in) {
    return in.pressure(plan.reference().testPressurePa());
  }

  /** The largest gain, the largest loss, the average; what is not told is left out. */
  private static List<Big> changes(Comparison comparison, InUnits in) {
    List<Big> bigs = new ArrayList<>();
    for (Outcome outcome : List.of(Outcome.GAIN, Outcome.LOSS)) {
      comparison.lifts().stream()
          .filter(lift -> lift.outcome() == outcome)
          .max(Comparator.comparingDouble(l -> Math.abs(l.difference().relative())))
          .map(LiftDifference.class::cast)
          .ifPresent(
              lift ->
                  bigs.add(
                      new Big(
                          "largest " + outcome.word() + ", at " + in.lift(lift.liftM()),
                          Sentences.withHalf(lift.difference()))));
    }
    Difference mean = comparison.mean();
    boolean told = mean.outcome() == Outcome.GAIN || mean.outcome() == Outcome.LOSS;
    bigs.add(
        new Big(
            "average of " + comparison.lifts().size() + " lifts",
            told ? Sentences.withHalf(mean) : mean.outcome().word()));
    return bigs;
  }

  private static List<Big> flows(TestRead test, InUnits in) {
    return CurveSummary.of(test.curve())
        .map(
            s ->
                List.of(
                    new Big(
                        "highest, at " + in.lift(s.highestFlowLiftM()), flow(s.highestFlow(), in)),
                    new Big("average of the lifts", flow(s.meanFlow(), in))))
        .orElse(List.of());
  }

  private static String flow(Estimate e, InUnits in) {
    return in.flowNumber(e.value(), e.u95()) + " ± " + in.flow(e.u95(), e.u95());
  }

  /** The largest size in which a text stays on its line. */
  private static int fitting(String text, int most, int wide, double em) {
    return Math.min(most, (int) (wide / (em * Math.max(1, text.length()))));
  }

  /** The largest size in which a sentence takes four lines at the most. */
  private static int headline(String text) {
    int size = 68;
    while (size > 24 && wrapped(text, size).size() > 4) {
      size -= 4;
    }
    return size;
  }

  private static List<String> wrapped(String text, int size) {
    int letters = (int) ((WIDE - 2 * LEFT) / (BOLD_EM * size));
    List<String> lines = new ArrayList<>();
    StringBuilder line = new StringBuilder();
    for (String word : text.split(" ")) {
      if (line.length() > 0 && line.length() + 1 + word.length() > letters) {
        lines.add(line.toString());
        line.setLength(0);
      }
      line.append(line.length() == 0 ? "" : " ").append(word);
    }
    lines.add(line.toString());
    return lines;
  }

  private void begin(String title) {
    out.open(
        "svg",
        "xmlns",
        "http://www.w3.org/2000/svg",
        "width",
        WIDE + "",
        "height",
        TALL + "",
        "viewBox",
        "0 0 " + WIDE + " " + TALL,
        "font-family",
        "sans-serif",
        "role",
        "img",
        "aria-label",
        title);
    out.empty(
        "rect", "x", "0", "y", "0", "width", WIDE + "", "height", TALL + "", "fill", "#ffffff",
        "stroke", "none");
    out.empty(
        "rect", "x", "0", "y", "0", "width", "28", "height", TALL + "", "fill", "#0072b2", "stroke",
        "none");
  }

  private void text(String text, int size, int y, String fill, boolean bold) {
    at(text, LEFT, size, y, fill, bold);
  }

  private void at(String text, int x, int size, int y, String fill, boolean bold) {
    out.leaf(
        "text",
        text,
        "x",
        x + "",
        "y",
        y + "",
        "font-size",
        size + "",
        "fill",
        fill,
        "font-weight",
        bold ? "bold" : "normal");
  }
}
