package meniscus.recorder.report;

import java.util.ArrayList;
import java.util.List;
import meniscus.core.compare.Comparison;
import meniscus.core.compare.Outcome;
import meniscus.core.compare.PortsBeside;
import meniscus.core.finding.InUnits;
import meniscus.core.lift.LiftPoint;
import meniscus.core.lift.TestCurve;
import meniscus.core.quantity.Text;

/** Ports beside each other for the terminal: their flows, then what is really different. */
public final class PortsText {

  private PortsText() {}

  /** Every port against every other. */
  public static List<String> beside(PortsBeside beside) {
    List<String> lines = flows(beside);
    lines.add("");
    for (PortsBeside.Pair pair : beside.pairs()) {
      lines.add(pair.other() + " against " + pair.one() + ": " + different(pair.comparison()));
    }
    lines.add("");
    lines.add(
        "If all were equal, one false difference or more anywhere in this would come up in at most"
            + " 5 of 100 heads.");
    findings(lines, beside);
    return lines;
  }

  /** Each port from its own earlier tests. */
  public static List<String> changes(PortsBeside changes) {
    List<String> lines = new ArrayList<>();
    for (PortsBeside.Pair pair : changes.pairs()) {
      lines.add(pair.one() + ": " + Sentences.whatChanged(pair.comparison()));
      lines.add("  " + Sentences.average(pair.comparison()));
    }
    lines.add("");
    lines.add(
        "If nothing had changed at all, one false gain or loss or more in any port would come up in"
            + " at most 5 of 100 heads.");
    findings(lines, changes);
    return lines;
  }

  private static List<String> flows(PortsBeside beside) {
    TestCurve first = beside.ports().get(0).tests().get(0);
    InUnits in = new InUnits(first.plan().units());
    List<String> lines = new ArrayList<>();
    StringBuilder head = new StringBuilder(Text.of("%10s", "lift"));
    beside.ports().forEach(p -> head.append(Text.of("  %18s", p.name())));
    lines.add(head.toString());
    for (LiftPoint point : first.curve()) {
      StringBuilder line = new StringBuilder(Text.of("%10s", in.lift(point.liftM())));
      for (PortsBeside.Port port : beside.ports()) {
        line.append(Text.of("  %18s", flow(port, point.liftM(), in)));
      }
      lines.add(line.toString());
    }
    return lines;
  }

  /** Mean over the port's tests. */
  private static String flow(PortsBeside.Port port, double liftM, InUnits in) {
    double[] flows =
        port.tests().stream()
            .flatMap(test -> test.at(liftM).stream())
            .filter(TestCurve::trusted)
            .mapToDouble(LiftPoint::flowM3PerS)
            .toArray();
    if (flows.length == 0) {
      return "-";
    }
    double mean = java.util.Arrays.stream(flows).average().orElseThrow();
    return in.flow(mean, 0.002 * mean);
  }

  /** In words of ports, not of changes. */
  private static String different(Comparison c) {
    InUnits in = new InUnits(c.units());
    List<String> parts = new ArrayList<>();
    String average =
        switch (c.mean().outcome()) {
          case GAIN -> "flows more, " + Sentences.withHalf(c.mean());
          case LOSS -> "flows less, " + Sentences.withHalf(c.mean());
          case NO_REAL_CHANGE ->
              "no real difference, less than "
                  + InUnits.percent(c.mean().margin() / c.mean().before());
          case CANNOT_TELL_YET -> "cannot tell yet, " + Sentences.interval(c.mean());
        };
    if (!c.lifts(Outcome.GAIN).isEmpty()) {
      parts.add("more at " + in.lifts(c.lifts(Outcome.GAIN)));
    }
    if (!c.lifts(Outcome.LOSS).isEmpty()) {
      parts.add("less at " + in.lifts(c.lifts(Outcome.LOSS)));
    }
    parts.add("average of the lifts: " + average);
    return String.join("; ", parts);
  }

  /** What stands against comparing at all; once, whichever pairs it is about. */
  private static void findings(List<String> lines, PortsBeside beside) {
    beside.pairs().stream()
        .flatMap(pair -> pair.comparison().findings().stream())
        .filter(
            finding ->
                switch (finding.kind()) {
                  case SETUP_DIFFERS,
                      OTHER_BENCH_OR_CALIBRATION,
                      TEST_PRESSURES_DIFFER,
                      ROOM_AIR_FAR_APART,
                      BENCH_HEALTH,
                      REPEATABILITY,
                      LIKELY_SHORT_SIDE ->
                      true;
                  default -> false;
                })
        .map(finding -> finding.kind().word() + ": " + finding.sentence())
        .distinct()
        .forEach(lines::add);
  }
}
