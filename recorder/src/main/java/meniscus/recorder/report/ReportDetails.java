package meniscus.recorder.report;

import java.time.ZoneOffset;
import java.time.format.DateTimeFormatter;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import java.util.stream.Collectors;
import meniscus.core.bench.HealthEntry;
import meniscus.core.compare.CamFlow;
import meniscus.core.compare.CurveSummary;
import meniscus.core.decide.Estimate;
import meniscus.core.finding.InUnits;
import meniscus.core.lift.LiftPoint;
import meniscus.core.lift.Plan;
import meniscus.core.lift.SeatReadings;
import meniscus.core.lift.TestCurve;
import meniscus.core.lift.TestSetUp;
import meniscus.core.quantity.Digits;
import meniscus.core.quantity.Unit;
import meniscus.core.refusal.Refusal;

/** The rest of a report: numbers of each curve, conditions, bench, uncertainty, cautions. */
record ReportDetails(Markup out, List<TestRead> all, Extras extras) {
  private static final DateTimeFormatter DAY =
      DateTimeFormatter.ofPattern("yyyy-MM-dd HH:mm 'UTC'", Locale.ROOT).withZone(ZoneOffset.UTC);

  /** A longer table may go on over a page: kept together it would leave half of one empty. */
  private static final int LONG_ROWS = 12;

  void underTheTitle() {
    TestRead last = all.get(all.size() - 1);
    Plan.Part part = last.curve().plan().part();
    List<String> said = new ArrayList<>();
    if (!part.customerReference().isBlank()) {
      said.add("Reference " + part.customerReference());
    }
    said.add(capitalPort(last.curve().plan()));
    said.add("tested " + DAY.format(last.at()));
    said.add("bench " + last.bench().name());
    out.quiet(String.join(" · ", said)).line();
  }

  private static String capitalPort(Plan plan) {
    return Report.capital(plan.port().word())
        + " port, "
        + plan.direction().word()
        + ", "
        + new InUnits(plan.units()).pressure(plan.testPressurePa())
        + " test pressure";
  }

  void write(Optional<Report.Compared> compared) {
    changes();
    out.leaf("h2", "Each test in numbers");
    List<Row> numbers =
        new ArrayList<>(
            List.of(
                row("average flow of the lifts", r -> summary(r, this::meanFlow)),
                row("average flow per valve area", r -> summary(r, this::perArea)),
                row("highest flow", r -> summary(r, this::highest)),
                row("mean velocity in the smallest section", r -> summary(r, this::velocity))));
    extras
        .cam()
        .ifPresent(cam -> numbers.add(row("mean flow through the cam", r -> throughCam(r, cam))));
    columns(numbers);
    ExhaustToIntake ratio = ExhaustToIntake.of(all);
    if (!ratio.said().isEmpty()) {
      out.leaf("p", "Exhaust to intake: " + String.join("; ", ratio.said()) + ".");
    }
    if (extras.rulesOfThumb()) {
      RulesOfThumb.write(out, all, ratio.ratios());
    }
    out.leaf("h2", "How it was tested");
    columns(
        List.of(
            row("test", r -> r.curve().name()),
            row("chamber", r -> said(r.curve().plan().part().chamber())),
            row("port", r -> said(r.curve().plan().part().port())),
            row("valve job", r -> said(r.curve().plan().part().valveJob())),
            row("state", r -> said(r.curve().plan().part().state())),
            row("volumes", r -> PartWords.volumes(r.curve().plan())),
            row("checking spring", r -> PartWords.spring(r.curve().plan())),
            row("indicator touches", r -> PartWords.indicator(r.curve().plan())),
            row("began", r -> DAY.format(r.at())),
            row("room air", ReportDetails::room),
            row("direction", r -> r.curve().plan().direction().word()),
            row("test pressure", r -> in(r).pressure(r.curve().plan().testPressurePa())),
            row("entry", r -> said(r.curve().plan().setUp().entry())),
            row("exit", r -> said(r.curve().plan().setUp().exit())),
            row("valves opened", ReportDetails::valves),
            row("bore adapter", ReportDetails::adapter),
            row("dial on the seat, before and after", ReportDetails::seat),
            row("plugged holes", r -> said(r.curve().plan().setUp().pluggedHoles())),
            row("flows are given for", ReportDetails::reference),
            row("bench", r -> r.curve().bench()),
            row("calibration", ReportDetails::calibration),
            row("bench health on the day", ReportDetails::health)));
    out.leaf("h2", "How sure the numbers are");
    uncertainty(compared);
    NotesSection.write(out, all);
    Cautions.write(out);
  }

