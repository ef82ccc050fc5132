package meniscus.recorder.report;

import java.util.ArrayList;
import java.util.Comparator;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalDouble;
import meniscus.core.compare.Comparison;
import meniscus.core.compare.FlowRatio;
import meniscus.core.compare.LiftDifference;
import meniscus.core.compare.Outcome;
import meniscus.core.compare.PortsBeside;
import meniscus.core.compare.Question;
import meniscus.core.finding.InUnits;
import meniscus.core.lift.LiftPoint;
import meniscus.core.lift.Plan;
import meniscus.core.lift.PortKind;
import meniscus.core.lift.TestCurve;
import meniscus.core.refusal.Refusal;

/** One page for a head: its ports beside each other, lift by lift, as they are now. */
public final class HeadSheet {

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

    /** Mean over the repeats [m³/s]. */
    OptionalDouble flow(double liftM) {
      return points(liftM).stream().mapToDouble(LiftPoint::flowM3PerS).average();
    }

    /** Half-width of the largest interval there; of the flow itself where none is known. */
    double uncertainty(double liftM, OptionalDouble flow) {
      return points(liftM).stream()
          .map(LiftPoint::flowU95)
          .filter(OptionalDouble::isPresent)
          .mapToDouble(OptionalDouble::getAsDouble)
          .max()
          .orElse(0.005 * flow.orElse(0));
    }

    private List<LiftPoint> points(double liftM) {
      return tests.stream()
          .flatMap(test -> test.curve().curve().stream())
          .filter(p -> Math.abs(p.liftM() - liftM) < TestCurve.SAME_LIFT_M)
          .filter(TestCurve::trusted)
          .toList();
    }

    double average(List<Double> liftsM) {
      return liftsM.stream().mapToDouble(lift -> flow(lift).orElseThrow()).average().orElseThrow();
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
    out.open("body", "class", "sheet").line();
    out.leaf("h1", "Head sheet: " + head);
    TestRead newest = tests.stream().max(Comparator.comparing(TestRead::at)).orElseThrow();
    out.leaf("p", underTitle(newest), "class", "quiet");
    Map<PortKind, List<PortNow>> byKind = new LinkedHashMap<>();
    for (PortKind kind : PortKind.values()) {
      List<PortNow> ports = ports(tests, kind);
      if (!ports.isEmpty()) {
        byKind.put(kind, ports);
        kind(kind, ports);
      }
    }
    ratios(byKind);
    parts(byKind.values().stream().flatMap(List::stream).toList());
    out.leaf(
        "p",
        "▼: another port of the kind really flows more at that lift; if all ports were equal, one"
            + " false mark or more would come up in at most 5 of 100 heads. Spread: highest less"
            + " lowest, of their mean. Steady flow of cold air; the engine maker's limits and a"
            + " qualified machinist stand above this sheet.",
        "class",
        "quiet");
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
    tests.stream()
        .filter(test -> test.curve().plan().port() == kind)
        .sorted(Comparator.comparing(TestRead::at))
        .forEachOrdered(
            test -> byPort.computeIfAbsent(name(test), name -> new ArrayList<>()).add(test));
    return byPort.entrySet().stream()
        .map(
            port -> {
              List<TestRead> all = port.getValue();
              List<Plan.ChangeNote> now = all.get(all.size() - 1).curve().plan().changes();
              return new PortNow(
                  port.getKey(),
                  all.stream().filter(t -> t.curve().plan().changes().equals(now)).toList());
            })
        .sorted(Comparator.comparing(PortNow::name))
        .toList();
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
    out.open("table").open("thead").open("tr").leaf("th", "lift", "class", "n");
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
          ports.stream().map(p -> OptionalDouble.of(p.average(common))).toList(),
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
      List<OptionalDouble> flows,
      double liftM,
      Optional<PortsBeside> beside,
      InUnits in) {
    out.open("tr").leaf("th", name, "class", "n", "scope", "row");
    for (int i = 0; i < ports.size(); i++) {
      boolean less = less(ports.get(i).name, liftM, beside);
      String flow =
          flows.get(i).isPresent()
              ? (less ? "▼ " : "")
                  + in.flowNumber(
                      flows.get(i).getAsDouble(), ports.get(i).uncertainty(liftM, flows.get(i)))
              : "–";
      out.leaf("td", flow, "class", less ? "n loss" : "n");
    }
    if (ports.size() > 1) {
      out.leaf("td", spread(flows), "class", "n");
    }
    out.close().line();
  }

  private static String spread(List<OptionalDouble> flows) {
    if (flows.stream().anyMatch(OptionalDouble::isEmpty)) {
      return "–";
    }
    double most = flows.stream().mapToDouble(OptionalDouble::getAsDouble).max().orElseThrow();
    double least = flows.stream().mapToDouble(OptionalDouble::getAsDouble).min().orElseThrow();
    double mean = flows.stream().mapToDouble(OptionalDouble::getAsDouble).average().orElseThrow();
    return InUnits.percent((most - least) / mean);
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
        : c.lifts().stream()
            .filter(l -> Math.abs(l.liftM() - liftM) < TestCurve.SAME_LIFT_M)
            .map(LiftDifference::outcome)
            .findFirst()
            .orElse(Outcome.CANNOT_TELL_YET);
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
        + InUnits.signedPercent(share(least, ports, weakestLift) - 1)
        + " of the mean there"
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
    return port.flow(liftM).orElseThrow()
        / all.stream().mapToDouble(p -> p.flow(liftM).orElseThrow()).average().orElseThrow();
  }

  // ------------------------------------------------------------------ parts

  /** An exhaust over the intake of its chamber; with one of each there is no question which. */
  private void ratios(Map<PortKind, List<PortNow>> byKind) {
    List<PortNow> intakes = byKind.getOrDefault(PortKind.INTAKE, List.of());
    List<String> lines = new ArrayList<>();
    for (PortNow exhaust : byKind.getOrDefault(PortKind.EXHAUST, List.of())) {
      String chamber = exhaust.plan().part().chamber();
      List<PortNow> same =
          intakes.stream().filter(i -> i.plan().part().chamber().equals(chamber)).toList();
      if (same.size() == 1) {
        lines.add(ratio(exhaust, same.get(0)));
      }
    }
    if (!lines.isEmpty()) {
      out.leaf("p", "Exhaust to intake: " + String.join("; ", lines) + ".");
    }
  }

  private static String ratio(PortNow exhaust, PortNow intake) {
    String names = exhaust.name + " to " + intake.name + " ";
    try {
      FlowRatio ratio = FlowRatio.of(exhaust.newest().curve(), intake.newest().curve());
      return names
          + meniscus.core.quantity.Digits.value(
              100 * ratio.ratio().value(), 100 * ratio.ratio().u95())
          + " % ± "
          + InUnits.half(ratio.ratio().u95())
          + " over "
          + ratio.liftsM().size()
          + " lifts";
    } catch (Refusal none) {
      return names + "not given: " + none.getMessage();
    }
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
