package meniscus.recorder.report;

import java.util.ArrayList;
import java.util.Comparator;
import java.util.DoubleSummaryStatistics;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import meniscus.core.compare.Comparison;
import meniscus.core.compare.FlowAtLift;
import meniscus.core.compare.LiftDifference;
import meniscus.core.compare.Outcome;
import meniscus.core.compare.PortsBeside;
import meniscus.core.compare.Question;
import meniscus.core.finding.InUnits;
import meniscus.core.lift.LiftPoint;
import meniscus.core.lift.Plan;
import meniscus.core.lift.PortKind;
import meniscus.core.refusal.Refusal;

/** One page for a head: its ports beside each other, lift by lift, as they are now. */
public final class HeadSheet {

  /** More ports than this are written smaller. */
  private static final int WELL_ON_A_PAGE = 6;

  private final Markup out = new Markup();
  private final Question question;

  private HeadSheet(Question question) {
    this.question = question;
  }

  /** A port as it is now: the newest test, and its repeats. */
  private record PortNow(String name, List<TestRead> tests) {

    TestRead newest() {
      return tests.get(tests.size() - 1);
    }

    Plan plan() {
      return newest().curve().plan();
    }

    Optional<FlowAtLift> flow(double liftM) {
      return FlowAtLift.of(tests.stream().map(TestRead::curve).toList(), liftM, newest().curve());
    }

    /** Its half-width is the mean of theirs: most of it is common to all lifts. */
    FlowAtLift averaged(List<Double> liftsM) {
      List<FlowAtLift> flows = liftsM.stream().map(lift -> flow(lift).orElseThrow()).toList();
      return new FlowAtLift(
          flows.stream().mapToDouble(FlowAtLift::flowM3PerS).average().orElseThrow(),
          flows.stream().mapToDouble(FlowAtLift::halfM3PerS).average().orElseThrow());
    }

    double average(List<Double> liftsM) {
      return averaged(liftsM).flowM3PerS();
    }
  }

  /**
   * @param tests of the head; of a port that was changed the tests since its last change count
   * @throws Refusal when tests are of several heads
   */
  public static String of(List<TestRead> tests, Question question) {
    List<String> heads =
        tests.stream().map(t -> t.curve().plan().part().head()).distinct().toList();
    if (heads.size() > 1) {
      throw new Refusal(
          "a head sheet is of one head, and these tests are of "
              + String.join(" and ", heads)
              + ": choose one with --part");
    }
    HeadSheet sheet = new HeadSheet(question);
    sheet.write(heads.get(0), tests);
    return sheet.out.toString();
  }

  private void write(String head, List<TestRead> tests) {
    Report.head(out, "Head sheet: " + head);
    long ports =
        tests.stream().map(test -> name(test) + test.curve().plan().port()).distinct().count();
    out.open("body", "class", ports > WELL_ON_A_PAGE ? "sheet many" : "sheet").line();
    out.leaf("h1", "Head sheet: " + head);
    TestRead newest = tests.stream().max(Comparator.comparing(TestRead::at)).orElseThrow();
    out.quiet(underTitle(newest));
    Map<PortKind, List<PortNow>> byKind = new LinkedHashMap<>();
    out.open("div", "class", "beside").line();
    for (PortKind kind : PortKind.values()) {
      List<PortNow> ofKind = ports(tests, kind);
      if (!ofKind.isEmpty()) {
        byKind.put(kind, ofKind);
        kind(kind, ofKind);
      }
    }
    out.close().line();
    ExhaustToIntake ratios = ExhaustToIntake.of(inTime(tests));
    if (!ratios.said().isEmpty()) {
      out.leaf("p", "Exhaust to intake: " + String.join("; ", ratios.said()) + ".");
    }
    List<PortNow> now = byKind.values().stream().flatMap(List::stream).toList();
    next(tests, now.size());
    parts(now);
    out.quiet(
        "▼: another port of the kind really flows more at that lift; if all ports were equal, one"
            + " false mark or more would come up in at most 5 of 100 heads. Spread: highest less"
            + " lowest, of their mean. Steady flow of cold air; the engine maker's limits and a"
            + " qualified machinist stand above this sheet.");
    out.close().line().close().line();
  }

  private static String underTitle(TestRead test) {
    Plan plan = test.curve().plan();
    List<String> said = new ArrayList<>();
    if (!plan.part().customerReference().isBlank()) {
      said.add("Reference " + plan.part().customerReference());
    }
    said.add("newest test " + test.at().toString().substring(0, 10));
    said.add("bench " + test.bench().name());
    said.add(ReferenceWords.of(plan));
    return String.join(" · ", said);
  }