  private void changes() {
    List<Plan.ChangeNote> notes = all.get(all.size() - 1).curve().plan().changes();
    if (notes.isEmpty()) {
      return;
    }
    out.leaf("h2", "What was changed");
    out.open("ul");
    ChangeWords.of(all.get(all.size() - 1).curve().plan()).forEach(note -> out.leaf("li", note));
    out.close().line();
  }

  private interface Cell {
    String of(TestRead test);
  }

  private record Row(String name, Cell cell) {}

  private static Row row(String name, Cell cell) {
    return new Row(name, cell);
  }

  private void columns(List<Row> rows) {
    out.open("table", "class", rows.size() > LONG_ROWS ? "long" : "short");
    out.open("thead").open("tr").leaf("th", "");
    all.forEach(test -> out.leaf("th", test.curve().name()));
    out.close().close().open("tbody").line();
    for (Row row : rows) {
      out.open("tr").leaf("th", row.name, "scope", "row");
      all.forEach(test -> out.leaf("td", row.cell.of(test)));
      out.close().line();
    }
    out.close().close().line();
  }

  private static String seat(TestRead test) {
    SeatReadings seat = test.seat();
    if (!seat.both()) {
      return "not read";
    }
    InUnits in = in(test);
    double zeroM = TestSetUp.USUAL_LIFT_ZERO_M;
    return in.smallLift(seat.beforeM().getAsDouble())
        + ", "
        + in.smallLift(seat.afterM().getAsDouble())
        + "; zero known to "
        + in.smallLift(seat.zeroUncertaintyM(zeroM))
        + (seat.slipped() ? "; something slipped" : "");
  }

  private static InUnits in(TestRead test) {
    return new InUnits(test.curve().plan().units());
  }

  private interface Summed {
    String of(TestRead test, CurveSummary summary);
  }

  private static String summary(TestRead test, Summed what) {
    return CurveSummary.of(test.curve()).map(s -> what.of(test, s)).orElse("unknown");
  }

  private String meanFlow(TestRead test, CurveSummary s) {
    return flow(test, s.meanFlow());
  }

  private static String throughCam(TestRead test, CamFlow.Cam cam) {
    try {
      CamFlow through = CamFlow.of(test.curve(), cam);
      return flow(test, through.meanFlow())
          + " over "
          + InUnits.number(through.openDegrees(), 0)
          + "° of crank, up to "
          + in(test).lift(through.highestLiftM());
    } catch (Refusal e) {
      return e.getMessage();
    }
  }

  private String highest(TestRead test, CurveSummary s) {
    return flow(test, s.highestFlow()) + " at " + in(test).lift(s.highestFlowLiftM());
  }

  private static String flow(TestRead test, Estimate e) {
    return in(test).flow(e.value(), e.u95()) + " ± " + in(test).flowNumber(e.u95(), e.u95());
  }

  /** In the plan's flow unit, per square inch for inch people, per square centimetre else. */
  private String perArea(TestRead test, CurveSummary s) {
    Plan.Units units = test.curve().plan().units();
    boolean inch = units.lift() == Unit.INCH_LENGTH;
    double factor = (inch ? Unit.SQUARE_INCH.factor() : 1e-4) / units.flow().factor();
    Estimate e = s.flowPerValveArea();
    return Digits.value(e.value() * factor, e.u95() * factor)
        + " ± "
        + Digits.uncertainty(e.u95() * factor)
        + " "
        + units.flow().symbol()
        + (inch ? " per in²" : " per cm²");
  }

  private String velocity(TestRead test, CurveSummary s) {
    return s.velocityAtHighestFlow()
        .map(e -> in(test).velocity(e.value(), e.u95()) + " at the highest flow")
        .orElse("smallest area not given");
  }

