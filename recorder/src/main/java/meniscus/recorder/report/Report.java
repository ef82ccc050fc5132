package meniscus.recorder.report;

import java.nio.charset.StandardCharsets;
import java.util.ArrayList;
import java.util.Base64;
import java.util.Comparator;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.stream.Stream;
import meniscus.core.compare.Aims;
import meniscus.core.compare.Comparison;
import meniscus.core.compare.Difference;
import meniscus.core.compare.LiftDifference;
import meniscus.core.compare.Outcome;
import meniscus.core.compare.Question;
import meniscus.core.finding.Finding;
import meniscus.core.finding.InUnits;
import meniscus.core.finding.PressureSweep;
import meniscus.core.lift.LiftPoint;
import meniscus.core.lift.Plan;
import meniscus.core.lift.TestCurve;
import meniscus.core.refusal.Refusal;
import meniscus.drivers.hash.Sha256;

/**
 * The report for a customer: one HTML file that needs nothing else, no script, fit for A4 and
 * Letter.
 */
public final class Report {

  private static final String STYLE =
      """
      body{font:15px/1.45 system-ui,sans-serif;color:#1a1a1a;background:#fff;max-width:52rem;\
      margin:1.5rem auto;padding:0 1rem}
      h1{font-size:1.6rem;margin:0 0 .2rem}
      h2{font-size:1.15rem;margin:1.6rem 0 .4rem;border-bottom:1px solid #bbb;break-after:avoid}
      h3{font-size:1rem;margin:1rem 0 .2rem;break-after:avoid}
      p{margin:.4rem 0}
      .answer{font-size:1.15rem;border-left:5px solid #0072b2;padding:.3rem .8rem;margin:1rem 0}
      .quiet{color:#4a4a4a}
      .chart{width:100%;height:auto;display:block;break-inside:avoid}
      .chart text{font-size:13px;fill:#1a1a1a}
      table{border-collapse:collapse;width:100%;margin:.6rem 0;break-inside:avoid}
      th,td{text-align:left;padding:.25rem .5rem;border-bottom:1px solid #ccc;vertical-align:top}
      table.long{break-inside:auto}
      td.gain,td.loss,td.quiet{white-space:nowrap}
      th.n,td.n{text-align:right;font-variant-numeric:tabular-nums;white-space:nowrap}
      tr,.together,.finding{break-inside:avoid}
      .together.last{break-before:avoid}
      .cautions{font-size:.85em;columns:2;column-gap:2rem}
      .aside td{text-decoration:line-through}
      .aside td:last-child{text-decoration:none}
      .sheet{font-size:14px}
      .sheet td,.sheet th{padding:.12rem .5rem}
      .sheet thead th.n{white-space:normal}
      .sheet .beside{display:flex;flex-wrap:wrap;gap:0 2rem}
      .sheet .beside section{flex:1 1 11rem}
      .sheet .beside .answer{font-size:1em}
      ol{margin:.3rem 0;padding-left:1.6rem}
      thead{display:table-header-group}
      .gain{color:#00508a;font-weight:600}
      .loss{color:#a84300;font-weight:600}
      .finding{border:1px solid #bbb;padding:.4rem .8rem;margin:.6rem 0}
      .finding p{margin:.25rem 0}
      p,li{break-inside:avoid;orphans:3;widows:3}
      ul{margin:.3rem 0;padding-left:1.2rem}
      .tree li{break-inside:auto}
      .tree{list-style:none;padding-left:1rem;border-left:2px solid #bbb}
      figure{margin:.6rem 0}
      img{max-width:100%;max-height:110mm}
      td,p,li,h1{overflow-wrap:anywhere}
      @page{margin:14mm}
      @media print{body{margin:0;padding:0;max-width:none;font-size:10pt}\
      .chart{width:88%}.sheet{font-size:9pt}.sheet .chart{width:58%;margin:auto}\
      .sheet p{margin:.2rem 0}.sheet h2{margin:.6rem 0 .2rem}.sheet table{margin:.3rem 0}\
      .sheet th,.sheet td{padding:.08rem .5rem}h1{font-size:1.3rem}.answer{font-size:1.05rem}\
      th,td{padding:.18rem .5rem}.many{font-size:7.5pt}\
      .many td,.many th{padding:.04rem .12rem}.many .beside{gap:0 1rem}.finding{padding:.2rem .8rem;margin:.4rem 1px}}
      """;

  private final Markup out = new Markup();
  private final List<TestRead> all = new ArrayList<>();
  private final Extras extras;

  private Report(Extras extras) {
    this.extras = extras;
  }

