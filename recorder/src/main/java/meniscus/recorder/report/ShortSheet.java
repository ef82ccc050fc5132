package meniscus.recorder.report;

import java.time.Instant;
import java.util.Comparator;
import java.util.List;
import java.util.Optional;
import java.util.stream.Stream;
import meniscus.core.compare.Comparison;
import meniscus.core.compare.CurveSummary;
import meniscus.core.compare.Difference;
import meniscus.core.compare.LiftDifference;
import meniscus.core.compare.Outcome;
import meniscus.core.finding.InUnits;
import meniscus.core.lift.LiftPoint;
import meniscus.core.lift.Plan;
import meniscus.core.quantity.Digits;
import meniscus.core.quantity.Unit;

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
   * @param tests one or more; where there is a comparison, those in between say what was done
   */
  public static String of(List<TestRead> tests, Optional<Report.Compared> compared) {
    List<TestRead> last = compared.map(Report.Compared::after).orElse(tests);
    ShortSheet sheet = new ShortSheet(last.get(last.size() - 1));
    sheet.write(tests, compared);
    return sheet.out.toString();
  }

  private void write(List<TestRead> tests, Optional<Report.Compared> compared) {
    String title = "Flow of " + Report.heading(plan.part(), false);
    Report.head(out, title);
    out.open("body", "class", "sheet").line();
    out.leaf("h1", title);
    String reference = plan.part().customerReference();
    out.quiet(
        (reference.isBlank() ? "" : "Reference " + reference + " · ")
            + Report.capital(plan.port().word())
            + " port · "
            + (plan.part().valveJob().isBlank()
                ? ""
                : "valve job " + plan.part().valveJob() + " · ")
            + "tested "
            + newest.at().toString().substring(0, 10));
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
      table(tests);
    }
    done(compared.map(c -> since(c, tests)).orElse(List.of(newest)), compared.isPresent());
    out.leaf("p", "Bench: " + newest.bench().name() + "; " + ReferenceWords.of(plan) + ".");
    out.leaf(
        "p",
        compared.isPresent()
            ? "± is what decided: a gain or loss is only called where chance alone would call one,"
                + " at any lift, in at most 5 of 100 such comparisons."
            : "± is a 95 % interval: of 100 flows measured so, about 95 lie within theirs.");
    out.quiet(
        "This is steady flow of cold air on a bench; what an engine makes of it also depends on the"
            + " rest of the engine, and the engine maker's limits stand above this sheet.");
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
    out.table(List.of("lift", "before", "after", "difference"));
    for (LiftDifference lift : comparison.lifts()) {
      Difference d = lift.difference();
      boolean told = d.outcome() == Outcome.GAIN || d.outcome() == Outcome.LOSS;
      out.row(
          List.of(
              in.lift(lift.liftM()),
              in.flow(d.before(), d.decided().half()),
              in.flow(d.after(), d.decided().half()),
              told ? difference(d) + ", " + Sentences.withHalf(d) : d.outcome().word()));
    }
    out.endTable();
  }

  /** {@code +3.9 cfm}. */
  private String difference(Difference d) {
    Unit unit = plan.units().flow();
    double change = d.estimate().value() / unit.factor();
    return Digits.signed(change, d.decided().half() / unit.factor()) + " " + unit.symbol();
  }

  /** Every test that is drawn, at the lifts of the newest. */
  private void table(List<TestRead> tests) {
    Stream<String> names =
        tests.stream().map(test -> tests.size() == 1 ? "flow" : test.curve().name());
    out.table(Stream.concat(Stream.of("lift"), names).toList());
    for (LiftPoint point : newest.curve().curve()) {
      Stream<String> flows = tests.stream().map(test -> flow(test, point.liftM()));
      out.row(Stream.concat(Stream.of(in.lift(point.liftM())), flows).toList());
    }
    out.endTable();
  }

  /** {@code 181.2 ± 1.3 cfm}. */
  private String flow(TestRead test, double liftM) {
    return test.curve()
        .at(liftM)
        .map(
            p ->
                p.flowU95().isPresent()
                    ? in.flowNumber(p.flowM3PerS(), p.flowU95().getAsDouble())
                        + " ± "
                        + in.flow(p.flowU95().getAsDouble(), p.flowU95().getAsDouble())
                    : in.flow(p.flowM3PerS(), 0.01 * p.flowM3PerS()) + " ± unknown")
        .orElse("–");
  }

  /** The tests that were taken after the one before, the newest among them. */
  private List<TestRead> since(Report.Compared compared, List<TestRead> tests) {
    Instant before = compared.before().get(compared.before().size() - 1).at();
    return Stream.concat(tests.stream(), Stream.of(newest))
        .filter(test -> test.at().isAfter(before) && newest.samePort(test))
        .sorted(Comparator.comparing(TestRead::at))
        .toList();
  }

  private void done(List<TestRead> tests, boolean compared) {
    List<String> changes =
        tests.stream()
            .flatMap(test -> ChangeWords.of(test.curve().plan()).stream())
            .distinct()
            .toList();
    out.leaf("h2", "What was done");
    if (changes.isEmpty()) {
      out.leaf(
          "p",
          compared
              ? "What was changed between the two tests is not noted."
              : "Nothing is noted: measured as it came.");
      return;
    }
    out.open("ul");
    changes.forEach(change -> out.leaf("li", change));
    out.close().line();
    if (compared) {
      out.quiet("As noted with the later tests shown to this sheet.");
    }
  }
}
