package meniscus.recorder.report;

import java.util.List;
import java.util.Optional;
import meniscus.core.compare.Comparison;
import meniscus.core.compare.CurveSummary;
import meniscus.core.compare.Difference;
import meniscus.core.compare.LiftDifference;
import meniscus.core.compare.Outcome;
import meniscus.core.finding.InUnits;
import meniscus.core.lift.LiftPoint;
import meniscus.core.lift.Plan;

/** One page for a customer: curve, table, what was done, and how sure it is. */
public final class ShortSheet {

  private final Markup out = new Markup();
  private final TestRead newest;
  private final Plan plan;
  private final InUnits in;

  private ShortSheet(TestRead newest) {
    this.newest = newest;
    this.plan = newest.curve().plan();
    this.in = new InUnits(plan.units());
  }

  /**
   * @param tests one or more; not looked at where there is a comparison
   */
  public static String of(List<TestRead> tests, Optional<Report.Compared> compared) {
    List<TestRead> last = compared.map(Report.Compared::after).orElse(tests);
    ShortSheet sheet = new ShortSheet(last.get(last.size() - 1));
    sheet.write(tests, compared);
    return sheet.out.toString();
  }

  private void write(List<TestRead> tests, Optional<Report.Compared> compared) {
    String title = "Flow of " + Report.heading(plan.part(), true);
    Report.head(out, title);
    out.open("body", "class", "sheet").line();
    out.leaf("h1", title);
    String reference = plan.part().customerReference();
    out.leaf(
        "p",
        (reference.isBlank() ? "" : "Reference " + reference + " · ")
            + Report.capital(plan.port().word())
            + " port · tested "
            + newest.at().toString().substring(0, 10),
        "class",
        "quiet");
    out.leaf(
        "p",
        compared.map(c -> Sentences.whatChanged(c.comparison())).orElseGet(this::highest),
        "class",
        "answer");
    CurveChart.draw(
        out,
        compared
            .map(c -> Drawings.flow(c, List.of()))
            .orElseGet(() -> Drawings.flow(tests, List.of())));
    if (compared.isPresent()) {
      table(compared.get().comparison());
      out.leaf("p", Sentences.average(compared.get().comparison()));
    } else {
      table();
    }
    done();
    out.leaf("p", "Bench " + newest.bench().name() + "; " + ReferenceWords.of(plan) + ".");
    out.leaf(
        "p",
        compared.isPresent()
            ? "± is what decided: a gain or loss is only called where chance alone would call one,"
                + " at any lift, in at most 5 of 100 such comparisons."
            : "± is a 95 % interval: of 100 flows measured so, about 95 lie within theirs.");
    out.leaf(
        "p",
        "This is steady flow of cold air on a bench; what an engine makes of it also depends on the"
            + " rest of the engine, and the engine maker's limits stand above this sheet.",
        "class",
        "quiet");
    out.close().line().close().line();
  }

  private String highest() {
    return CurveSummary.of(newest.curve())
        .map(
            s ->
                "Highest flow "
                    + in.flowNumber(s.highestFlow().value(), s.highestFlow().u95())
                    + " ± "
                    + in.flow(s.highestFlow().u95(), s.highestFlow().u95())
                    + " at "
                    + in.lift(s.highestFlowLiftM())
                    + ".")
        .orElse("No flow of this test can be trusted.");
  }

  private void table(Comparison comparison) {
    head("lift", "before", "after", "change");
    for (LiftDifference lift : comparison.lifts()) {
      Difference d = lift.difference();
      boolean told = d.outcome() == Outcome.GAIN || d.outcome() == Outcome.LOSS;
      row(
          in.lift(lift.liftM()),
          in.flow(d.before(), d.decided().half()),
          in.flow(d.after(), d.decided().half()),
          told ? Sentences.withHalf(d) : d.outcome().word());
    }
    out.close().close().line();
  }

  private void table() {
    head("lift", "flow", "±");
    for (LiftPoint p : newest.curve().curve()) {
      double u95 = p.flowU95().orElse(0.01 * p.flowM3PerS());
      row(
          in.lift(p.liftM()),
          in.flow(p.flowM3PerS(), u95),
          p.flowU95().isPresent() ? in.flowNumber(u95, u95) : "unknown");
    }
    out.close().close().line();
  }

  private void done() {
    List<String> changes = ChangeWords.of(plan);
    out.leaf("h2", "What was done");
    if (changes.isEmpty()) {
      out.leaf("p", "Nothing is noted: measured as it came.");
      return;
    }
    out.open("ul");
    changes.forEach(change -> out.leaf("li", change));
    out.close().line();
  }

  private void head(String... names) {
    out.open("table").open("thead").open("tr");
    for (String name : names) {
      out.leaf("th", name, "class", "n");
    }
    out.close().close().open("tbody").line();
  }

  private void row(String... cells) {
    out.open("tr");
    for (String cell : cells) {
      out.leaf("td", cell, "class", "n");
    }
    out.close().line();
  }
}