  /** Ports of a kind in the order of their names; each with the tests since its last change. */
  private static List<PortNow> ports(List<TestRead> tests, PortKind kind) {
    Map<String, List<TestRead>> byPort = new LinkedHashMap<>();
    inTime(tests).stream()
        .filter(test -> test.curve().plan().port() == kind)
        .forEachOrdered(
            test -> byPort.computeIfAbsent(name(test), name -> new ArrayList<>()).add(test));
    return byPort.entrySet().stream()
        .map(
            port -> {
              List<TestRead> all = port.getValue();
              Plan now = all.get(all.size() - 1).curve().plan();
              return new PortNow(
                  port.getKey(), all.stream().filter(t -> asItIs(t.curve().plan(), now)).toList());
            })
        .sorted(Comparator.comparing(PortNow::name))
        .toList();
  }

  private static List<TestRead> inTime(List<TestRead> tests) {
    return tests.stream().sorted(Comparator.comparing(TestRead::at)).toList();
  }

  private static boolean asItIs(Plan plan, Plan now) {
    return plan.changes().equals(now.changes())
        && plan.part().valveJob().equals(now.part().valveJob());
  }

  private static String name(TestRead test) {
    Plan.Part part = test.curve().plan().part();
    String port = part.port().isBlank() ? "port" : part.port();
    return part.chamber().isBlank() ? port : part.chamber() + ", " + port;
  }

  // ------------------------------------------------------------------ flows

  private void kind(PortKind kind, List<PortNow> ports) {
    InUnits in = new InUnits(ports.get(0).plan().units());
    Optional<PortsBeside> beside = beside(ports);
    out.open("section", "class", "together");
    out.leaf(
        "h2",
        Report.capital(kind.word())
            + (ports.size() == 1 ? " port, " : " ports, ")
            + ports.get(0).plan().units().flow().symbol());
    out.open("table");
    out.open("thead").open("tr").leaf("th", "lift", "class", "n");
    ports.forEach(port -> out.leaf("th", port.name, "class", "n"));
    if (ports.size() > 1) {
      out.leaf("th", "spread", "class", "n");
    }
    out.close().close().open("tbody").line();
    List<Double> lifts =
        ports.get(0).newest().curve().curve().stream().map(LiftPoint::liftM).toList();
    for (double lift : lifts) {
      row(in.lift(lift), ports, ports.stream().map(p -> p.flow(lift)).toList(), lift, beside, in);
    }
    List<Double> common =
        lifts.stream()
            .filter(lift -> ports.stream().allMatch(p -> p.flow(lift).isPresent()))
            .toList();
    if (!common.isEmpty()) {
      row(
          "average of " + common.size(),
          ports,
          ports.stream().map(p -> Optional.of(p.averaged(common))).toList(),
          Double.NaN,
          beside,
          in);
    }
    out.close().close().line();
    if (ports.size() > 1 && !common.isEmpty()) {
      out.leaf("p", weakest(ports, common, beside, in), "class", "answer");
    }
    out.close().line();
  }

  private void row(
      String name,
      List<PortNow> ports,
      List<Optional<FlowAtLift>> flows,
      double liftM,
      Optional<PortsBeside> beside,
      InUnits in) {
    out.open("tr").leaf("th", name, "class", "n", "scope", "row");
    for (int i = 0; i < ports.size(); i++) {
      boolean less = less(ports.get(i).name, liftM, beside);
      String flow =
          flows.get(i).isPresent()
              ? (less ? "▼ " : "")
                  + in.flowNumber(flows.get(i).get().flowM3PerS(), flows.get(i).get().halfM3PerS())
              : "–";
      out.leaf("td", flow, "class", less ? "n loss" : "n");
    }
    if (ports.size() > 1) {
      out.leaf("td", spread(flows), "class", "n");
    }
    out.close().line();
  }

  private static String spread(List<Optional<FlowAtLift>> flows) {
    if (flows.stream().anyMatch(Optional::isEmpty)) {
      return "–";
    }
    DoubleSummaryStatistics all =
        flows.stream().mapToDouble(flow -> flow.get().flowM3PerS()).summaryStatistics();
    return InUnits.percent((all.getMax() - all.getMin()) / all.getAverage());
  }

  private Optional<PortsBeside> beside(List<PortNow> ports) {
    if (ports.size() < 2) {
      return Optional.empty();
    }
    try {
      return Optional.of(
          PortsBeside.of(
              ports.stream().flatMap(p -> p.tests.stream()).map(TestRead::curve).toList(),
              question));
    } catch (Refusal nothingInCommon) {
      return Optional.empty();
    }
  }