  /**
   * @param tests shown by themselves; may be empty when there is a comparison
   */
  public static String of(List<TestRead> tests, Optional<Compared> compared) {
    return of(tests, compared, Extras.NONE);
  }

  /**
   * @param tests shown by themselves; may be empty when there is a comparison
   * @param extras what is shown beyond the usual
   */
  public static String of(List<TestRead> tests, Optional<Compared> compared, Extras extras) {
    Report report = new Report(extras);
    compared.ifPresent(
        c -> {
          report.all.addAll(c.before());
          report.all.addAll(c.after());
        });
    tests.stream()
        .filter(
            t ->
                report.all.stream().noneMatch(o -> o.folder().folder().equals(t.folder().folder())))
        .forEach(report.all::add);
    report.write(compared);
    return report.out.toString();
  }

  /** Tests of both sides with their comparison. */
  public record Compared(List<TestRead> before, List<TestRead> after, Comparison comparison) {

    /**
     * @throws Refusal when no lift can be compared
     */
    public static Compared of(List<TestRead> before, List<TestRead> after, Question question) {
      return new Compared(
          before,
          after,
          Comparison.of(
              before.stream().map(TestRead::curve).toList(),
              after.stream().map(TestRead::curve).toList(),
              question));
    }

    /** The newest of several tests of one port against the earliest; empty for any others. */
    public static Optional<Compared> ofOnePort(List<TestRead> tests, Question question) {
      List<TestRead> taken = tests.stream().sorted(Comparator.comparing(TestRead::at)).toList();
      int size = taken.size();
      return size > 1 && taken.stream().allMatch(taken.get(0)::samePort)
          ? Optional.of(of(taken.subList(0, 1), taken.subList(size - 1, size), question))
          : Optional.empty();
    }
  }

  private void write(Optional<Compared> compared) {
    Plan.Part part = newest().plan().part();
    head(out, "Flow report: " + heading(part, true));
    out.open("body").line();
    out.leaf("h1", "Flow report: " + heading(part, true));
    ReportDetails details = new ReportDetails(out, all, extras);
    details.underTheTitle();
    if (compared.isPresent()) {
      change(compared.get());
    } else {
      tests();
    }
    extras.elsewhere().forEach(curve -> ExternalCurveSection.write(out, curve, newest()));
    extras.aims().ifPresent(this::aims);
    UnsteadinessStrip.draw(out, all.stream().map(TestRead::curve).toList());
    BesideSection.write(out, all);
    findings(
        compared
            .map(c -> c.comparison().findings())
            .orElseGet(() -> TestFindings.of(all.stream().map(TestRead::curve).toList())));
    details.write(compared);
    out.close().line().close().line();
  }

  /** Everything before the body: one style, allowed by its hash, and nothing else. */
  static void head(Markup out, String title) {
    out.ours("<!DOCTYPE html>\n");
    out.open("html", "lang", "en").open("head").line();
    out.empty("meta", "charset", "utf-8").line();
    out.empty(
            "meta",
            "http-equiv",
            "Content-Security-Policy",
            "content",
            "default-src 'none'; img-src data:; style-src '" + hash(STYLE) + "'")
        .line();
    out.empty("meta", "name", "viewport", "content", "width=device-width, initial-scale=1").line();
    out.leaf("title", title).line();
    out.open("style").ours(STYLE).close().line().close().line();
  }

  static String heading(Plan.Part part, boolean valveJob) {
    return Stream.of(part.head(), part.chamber(), part.port(), valveJob ? part.valveJob() : "")
        .filter(text -> !text.isBlank())
        .reduce((one, other) -> one + ", " + other)
        .orElse("a port");
  }

  private void change(Compared compared) {
    Comparison comparison = compared.comparison();
    InUnits in = new InUnits(comparison.units());
    out.open("div", "class", "answer");
    out.leaf("p", Sentences.whatChanged(comparison));
    Sentences.turn(comparison).ifPresent(line -> out.leaf("p", line));
    out.close().line();
    CurveChart.draw(out, Drawings.flow(compared, elsewhere()));
    CurveChart.draw(out, Drawings.change(comparison));
    out.quiet(
        "Bars: the interval that decided each outcome, with all lifts and their average asked at"
            + " once. Grey: a change that stays within it is no real change. "
            + Sentences.decidable(comparison));
    out.leaf("h2", "Lift by lift");
    out.open("table").open("thead").open("tr");
    out.numbers("th", List.of("lift", "before", "after"));
    out.leaf("th", "outcome").leaf("th", "difference").close().close().open("tbody").line();
    for (LiftDifference lift : comparison.lifts()) {
      Difference d = lift.difference();
      double u95 = d.decided().half();
      out.open("tr");
      out.numbers(
          "td", List.of(in.lift(lift.liftM()), in.flow(d.before(), u95), in.flow(d.after(), u95)));
      out.leaf("td", sign(d.outcome()) + " " + d.outcome().word(), "class", style(d.outcome()));
      out.leaf("td", Sentences.detail(d) + (lift.interpolated() ? " (interpolated)" : ""));
      out.close().line();
    }
    for (Comparison.LeftOut left : comparison.left()) {
      out.open("tr");
      out.numbers(
          "td", List.of(in.lift(left.liftM()), said(in, left.before()), said(in, left.after())));
      out.leaf("td", sign(Outcome.CANNOT_TELL_YET) + " " + Outcome.CANNOT_TELL_YET.word());
      out.leaf("td", left.reason()).close().line();
    }
    out.close().close().line();
    out.leaf("p", Sentences.average(comparison));
  }