  private static String room(TestRead test) {
    return test.curve()
        .room()
        .map(
            room ->
                InUnits.number(Unit.DEGREE_CELSIUS.fromSi(room.temperatureK()), 1)
                    + " °C, "
                    + InUnits.number(room.pressurePa() / 100, 1)
                    + " hPa, "
                    + InUnits.number(100 * room.relativeHumidity(), 0)
                    + " % humidity")
        .orElse("not recorded");
  }

  private static String said(String text) {
    return text.isBlank() ? "nothing written" : text;
  }

  private static String valves(TestRead test) {
    TestSetUp setUp = test.curve().plan().setUp();
    return setUp.valvesOpened()
        + " of "
        + setUp.valvesFitted()
        + ", head "
        + setUp.valveHeadsM().stream()
            .map(head -> ChangeWords.length(test.curve().plan().units().lift(), head))
            .collect(Collectors.joining(" and "));
  }

  private static String adapter(TestRead test) {
    Unit unit = test.curve().plan().units().lift();
    return test.curve()
        .plan()
        .setUp()
        .adapter()
        .map(
            a ->
                ChangeWords.length(unit, a.diameterM())
                    + " diameter, "
                    + ChangeWords.length(unit, a.lengthM())
                    + " long")
        .orElse("none");
  }

  private static String reference(TestRead test) {
    Plan.Reference reference = test.curve().plan().reference();
    return "air of "
        + InUnits.number(Unit.DEGREE_CELSIUS.fromSi(reference.temperatureK()), 1)
        + " °C, "
        + InUnits.number(reference.pressurePa() / 100, 1)
        + " hPa, "
        + InUnits.number(100 * reference.relativeHumidity(), 0)
        + " % humidity, at "
        + in(test).pressure(reference.testPressurePa());
  }

  private static String calibration(TestRead test) {
    return test.calibration()
        .map(c -> "taken " + DAY.format(c.at()) + ", " + c.sha256().substring(0, 12))
        .orElse("none: the maker's figures of the flow element were used");
  }

  private static String health(TestRead test) {
    if (test.health().isEmpty()) {
      return String.join(
          "; ",
          test.curve().health().isEmpty() ? List.of("no checks recorded") : test.curve().health());
    }
    List<String> bad = test.curve().health();
    HealthEntry newest =
        test.health().stream().max(Comparator.comparing(HealthEntry::at)).orElseThrow();
    return (bad.isEmpty() ? "in order" : "not in order: " + String.join("; ", bad))
        + "; last check "
        + DAY.format(newest.at())
        + test.bench()
            .upkeep()
            .calm()
            .map(
                calm ->
                    "; calm record (the bench's own fluctuation, on plates) of "
                        + DAY.format(calm.at()))
            .orElse("");
  }

  private void uncertainty(Optional<Report.Compared> compared) {
    List<String> typical = new ArrayList<>();
    for (TestRead test : all) {
      double share =
          test.curve().curve().stream()
              .filter(TestCurve::trusted)
              .mapToDouble(ReportDetails::relative)
              .sorted()
              .skip(test.curve().curve().stream().filter(TestCurve::trusted).count() / 2)
              .findFirst()
              .orElse(Double.NaN);
      if (Double.isFinite(share)) {
        typical.add(InUnits.percent(share) + " (" + test.curve().name() + ")");
      }
    }
    if (!typical.isEmpty()) {
      out.leaf(
          "p",
          "A flow of these tests is good to about "
              + String.join(", ", typical)
              + ": were the same port measured on a perfect bench, its flow would lie within that in"
              + " 95 of 100 cases.");
    }
    if (compared.isPresent()) {
      out.leaf(
          "p",
          "A difference between two tests on one bench is surer than either flow, because what both"
              + " share cancels; what does not cancel is how the head sat on the bench each time"
              + (compared.get().comparison().scatter().isEmpty()
                  ? ", which nobody has measured here."
                  : ": " + compared.get().comparison().scatter() + "."));
      out.leaf(
          "p",
          "If nothing had changed at all, a report like this would still name a gain or a loss"
              + " somewhere in at most 5 of 100 cases.");
    }
  }

  private static double relative(LiftPoint point) {
    return point.flowU95().orElse(Double.NaN) / point.flowM3PerS();
  }
}