  /** Whether another port really flows more at a lift, or on the average where that is NaN. */
  private static boolean less(String name, double liftM, Optional<PortsBeside> beside) {
    return beside.stream()
        .flatMap(b -> b.pairs().stream())
        .anyMatch(
            pair -> {
              Outcome outcome = outcome(pair.comparison(), liftM);
              return ends(name, pair.one()) && outcome == Outcome.GAIN
                  || ends(name, pair.other()) && outcome == Outcome.LOSS;
            });
  }

  /** A comparison names a port as shortly as keeps it apart from the others. */
  private static boolean ends(String full, String shorter) {
    return full.equals(shorter) || full.endsWith(", " + shorter);
  }

  private static Outcome outcome(Comparison c, double liftM) {
    return Double.isNaN(liftM)
        ? c.mean().outcome()
        : c.at(liftM).map(LiftDifference::outcome).orElse(Outcome.CANNOT_TELL_YET);
  }

  private static String weakest(
      List<PortNow> ports, List<Double> lifts, Optional<PortsBeside> beside, InUnits in) {
    List<PortNow> ranked =
        ports.stream().sorted(Comparator.comparingDouble(p -> p.average(lifts))).toList();
    PortNow least = ranked.get(0);
    PortNow next = ranked.get(1);
    double others = ports.stream().mapToDouble(p -> p.average(lifts)).average().orElseThrow();
    boolean apart = less(least.name, Double.NaN, beside.map(b -> only(b, least, next)));
    double weakestLift =
        lifts.stream()
            .min(Comparator.comparingDouble(lift -> share(least, ports, lift)))
            .orElseThrow();
    return "Weakest: "
        + least.name
        + ", average "
        + InUnits.percent(1 - least.average(lifts) / others)
        + " below the mean of all"
        + (apart ? "; told apart from " : "; not told apart from ")
        + next.name
        + ", the next. Its weakest lift: "
        + in.lift(weakestLift)
        + ", "
        + InUnits.percent(1 - share(least, ports, weakestLift))
        + " below the mean there"
        + (less(least.name, weakestLift, beside) ? "." : ", which is not told apart.");
  }

  private static PortsBeside only(PortsBeside beside, PortNow one, PortNow other) {
    return new PortsBeside(
        beside.ports(),
        beside.pairs().stream()
            .filter(
                pair ->
                    ends(one.name, pair.one()) && ends(other.name, pair.other())
                        || ends(one.name, pair.other()) && ends(other.name, pair.one()))
            .toList());
  }

  private static double share(PortNow port, List<PortNow> all, double liftM) {
    return port.average(List.of(liftM))
        / all.stream().mapToDouble(p -> p.average(List.of(liftM))).average().orElseThrow();
  }

  // ------------------------------------------------------------------ parts

  /** What one page holds beside the tables of so many ports; measured with twelve lifts. */
  private static int mostLines(int ports) {
    return Math.max(2, Math.min(6, 9 - ports));
  }

  private void next(List<TestRead> tests, int ports) {
    List<String> lines = NextWords.briefly(PortHistory.of(tests, question));
    if (lines.isEmpty()) {
      return;
    }
    out.open("section", "class", "together");
    out.leaf("h2", NextWords.HEADING);
    out.open("ol");
    int most = mostLines(ports);
    lines.stream().limit(most).forEach(line -> out.leaf("li", line));
    out.close();
    int more = lines.size() - most;
    if (more > 0) {
      out.quiet("And of " + more + (more == 1 ? " more port" : " more ports") + " in the history.");
    }
    out.close().line();
  }

  private void parts(List<PortNow> ports) {
    out.open("section", "class", "together");
    out.leaf("h2", "Ports and what was in them");
    out.open("table").open("thead").open("tr");
    for (String name : List.of("port", "valve job", "valves", "spring", "indicator", "test")) {
      out.leaf("th", name);
    }
    out.close().close().open("tbody").line();
    for (PortNow port : ports) {
      out.open("tr").leaf("th", port.name, "scope", "row");
      for (String cell : PartWords.of(port.plan())) {
        out.leaf("td", cell);
      }
      out.leaf(
          "td",
          port.newest().curve().name()
              + (port.tests.size() > 1 ? " and " + (port.tests.size() - 1) + " more" : ""));
      out.close().line();
    }
    out.close().close().close().line();
  }
}