  private List<CurveChart.Curve> elsewhere() {
    return extras.elsewhere().stream()
        .map(curve -> ExternalCurveSection.drawn(curve, newest()))
        .toList();
  }

  private TestCurve newest() {
    return all.get(all.size() - 1).curve();
  }

  /** Tests by themselves, without a comparison. */
  private void tests() {
    CurveChart.draw(out, Drawings.flow(all, elsewhere()));
    out.quiet("Bars: 95 % interval of each flow.");
    for (TestRead test : all) {
      table(test.curve());
    }
  }

  private void table(TestCurve test) {
    InUnits in = new InUnits(test.plan().units());
    out.leaf("h2", "Test " + test.name());
    out.open("table").open("thead").open("tr");
    out.numbers("th", List.of("lift", "flow", "±", "test pressure"));
    out.leaf("th", "air").close().close().open("tbody").line();
    for (LiftPoint p : test.shown()) {
      double u95 = p.flowU95().orElse(0.01 * p.flowM3PerS());
      if (p.isSetAside()) {
        out.open("tr", "class", "aside");
      } else {
        out.open("tr");
      }
      out.numbers(
          "td",
          List.of(
              in.lift(p.liftM()),
              in.flow(p.flowM3PerS(), u95),
              p.flowU95().isPresent() ? in.flowNumber(u95, u95) : "unknown",
              in.pressure(p.testPressurePa())));
      out.leaf("td", air(test, p));
      out.close().line();
    }
    out.close().close().line();
  }

  private static String air(TestCurve test, LiftPoint p) {
    if (p.isSetAside()) {
      return p.setAsideBecause();
    }
    return p.verdict().word()
        + (p.pressureAsAsked() ? "" : "; test pressure not reached")
        + (PressureSweep.valveMoves(test.plan(), p) ? "; the valve may have moved" : "");
  }

  private void aims(Aims aims) {
    out.open("div", "class", "together");
    out.leaf("h2", AimWords.heading(aims) + ", against " + newest().name()).open("ul");
    AimWords.of(aims, newest()).forEach(line -> out.leaf("li", line));
    out.close().close().line();
  }

  private void findings(List<Finding> findings) {
    if (findings.isEmpty()) {
      return;
    }
    out.leaf("h2", "What else was found");
    for (Finding finding : findings) {
      out.open("div", "class", "finding");
      out.leaf("h3", capital(finding.kind().word()));
      out.leaf("p", finding.sentence());
      if (!finding.evidence().isEmpty()) {
        out.open("ul");
        finding.evidence().forEach(evidence -> out.leaf("li", evidence));
        out.close();
      }
      out.leaf("p", "Next: " + finding.nextStep());
      out.close().line();
    }
  }

  private static String said(InUnits in, OptionalDouble flow) {
    return flow.isPresent() ? in.flow(flow.getAsDouble(), 0.002 * flow.getAsDouble()) : "–";
  }

  private static String sign(Outcome outcome) {
    return switch (outcome) {
      case GAIN -> "▲";
      case LOSS -> "▼";
      case NO_REAL_CHANGE -> "=";
      case CANNOT_TELL_YET -> "?";
    };
  }

  private static String style(Outcome outcome) {
    return switch (outcome) {
      case GAIN -> "gain";
      case LOSS -> "loss";
      default -> "quiet";
    };
  }

  static String capital(String sentence) {
    return sentence.isEmpty()
        ? sentence
        : sentence.substring(0, 1).toUpperCase(Locale.ROOT) + sentence.substring(1);
  }

  private static String hash(String style) {
    byte[] hash = new Sha256().add(style.getBytes(StandardCharsets.UTF_8)).bytes();
    return "sha256-" + Base64.getEncoder().encodeToString(hash);
  }
}
